import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
import type { GreycoatWindow } from '../../scripts/browser-page.ts'
import { waitUntilSettled } from '../../scripts/browser-page.ts'
import { DOME, showsFront } from '../../src/core/advice/dome.ts'
import { describeInBrowser, readState } from './open-app.ts'

/** Advice on the built page by someone without a mouse: every step is a key. */
describeInBrowser('advice by keyboard alone', open => {
  test('best angle: look, cancel, look again, walk over the dome, fly; old when the pre-shade changes', async () => {
    const { page, errors } = await open()
    await tabTo(page, 'Best angle')
    await page.keyboard.press('Enter')
    await tabTo(page, 'Look from all around')
    await page.keyboard.press('Enter')
    // The same button calls it off.
    await page.waitForFunction(() => document.activeElement?.textContent === 'Cancel')
    await page.keyboard.press('Enter')
    await untilScanned(page)
    expect(await readState(page, s => s.derived.angleAdvice?.complete ?? false)).toBe(false)
    expect(await focused(page)).toMatch(/^Look /)
    await page.keyboard.press('Enter')
    await page.waitForFunction(() => document.activeElement?.textContent === 'Cancel')
    await untilScanned(page)
    expect(await focused(page)).toBe('Look again')
    // The dome came into view within its column: the page stays where it is.
    expect(await page.evaluate(() => document.scrollingElement!.scrollTop)).toBe(0)
    const scores = await readState(page, s => s.derived.angleAdvice!.readings.map(r => r!.score))

    await tabTo(page, /^How well the figure reads/)
    const spoken = () => page.locator('.dome [aria-live]').textContent()
    const before = await spoken()
    await page.keyboard.press('ArrowUp')
    const above = await spoken()
    expect(above).not.toBe(before)
    await page.keyboard.press('ArrowRight')
    expect(await spoken()).not.toBe(above)
    // The best of the front, said and shown in numbers.
    await page.keyboard.press('Home')
    const best = Math.max(...scores.filter((_, i) => showsFront(DOME[i]) && DOME[i].elevationDegrees <= 75))
    expect(await spoken()).toMatch(new RegExp(`: score ${Math.round(100 * best)}$`))
    expect(await page.locator('.terms tfoot td').last().textContent()).toBe(String(Math.round(100 * best)))
    expect(await page.locator('.terms tbody tr').count()).toBe(6)
    await page.keyboard.press('Enter')
    const { azimuthDegrees, elevationDegrees } = DOME[scores.indexOf(best)]
    const camera = await readState(page, s => s.history.present.camera)
    expect(camera.elevationDegrees).toBe(elevationDegrees)
    expect(Math.cos(((camera.azimuthDegrees - azimuthDegrees) * Math.PI) / 180)).toBeCloseTo(1, 9)

    // Real pictures of the best three of either side; the fourth is the best of the back.
    await page.waitForFunction(() => document.querySelectorAll('.best-view img').length === 6)
    for (let i = 0; i < 4; i++) await tabTo(page, /^Go to /)
    await page.keyboard.press('Enter')
    const behind = await readState(page, s => s.history.present.camera)
    expect(Math.abs(behind.azimuthDegrees)).toBeGreaterThan(90)

    expect(await page.getByText('Found before the figure or its pre-shade changed.').count()).toBe(0)
    await page.evaluate(() => {
      const { store, commands } = (window as unknown as GreycoatWindow).greycoat
      commands.setPasses(store.getState().history.present.recipe.coats[0].id, 3)
    })
    await page.getByText('Found before the figure or its pre-shade changed.').waitFor()
    expect(errors).toEqual([])
    await page.context().close()
  })

  test('best light: try, choose for both sides, make torches; one undo brings the old ones back', async () => {
    const { page, errors } = await open()
    const torches = () =>
      readState(
        page,
        s => s.history.present.recipe.coats[0].kind === 'mist' && s.history.present.recipe.coats[0].torches,
      )
    const own = await torches()
    await tabTo(page, 'Best light')
    await page.keyboard.press('Enter')
    await tabTo(page, 'Try from all around')
    await page.keyboard.press('Enter')
    await page.waitForFunction(() => document.activeElement?.textContent === 'Cancel')
    await untilScanned(page)
    // Advice alone moves nothing.
    expect(await torches()).toEqual(own)

    await tabTo(page, /^How well spray from around/)
    await page.keyboard.press('ArrowUp')
    await page.keyboard.press('ArrowUp')
    await page.keyboard.press('Enter')
    const chosen = await page.locator('.dome [aria-live]').textContent()
    await tabTo(page, /^This side/, 'Shift+Tab')
    await page.keyboard.press('ArrowRight')
    await page.keyboard.press('Space')
    await tabTo(page, /^25° above the eye/)
    await page.keyboard.press('Space')
    await tabTo(page, 'Make torches')
    await page.keyboard.press('Enter')
    const made = await torches()
    if (!made) throw new Error('no sprayed pre-shade')
    expect(made.map(t => t.name)).toEqual(['Front', 'Back'])
    const camera = await readState(page, s => s.history.present.camera)
    // From the opposite side at the same height, 25° higher: closed form.
    expect(made[1].elevationDegrees).toBeCloseTo(camera.elevationDegrees + 25, 6)
    expect(Math.cos(((made[1].azimuthDegrees - camera.azimuthDegrees) * Math.PI) / 180)).toBeCloseTo(-1, 9)
    expect(chosen).toContain(`${Math.round(made[0].elevationDegrees)}° above`)
    await waitUntilSettled(page)
    await page.keyboard.press('Control+z')
    expect(await torches()).toEqual(own)
    expect(errors).toEqual([])
    await page.context().close()
  })
})

/** Moves on with Tab until what is named has the focus, as a hand would. */
async function tabTo(page: Page, name: string | RegExp, key: 'Tab' | 'Shift+Tab' = 'Tab'): Promise<void> {
  for (let i = 0; i < 150; i++) {
    await page.keyboard.press(key)
    const here = await focused(page)
    if (typeof name === 'string' ? here === name : name.test(here)) return
  }
  throw new Error(`Tab never came to ${name}`)
}

const focused = (page: Page): Promise<string> =>
  page.evaluate(() => {
    const { activeElement } = document
    return activeElement?.getAttribute('aria-label') ?? activeElement?.textContent ?? ''
  })

async function untilScanned(page: Page): Promise<void> {
  await page.waitForFunction(
    () => (window as unknown as GreycoatWindow).greycoat.store.getState().derived.scanning === null,
    null,
    { timeout: 110_000 },
  )
}
