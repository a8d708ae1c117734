import { readFileSync } from 'node:fs'
import type { Locator, Page } from 'playwright-core'
import { expect, test } from 'vitest'
import { waitUntilSettled } from '../../scripts/browser-page.ts'
import { type LessonId, lessonOf } from '../../src/document/lessons.ts'
import { describeInBrowser, readState } from './open-app.ts'

/** As whoever has no mouse does it: to the control by focus, then keys. */
async function press(control: Locator, ...keys: string[]): Promise<void> {
  await control.focus()
  for (const key of keys) await control.page().keyboard.press(key)
}

const button = (page: Page, name: string | RegExp) =>
  page.getByRole('button', { name, exact: typeof name === 'string' })

/** A share that the page states, '74.6 %' → 0.746. */
const shareIn = (text: string): number => Number(/([\d.]+) %/.exec(text)![1]) / 100

/** What is moved in each lesson, in their order. */
const MOVES: readonly (readonly [LessonId, 'slider' | 'switch', string, readonly string[]])[] = [
  ['form', 'slider', 'Height of the torch', ['End']],
  ['distance', 'slider', 'From the middle to the nozzle', ['Home']],
  ['recess', 'slider', 'Height of the torch', ['End']],
  ['front-back', 'switch', 'Second torch, behind', ['Space']],
  ['thickness', 'slider', 'Coat over the pre-shade', ['End']],
  ['covering', 'slider', 'Coat over the pre-shade', ['ArrowRight', 'ArrowRight', 'ArrowRight']],
]

describeInBrowser('comparing and learning', open => {
  test('what differs is said, tabled, mapped and saved as one picture', async () => {
    const { page, errors } = await open()
    await press(page.getByRole('radio', { name: 'Side by side' }), 'Space')
    await page.waitForFunction(
      () => (window as never as TeachPage).greycoat.store.getState().derived.readings.other !== null,
    )
    await waitUntilSettled(page)
    const { main, other, difference } = await readState(page, s => ({
      main: s.derived.readings.main!,
      other: s.derived.readings.other!,
      difference: s.derived.difference!,
    }))
    const sentence = await page.locator('.difference-words').textContent()
    expect(sentence).toContain(`differ by ${Math.round(other.contrast)} step`)
    expect(sentence).toContain(`by ${Math.round(main.contrast)}, which is ${Math.round(100 * main.contrastLeft!)} %`)
    expect(difference.shares.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 6)

    // The map has greys only, and as much of the brightest as the table says differs most.
    await press(page.getByRole('switch', { name: 'Show it on the figure' }), 'Space')
    await page.waitForFunction(
      () => (window as never as TeachPage).greycoat.store.getState().history.present.look.kind === 'difference',
    )
    await waitUntilSettled(page)
    const greys = await readState(page, s => {
      const rgb = s.derived.sides.main!.linearRgb
      let coloured = 0
      for (let i = 0; i < rgb.length; i += 3) if (rgb[i] !== rgb[i + 1] || rgb[i] !== rgb[i + 2]) coloured++
      return { coloured, levels: new Set(rgb).size }
    })
    expect(greys.coloured).toBe(0)
    expect(greys.levels).toBeLessThanOrEqual(5)
    expect(await page.getByRole('region', { name: 'Difference between the two sides' }).textContent()).toContain('ΔE00')

    // Another recipe's coats, over their own base and over one grey.
    await press(page.getByRole('radio', { name: 'Painted' }), 'Space')
    await press(button(page, 'Compare against'), 'Enter')
    await press(button(page, 'Keep this one as it is now'), 'Enter')
    await page.getByText('Side by side nobody would tell them apart.').waitFor()
    await press(page.getByRole('radio', { name: 'One flat grey' }), 'Space')
    await page.keyboard.press('Escape')
    await page.getByText(/^In .* over a flat base the lights and darks differ by/).waitFor()
    // Over the same grey the same coats read the same.
    await page.waitForFunction(
      flat => {
        const { readings } = (window as never as TeachPage).greycoat.store.getState().derived
        return Math.abs(readings.other.contrast - flat) < 1e-3
      },
      other.contrast,
      { timeout: 20_000 },
    )
    await waitUntilSettled(page)
    await press(button(page, 'Export'), 'Enter')
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      press(button(page, 'Save both sides'), 'Enter'),
    ])
    expect(download.suggestedFilename()).toMatch(/compared\.png$/)
    expect(errors).toEqual([])
    await page.context().close()
  })

  test('at arm’s length less of the contrast is left the farther off, at the size a bank card says', async () => {
    const { page, errors } = await open()
    await press(button(page, 'See it at arm’s length'), 'Enter')
    const outcome = page.locator('.arms-length-outcome .big-number')
    await outcome.waitFor({ timeout: 60_000 })
    const near = shareIn((await outcome.textContent())!)
    await press(page.getByRole('slider', { name: 'Looked at from' }), 'End')
    await page.getByText(/seen from 300 cm/).waitFor({ timeout: 60_000 })
    await page.waitForFunction(
      before => Number(/\d+/.exec(document.querySelector('.arms-length-outcome .big-number')!.textContent!)) < before,
      100 * near,
      { timeout: 60_000 },
    )
    // The card drawn ten steps wider, and the figure grows with it.
    const width = () =>
      page
        .locator('.arms-length canvas')
        .first()
        .evaluate(c => c.getBoundingClientRect().width)
    const before = await width()
    await press(button(page, 'Match it with a bank card'), 'Enter')
    await press(page.getByRole('slider', { name: 'Width of the outline' }), ...Array(10).fill('ArrowRight'))
    await press(button(page, 'It fits'), 'Enter')
    const kept = await readState(page, s => s.preferences.screenPxPerMm!)
    expect(kept).toBeCloseTo(334 / 85.6, 6)
    await page.locator('.arms-length canvas').first().waitFor()
    expect((await width()) / before).toBeCloseTo(kept / (96 / 25.4), 2)
    expect(errors).toEqual([])
    await page.context().close()
  })

  test('a lesson answers with a number near theory, and leaves the user’s work and undo as they were', async () => {
    const { page, errors } = await open()
    await page.evaluate(() => {
      const { commands, store } = (window as never as TeachPage).greycoat
      commands.renameCoat(store.getState().history.present.recipe.coats[0].id, 'Mine')
    })
    await press(button(page, 'Learn'), 'Enter')
    await press(button(page, /^Light on simple shapes/), 'Enter')
    const stated = async () => {
      await page.waitForFunction(
        () => (window as never as TeachPage).greycoat.store.getState().derived.figure?.parts.length === 1,
      )
      await waitUntilSettled(page)
      const answer = page.locator('.lesson-answer')
      return {
        measured: shareIn((await answer.locator('.big-number').textContent())!),
        theory: shareIn((await answer.locator('.explained').textContent())!),
      }
    }
    const first = await stated()
    expect(Math.abs(first.measured - first.theory)).toBeLessThan(0.015)
    await press(page.getByRole('slider', { name: 'Torch around the shape' }), ...Array(12).fill('ArrowRight'))
    const second = await stated()
    expect(second.theory).toBeLessThan(first.theory - 0.2)
    expect(Math.abs(second.measured - second.theory)).toBeLessThan(0.015)
    // What is kept meanwhile is the user's own.
    expect(await readState(page, s => s.session.learning!.aside!.present.recipe.coats[0].name)).toBe('Mine')
    await turns(page)
    await press(button(page, 'Back to my figure'), 'Enter')
    await page.waitForFunction(
      () => ((window as never as TeachPage).greycoat.store.getState().derived.figure?.parts.length ?? 0) > 1,
    )
    await waitUntilSettled(page)
    expect(await readState(page, s => s.history.present.recipe.coats[0].name)).toBe('Mine')
    await page.keyboard.press('Control+z')
    expect(await readState(page, s => s.history.present.recipe.coats[0].name)).not.toBe('Mine')
    expect(errors).toEqual([])
    await page.context().close()
  })

  test('every lesson by keys alone: something moves, a number answers near theory, on to the next', async () => {
    const { page, errors } = await open()
    await press(button(page, 'Learn'), 'Enter')
    await press(button(page, /^Light on simple shapes/), 'Enter')
    const answers = page.locator('.lesson-answers')
    /** Largest distance of a stated number from its theory. */
    const error = async () => {
      const all = await answers.locator('.lesson-answer').allTextContents()
      expect(all.length).toBeGreaterThan(0)
      return Math.max(
        ...all
          .map(text => text.match(/([\d.]+) %/g)!.map(shareIn))
          .map(([said, theory]) => said - theory)
          .map(Math.abs),
      )
    }
    const stands = async (id: LessonId) => {
      const [solid] = lessonOf(id).solids
      await page.waitForFunction(
        name => (window as never as TeachPage).greycoat.store.getState().history.present.figure.source.name === name,
        solid,
      )
      await waitUntilSettled(page)
      await answers.waitFor()
    }
    await stands('form')
    await printsAPage(page)
    for (const [id, role, name, keys] of MOVES) {
      await stands(id)
      const before = await answers.textContent()
      await press(page.getByRole(role, { name }), ...keys)
      await page.waitForFunction(text => document.querySelector('.lesson-answers')?.textContent !== text, before)
      // Theory answers at once, the mesh when it is sprayed.
      await waitUntilSettled(page)
      await expect.poll(error, { timeout: 20_000 }).toBeLessThan(0.025)
      await press(button(page, /^Next: /), 'Enter')
    }
    await page.getByRole('heading', { name: 'Guess the highlight' }).waitFor()
    expect(errors).toEqual([])
    await page.context().close()
  })

  test('a guess painted with keys alone is judged; a task set by a teacher opens as it was set', async () => {
    const { page, errors } = await open()
    await press(button(page, 'Learn'), 'Enter')
    await press(button(page, /^Guess the highlight/), 'Enter')
    await page.waitForFunction(
      () => (window as never as TeachPage).greycoat.store.getState().derived.guess !== null,
      null,
      {
        timeout: 60_000,
      },
    )
    await waitUntilSettled(page)
    const painted = () => readState(page, s => s.derived.guess!.linearRgb.reduce((n, y) => n + (y > 0.5 ? 1 : 0), 0))
    expect(await painted()).toBe(0)
    await press(page.getByRole('slider', { name: 'Brush' }), 'End')
    await press(page.getByRole('application', { name: 'Brush' }), 'Space', 'ArrowUp', 'ArrowUp', 'ArrowUp', 'Space')
    await page.waitForFunction(() =>
      (window as never as TeachPage).greycoat.store.getState().derived.guess!.linearRgb.some((y: number) => y > 0.5),
    )
    expect(await painted()).toBeGreaterThan(500)
    await press(button(page, 'See where it falls'), 'Enter')
    await page.getByText(/You missed/).waitFor({ timeout: 60_000 })
    const score = await readState(page, s => s.session.guess!.score!)
    expect(score.overlap).toBeGreaterThan(0.01)
    expect(score.overlap).toBeLessThan(1)
    expect(score.edgeErrorMm).toBeGreaterThan(0)

    await press(button(page, 'Set a task for others'), 'Enter')
    await press(page.getByRole('slider', { name: 'Torch around the figure' }), 'Home')
    const [download] = await Promise.all([page.waitForEvent('download'), press(button(page, 'Save the task'), 'Enter')])
    const path = await download.path()
    await press(button(page, 'Back to my figure'), 'Enter')
    await page.getByTestId('open-files').setInputFiles({
      name: 'hard.task.json',
      mimeType: 'application/json',
      buffer: readFileSync(path),
    })
    await page.waitForFunction(() => (window as never as TeachPage).greycoat.store.getState().session.guess !== null)
    const coat = await readState(page, s => s.history.present.recipe.coats[0])
    expect(coat.kind === 'mist' && coat.torches[0].azimuthDegrees).toBe(-180)
    expect(errors).toEqual([])
    await page.context().close()
  })
})

/** The sheet of the first lesson as it begins. */
async function printsAPage(page: Page): Promise<void> {
  await page.evaluate(() => {
    window.print = () => document.body.setAttribute('data-printed', '')
  })
  await press(button(page, 'Lesson sheet to print'), 'Enter')
  const sheet = page.getByRole('dialog', { name: 'Lesson sheet' })
  await sheet.locator('.lesson-pictures img').waitFor()
  const text = await sheet.locator('article').textContent()
  expect(text).toContain(lessonOf('form').claim)
  // Torch 60° around and 30° up, eye level in front: cos φ = cos 60° · cos 30°.
  expect(text).toContain(`theory: ${(50 * (1 + 0.5 * Math.cos(Math.PI / 6))).toFixed(1)} %`)
  await press(button(page, 'Print'), 'Enter')
  expect(await page.locator('body[data-printed]').count()).toBe(1)
  await page.keyboard.press('Escape')
  await sheet.waitFor({ state: 'detached' })
  await page.waitForFunction(() => document.activeElement?.textContent === 'Lesson sheet to print')
}

/** A cube is itself again after a quarter turn under the same torch and eye, and not after an eighth. */
async function turns(page: Page): Promise<void> {
  const sphere = await readState(page, s => s.derived.figure!.id)
  await press(button(page, /Seen on/), 'Enter', 'ArrowDown', 'ArrowDown', 'Enter')
  await page.waitForFunction(
    id => (window as never as TeachPage).greycoat.store.getState().derived.figure.id !== id,
    sphere,
  )
  await waitUntilSettled(page)
  await press(button(page, 'The shape turning under the torch'), 'Enter')
  await page.getByRole('img', { name: 'Turned by 315°' }).waitFor()
  const greys = await page.locator('.turning-strip canvas').evaluateAll(all =>
    all.map(canvas => {
      const { data } = (canvas as HTMLCanvasElement).getContext('2d')!.getImageData(0, 0, 96, 96)
      let [sum, seen] = [0, 0]
      for (let i = 0; i < data.length; i += 4) {
        if (data[i + 3] === 0) continue
        sum += data[i + 1]
        seen++
      }
      return sum / seen
    }),
  )
  expect(greys).toHaveLength(8)
  greys.forEach((grey, i) => {
    expect(Math.abs(grey / greys[i % 2] - 1)).toBeLessThan(0.02)
  })
  expect(Math.abs(greys[0] / greys[1] - 1)).toBeGreaterThan(0.05)
}

interface TeachPage {
  greycoat: {
    // biome-ignore lint/suspicious/noExplicitAny: the page's own state, read inside the page
    store: { getState(): any }
    // biome-ignore lint/suspicious/noExplicitAny: as above
    commands: any
  }
}
