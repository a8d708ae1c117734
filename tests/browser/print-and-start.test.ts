import { expect, test } from 'vitest'
import { waitUntilSettled } from '../../scripts/browser-page.ts'
import { describeInBrowser, readState } from './open-app.ts'

describeInBrowser('keeping and learning', open => {
  test('the recipe is one printable page, says what to mix, and copies as text', async () => {
    const { page, errors } = await open()
    await page.getByRole('button', { name: 'Recipe', exact: true }).click()
    const dialog = page.getByRole('dialog', { name: 'Recipe' })
    await dialog.waitFor()
    const shown = (await dialog.textContent()) ?? ''
    const coats = await readState(page, s =>
      s.history.present.recipe.coats.map(c => ({ name: c.name, thinner: c.mix.thinnerDrops })),
    )
    for (const { name, thinner } of coats) {
      expect(shown).toContain(name)
      expect(shown).toContain(`1 paint + ${thinner} thinner`)
    }
    // 1.72 bar is 25 psi: 1 psi = 0.0689476 bar.
    expect(shown).toContain('25 psi (1.72 bar)')
    expect(shown.toLowerCase()).toContain('safety data sheet')
    await page.waitForFunction(() => document.querySelectorAll('[role=dialog] img').length >= 4, null, {
      timeout: 30_000,
    })

    await dialog.getByRole('button', { name: 'Copy as text' }).click()
    const copied = await page.evaluate(() => navigator.clipboard.readText())
    for (const { name } of coats) expect(copied).toContain(name)
    expect(Math.max(...copied.split('\n').map(line => line.length))).toBeLessThanOrEqual(80)

    const pdf = (await page.pdf({ format: 'A4', printBackground: true })).toString('latin1')
    expect(pdf.match(/\/Type\s*\/Page\b(?!s)/g)?.length).toBe(1)
    await page.emulateMedia({ media: 'print' })
    expect(await page.locator('canvas').first().isVisible()).toBe(false)
    expect(errors).toEqual([])
    await page.context().close()
  })

  test("the beginner's start, by keyboard alone: black, front, back, greys, and a thick coat that takes the contrast", async () => {
    const { page } = await open()
    const own = await readState(page, s => s.history.present.recipe)
    const reading = () => readState(page, s => s.derived.readings.main!)
    const press = async (name: string) => {
      const button = page.getByRole('button', { name, exact: true })
      await button.focus()
      await page.waitForFunction(label => {
        const found = [...document.querySelectorAll('button')].find(b => b.textContent === label)
        return found !== undefined && !found.disabled
      }, name)
      await button.press('Enter')
    }
    await press('Start')
    await press('Begin')
    await waitUntilSettled(page)
    const black = await reading()
    // Carbon black under a matt surface is L* 29.
    expect(black.valueTo).toBeLessThan(35)
    expect(black.contrast).toBeLessThan(3)

    await press('Spray front')
    await page.getByText(/pass (\d+) of \1/).waitFor({ timeout: 60_000 })
    await waitUntilSettled(page)
    const front = await reading()
    expect(front.contrast).toBeGreaterThan(black.contrast + 15)

    await press('Spray back')
    await page.getByText(/Back: pass (\d+) of \1/).waitFor({ timeout: 60_000 })
    await press('See the greys')
    await waitUntilSettled(page)
    expect(await page.getByRole('list', { name: 'Five even steps of value' }).isVisible()).toBe(true)

    await press('Put a colour over it')
    await waitUntilSettled(page)
    const thin = (await reading()).contrastLeft!
    await page.getByRole('slider').last().press('End')
    await waitUntilSettled(page)
    const thick = (await reading()).contrastLeft!
    expect(thin).toBeGreaterThan(0.5)
    expect(thick).toBeLessThan(0.25)

    await press('Bring my recipe back')
    expect(await readState(page, s => s.history.present.recipe)).toEqual(own)
    await page.context().close()
  })

  test('cautions come first, and stay one click away', async () => {
    const { page } = await open({ settled: false })
    const dialog = page.getByRole('dialog', { name: 'Before you spray' })
    await dialog.waitFor({ timeout: 30_000 })
    expect(await dialog.textContent()).toMatch(/safety data sheet/i)
    await page.keyboard.press('Tab')
    expect(await dialog.evaluate(element => element.contains(document.activeElement))).toBe(true)
    await dialog.getByRole('button', { name: 'I have read this' }).press('Enter')
    await dialog.waitFor({ state: 'detached' })
    await page.getByRole('button', { name: 'Cautions' }).first().click()
    await page.getByRole('dialog').waitFor()
    await page.context().close()
  })
})
