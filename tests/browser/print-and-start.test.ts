import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
import { waitUntilSettled } from '../../scripts/browser-page.ts'
import type { AppState } from '../../src/app/app-state.ts'
import { CAUTIONS_SHORT } from '../../src/core/recipe/cautions.ts'
import { describeInBrowser, readState } from './open-app.ts'

/**
 * What is kept and what is learnt, on the built page as its user meets it: the recipe on paper, the beginner's start, the
 * cautions, and parts taken off. Numbers go the way physics says, never to a recorded value.
 */
describeInBrowser('keeping and learning', open => {
  test('the recipe is one printed page: coats, whole drops, psi and bar, cautions; copied as text it says the same', async () => {
    const { page, errors } = await open()
    // A mix that is not in whole drops, a pressure of its own, and a coat that must stay off the page.
    await page.evaluate(() => {
      const { store, commands } = (window as never as GreycoatPage).greycoat
      const [white, blue] = store.getState().history.present.recipe.coats
      commands.setMix(blue.id, { paintDrops: 1, thinnerDrops: 2.5, mediumDrops: 0 })
      commands.setAirbrush(white.id, { pressureBar: 1.3 })
      const hidden = commands.addCoat('even')
      commands.renameCoat(hidden, 'Kept off the page')
      commands.hideCoat(hidden, true)
      commands.select({ openCoat: null })
    })
    await waitUntilSettled(page)
    await page.getByRole('button', { name: 'Recipe', exact: true }).click()
    const dialog = page.getByRole('dialog', { name: 'Recipe' })
    await dialog.waitFor()
    const shown = oneLine((await dialog.textContent()) ?? '')
    await dialog.getByRole('button', { name: 'Copy as text' }).click()
    await page.getByText('Copied the recipe as text').waitFor()
    const text = await page.evaluate(() => navigator.clipboard.readText())
    expect(Math.max(...text.split('\n').map(line => line.length))).toBeLessThanOrEqual(80)

    const coats = await readState(page, s =>
      s.history.present.recipe.coats
        .filter(coat => !coat.hidden)
        .flatMap(coat => (coat.kind === 'varnish' ? [] : [coat]))
        .map(coat => ({
          name: coat.name,
          thinner: coat.mix.thinnerDrops,
          bar: coat.kind === 'mist' ? coat.airbrush.pressureBar : null,
        })),
    )
    expect(coats.length).toBeGreaterThanOrEqual(2)
    for (const page of [shown, oneLine(text)]) {
      for (const { name, thinner, bar } of coats) {
        expect(page).toContain(name)
        // 1 : 2.5 is 2 : 5 in whole drops.
        expect(page).toContain(Number.isInteger(thinner) ? `1 paint + ${thinner} thinner` : '2 paint + 5 thinner')
        // 1 bar = 14.5038 psi (NIST SP 811, appendix B, from 1 psi = 6.894757 kPa).
        if (bar !== null) expect(page).toContain(`${Math.round(bar * 14.5038)} psi (${bar.toFixed(2)} bar)`)
      }
      expect(page).toContain('19 psi (1.30 bar)')
      for (const caution of CAUTIONS_SHORT) expect(page).toContain(oneLine(caution))
      expect(page).not.toContain('Kept off the page')
    }

    await page.waitForFunction(() => document.querySelectorAll('[role=dialog] .sheet img').length === 4, null, {
      timeout: 30_000,
    })
    // A page object is '/Type /Page'; '/Pages' is their tree (ISO 32000-1, 7.7.3).
    const pdf = (await page.pdf({ preferCSSPageSize: true, printBackground: true })).toString('latin1')
    expect(pdf.match(/\/Type\s*\/Page\b/g)).toHaveLength(1)
    // A4 (ISO 216) is 210 × 297 mm, 595.28 × 841.89 points.
    const [width, height] = /\/MediaBox\s*\[\s*0\s+0\s+([\d.]+)\s+([\d.]+)/.exec(pdf)!.slice(1).map(Number)
    expect(Math.abs(width - 595.28)).toBeLessThan(1)
    expect(Math.abs(height - 841.89)).toBeLessThan(1)

    const besideSheet = () => page.evaluate(visibleBesideSheet)
    expect((await besideSheet()).length).toBeGreaterThan(0)
    await page.emulateMedia({ media: 'print' })
    expect(await besideSheet()).toEqual([])
    expect(await page.locator('.sheet').isVisible()).toBe(true)
    expect(errors).toEqual([])
    await page.context().close()
  })

  test("the beginner's start by keyboard alone: black, front, back, greys, and a thick coat that takes the contrast", async () => {
    const { page, errors } = await open()
    const recipe = () => readState(page, s => s.history.present.recipe)
    const reading = async () => {
      await waitUntilSettled(page)
      return readState(page, s => s.derived.readings.main!)
    }
    const own = await recipe()

    await tabTo(page, 'Start')
    await page.keyboard.press('Enter')
    // Every step takes the focus along: its button is never more than a few presses away.
    await tabTo(page, 'Begin', 4)
    await page.keyboard.press('Space')
    await page.getByRole('heading', { name: 'A black figure' }).waitFor()
    const black = await reading()
    // Carbon black under a matt surface is about L* 29 (from memory); bare primer has no contrast.
    expect(black.valueTo).toBeLessThan(40)
    expect(black.contrast).toBeLessThan(3)

    await tabTo(page, 'Spray front', 4)
    await page.keyboard.press('Enter')
    await page.getByRole('heading', { name: /^Front: pass (\d+) of \1$/ }).waitFor({ timeout: 60_000 })
    const front = await reading()
    expect(front.contrast).toBeGreaterThan(black.contrast + 15)

    // Seen from behind, the front torch alone leaves more of the figure dark than both do.
    const goToView = (view: string) =>
      page.evaluate(v => (window as never as GreycoatPage).greycoat.commands.goToView(v), view)
    await goToView('back')
    await page.waitForTimeout(600)
    const unlit = await reading()
    await tabTo(page, 'Spray back', 4)
    await page.keyboard.press('Space')
    await page.getByRole('heading', { name: /^Back: pass (\d+) of \1$/ }).waitFor({ timeout: 60_000 })
    const back = await reading()
    expect(back.contrast).toBeGreaterThan(unlit.contrast)
    expect(back.contrast).toBeGreaterThan(black.contrast + 15)
    expect(back.dark).toBeLessThan(unlit.dark)

    await tabTo(page, 'See the greys', 4)
    await page.keyboard.press('Enter')
    await page.getByRole('list', { name: 'Five even steps of value' }).waitFor()
    const greys = await reading()
    expect(greys.valueTo).toBeGreaterThan(black.valueTo + 15)

    await tabTo(page, 'Put a colour over it', 4)
    await page.keyboard.press('Space')
    await tabTo(page, 'One colour, all over', 4)
    // Arrow keys are one gesture until the slider is left: only then is the picture refined.
    await page.keyboard.press('Home')
    await page.keyboard.press('Shift+Tab')
    const thin = (await reading()).contrastLeft!
    await tabTo(page, 'One colour, all over', 2)
    await page.keyboard.press('End')
    await page.keyboard.press('Shift+Tab')
    const thick = (await reading()).contrastLeft!
    expect(thin).toBeGreaterThan(thick + 0.4)
    expect(thin).toBeLessThanOrEqual(1)

    expect(await recipe()).not.toEqual(own)
    await tabTo(page, 'Bring my recipe back', 4)
    await page.keyboard.press('Enter')
    expect(await recipe()).toEqual(own)
    // Undo too brings it back, from the last step to before the first.
    await page.keyboard.press('Control+z')
    expect((await recipe()).name).not.toBe(own.name)
    let undone = 1
    for (; undone < 20 && (await recipe()).name !== own.name; undone++) await page.keyboard.press('Control+z')
    expect(await recipe()).toEqual(own)
    expect(errors).toEqual([])
    await page.context().close()
  })

  test('cautions come first, hold the focus until they are read, and stay one click away', async () => {
    const { page, errors } = await open({ settled: false })
    const dialog = page.getByRole('dialog', { name: 'Before you spray' })
    await dialog.waitFor({ timeout: 60_000 })
    expect(await dialog.textContent()).toMatch(/safety data sheets/)
    const focused = async () => {
      const inside = await dialog.evaluate(element => element.contains(document.activeElement))
      return inside
        ? page.evaluate(() => document.activeElement!.textContent || document.activeElement!.ariaLabel)
        : null
    }
    // Round both ways, further than the dialog has places to stop at.
    const stops: (string | null)[] = []
    for (const key of ['Tab', 'Tab', 'Tab', 'Tab', 'Shift+Tab', 'Shift+Tab', 'Shift+Tab']) {
      await page.keyboard.press(key)
      stops.push(await focused())
    }
    expect(stops).not.toContain(null)
    expect(new Set(stops)).toEqual(new Set(['Close', 'I have read this']))

    await dialog.getByRole('button', { name: 'I have read this' }).click()
    await dialog.waitFor({ state: 'detached' })
    expect(await page.getByRole('dialog').count()).toBe(0)
    await page.getByRole('button', { name: 'Cautions' }).first().click()
    await dialog.waitFor()
    await page.keyboard.press('Escape')
    await dialog.waitFor({ state: 'detached' })
    expect(errors).toEqual([])
    await page.context().close()
  })

  test('a helmet left out gets none of that coat, and all other coats; sprayed apart it gets some again', async () => {
    const { page, errors } = await open()
    const white = await readState(page, s => s.history.present.recipe.coats[0].id)
    const films = () => page.evaluate(filmsOnParts, { coat: white, parts: ['Helmet', 'Shield'] })
    const setHelmet = async (state: 'Apart' | 'Off') => {
      await page
        .getByRole('radiogroup', { name: 'Helmet while spraying' })
        .getByRole('radio', { name: state, exact: true })
        .click()
      await waitUntilSettled(page)
    }
    const on = await films()
    expect(on.Helmet.length).toBeGreaterThanOrEqual(6)
    expect(on.Shield.length).toBeGreaterThanOrEqual(6)
    expect(sum(on.Helmet.map(f => f.ofCoat))).toBeGreaterThan(0)

    await page.evaluate(id => (window as never as GreycoatPage).greycoat.commands.select({ openCoat: id }), white)
    await page.getByRole('button', { name: /^Parts/ }).click()
    await setHelmet('Off')
    const off = await films()
    expect(off.Helmet.map(f => f.ofCoat)).toEqual(on.Helmet.map(() => 0))
    // The coats over it are untouched, and so is white elsewhere, but for a shadow less.
    expect(off.Helmet.map(f => f.ofOthers)).toEqual(on.Helmet.map(f => f.ofOthers))
    expect(sum(off.Shield.map(f => f.ofCoat))).toBeGreaterThan(0.98 * sum(on.Shield.map(f => f.ofCoat)))

    await setHelmet('Apart')
    const apart = await films()
    // Shadowed by itself alone it gets no less than among the others; 2 % for the noise of sampling.
    expect(sum(apart.Helmet.map(f => f.ofCoat))).toBeGreaterThan(0.98 * sum(on.Helmet.map(f => f.ofCoat)))
    expect(errors).toEqual([])
    await page.context().close()
  })

  test('arrow keys on a slider that follow one another are one step of undo', async () => {
    const { page, errors } = await open()
    const past = () => readState(page, s => s.history.past.length)
    await page.evaluate(() => (window as never as GreycoatPage).greycoat.commands.select({ openCoat: 'coat_2' }))
    const slider = page.locator('.slab .slider input').first()
    const before = await past()
    await slider.focus()
    for (const key of ['ArrowRight', 'ArrowRight', 'ArrowLeft', 'ArrowRight']) await page.keyboard.press(key)
    expect(await past()).toBe(before + 1)
    await page.keyboard.press('Tab')
    await slider.focus()
    await page.keyboard.press('ArrowRight')
    expect(await past()).toBe(before + 2)
    expect(errors).toEqual([])
    await page.context().close()
  })
})

interface GreycoatPage {
  readonly greycoat: {
    readonly store: { getState(): AppState }
    // biome-ignore lint/suspicious/noExplicitAny: evaluated inside the page, where no types reach
    readonly commands: any
  }
}

const oneLine = (text: string): string => text.replace(/\s+/g, ' ')

const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0)

/** Presses Tab until the focus is on what has this name, as a keyboard finds it. */
async function tabTo(page: Page, name: string, most = 60): Promise<void> {
  // What is busy cannot be reached: wait until it is offered.
  await page.waitForFunction(
    label =>
      [...document.querySelectorAll('button, input')].some(
        e =>
          !(e as HTMLButtonElement).disabled &&
          (e.textContent === label || e.closest('.slider')?.textContent?.startsWith(label)),
      ),
    name,
    { timeout: 60_000 },
  )
  const passed: string[] = []
  for (let presses = 0; presses < most; presses++) {
    await page.keyboard.press('Tab')
    const at = await page.evaluate(() => {
      const element = document.activeElement as HTMLInputElement | null
      const labels = element?.getAttribute('aria-labelledby')?.split(' ') ?? []
      const named = labels.map(id => document.getElementById(id)?.textContent ?? '').join(' ')
      return named || element?.ariaLabel || element?.textContent || ''
    })
    if (at === name) return
    passed.push(at.slice(0, 40))
  }
  throw new Error(`Tab does not reach “${name}” within ${most}: ${passed.join(' | ')}`)
}

/** What can be seen outside the recipe's sheet, by tag and class; runs inside the page. */
function visibleBesideSheet(): string[] {
  const sheet = document.querySelector('.sheet')
  return [...document.body.querySelectorAll('*')]
    .filter(e => sheet !== null && !sheet.contains(e) && !e.contains(sheet) && e.checkVisibility())
    .filter(e => {
      // What only a screen reader meets is one pixel large.
      const { width, height } = e.getBoundingClientRect()
      return width > 1 && height > 1 && !e.closest('[data-live-announcer], [style*="clip"]')
    })
    .map(e => `${e.tagName.toLowerCase()}.${e.getAttribute('class') ?? ''}`)
}

interface FilmAt {
  /** Dry film of the coat in question, µm. */
  readonly ofCoat: number
  /** Of all others and the primer, µm. */
  readonly ofOthers: number
}

/** Film where a line of sight straight down the normal meets the part, at places spread over it; runs inside the page. */
async function filmsOnParts(asked: { coat: string; parts: string[] }): Promise<Record<string, FilmAt[]>> {
  const { store, commands } = (window as never as GreycoatPage).greycoat
  const figure = store.getState().derived.figure!
  const found: Record<string, FilmAt[]> = {}
  for (const name of asked.parts) {
    found[name] = []
    const part = figure.parts.find(p => p.name === name)!
    for (let i = 0; i < 16; i++) {
      const v = 3 * (part.firstVertex + Math.floor(((i + 0.5) * part.vertexCount) / 16))
      const normal = [...figure.normals.subarray(v, v + 3)]
      const origin = normal.map((n, k) => figure.positions[v + k] + 0.2 * n)
      commands.hover(null)
      commands.hover({
        side: 'main',
        u: 0.5,
        v: 0.5,
        x: 10 + i,
        y: 10,
        ray: { origin, direction: normal.map(n => -n) },
      })
      for (let wait = 0; wait < 100 && store.getState().session.hover?.x !== 10 + i; wait++)
        await new Promise(done => setTimeout(done, 20))
      const { hover } = store.getState().session
      // Another part may lie close above.
      if (hover?.x !== 10 + i || hover.partId !== part.id) continue
      let [ofCoat, ofOthers] = [0, 0]
      for (const layer of hover.layers) {
        if (layer.coatId === asked.coat) ofCoat += layer.thicknessUm
        else ofOthers += layer.thicknessUm
      }
      found[name].push({ ofCoat, ofOthers })
    }
  }
  commands.hover(null)
  return found
}
