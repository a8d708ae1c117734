import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
import { waitUntilSettled } from '../../scripts/browser-page.ts'
import { describeInBrowser, readState } from './open-app.ts'

/** The areas of the figure, on the built page, by keyboard alone. */
describeInBrowser('areas', open => {
  test('an unlit area is found, marked on the stage, named and let stay dark; undo takes both back', async () => {
    const { page, errors } = await open()
    await untilAreas(page)
    await tabTo(page, /^Areas/)
    await page.keyboard.press('Enter')
    const before = await stage(page)
    // Past the heading's explanation to the first row, the largest.
    await tabTo(page, / %$/)
    const pointed = await readState(page, s => s.session.pointedArea)
    const largest = await readState(page, s => {
      const { areas, panels } = s.derived
      const unlit = areas!.filter(a => a.litShare < 0.5)
      unlit.sort((x, y) => y.seenShare * (1 - y.litShare) - x.seenShare * (1 - x.litShare))
      return panels!.panels[unlit[0].panel].id
    })
    expect(pointed).toBe(largest)
    await page.waitForTimeout(300)
    expect(Buffer.compare(await stage(page), before)).not.toBe(0)

    await page.keyboard.press('Enter')
    await page.keyboard.press('Tab')
    await page.keyboard.press('Control+A')
    await page.keyboard.type('lining')
    await page.keyboard.press('Enter')
    expect(await readState(page, s => s.history.present.panels.names)).toEqual({ [largest]: 'lining' })
    await page.keyboard.press('Tab')
    await page.keyboard.press('Space')
    expect(await readState(page, s => s.history.present.panels.meantDark)).toEqual([largest])
    // It has left the list of faults, and stands under its own heading by its new name.
    const faults = page.getByRole('region', { name: 'Seen but unlit' })
    expect(await faults.getByRole('button', { name: /^Lining/ }).count()).toBe(0)
    await tabTo(page, /^Meant to stay dark/)
    await page.keyboard.press('Enter')
    expect(await page.getByRole('button', { name: /^Lining/ }).count()).toBe(1)

    await page.keyboard.press('Control+Z')
    await page.keyboard.press('Control+Z')
    expect(await readState(page, s => s.history.present.panels)).toEqual({ names: {}, meantDark: [] })
    expect(errors).toEqual([])
    await page.context().close()
  })

  test('an area unlit on a side is found, turned to, and lit by the torch that was tried for it; undo takes it away', async () => {
    const { page, errors } = await open()
    await untilAreas(page)
    await tabTo(page, /^Areas/)
    await page.keyboard.press('Enter')
    await tabTo(page, /^Lit from every side/)
    await page.keyboard.press('Enter')
    const tried = () => readState(page, s => s.derived.sideCheck?.unlit.every(u => u.remedies !== null) ?? false)
    await until(page, tried)
    const allBefore = await readState(page, s => s.derived.sideCheck!.unlit.reduce((sum, u) => sum + u.unlitMm2, 0))
    const [first] = await readState(page, s => s.derived.sideCheck!.unlit)
    const torches = () =>
      readState(page, s => s.history.present.recipe.coats.map(c => (c.kind === 'mist' ? c.torches.length : 0)))
    const before = await torches()
    await tabTo(page, / mm²$/)
    await page.keyboard.press('Enter')
    expect(await readState(page, s => s.history.present.camera.view)).toBe(first.side)
    await tabTo(page, /^Add torch$/)
    await page.keyboard.press('Enter')
    expect((await torches()).reduce((sum, n) => sum + n)).toBe(before.reduce((sum, n) => sum + n) + 1)
    await waitUntilSettled(page)
    // The old answer stands until the new one is there.
    const unlitMm2 = () => readState(page, s => s.derived.sideCheck!.unlit.reduce((sum, u) => sum + u.unlitMm2, 0))
    await until(page, async () => (await unlitMm2()) !== allBefore && (await tried()))
    const after = await readState(page, s => s.derived.sideCheck!.unlit)
    const left = after.find(u => u.side === first.side && u.panel === first.panel)?.unlitMm2 ?? 0
    expect(left / first.unlitMm2).toBeLessThan(1 - first.remedies!.find(r => r.kind === 'torch')!.reached + 0.1)
    await page.keyboard.press('Control+Z')
    expect(await torches()).toEqual(before)
    expect(errors).toEqual([])
    await page.context().close()
  })
})

async function until(page: Page, done: () => Promise<boolean>): Promise<void> {
  for (let i = 0; !(await done()); i++) {
    if (i > 300) throw new Error('waited in vain')
    await page.waitForTimeout(200)
  }
}

async function untilAreas(page: Page): Promise<void> {
  await until(page, () => readState(page, s => s.derived.areas !== null))
}

/** Presses Tab until what has the focus reads like this. */
async function tabTo(page: Page, text: RegExp): Promise<void> {
  for (let i = 0; i < 120; i++) {
    await page.keyboard.press('Tab')
    const focused = (await page.evaluate('document.activeElement?.textContent ?? ""')) as string
    if (text.test(focused)) return
  }
  throw new Error(`nothing that reads ${text} can be reached by Tab`)
}

/** The middle of the stage as a picture. */
const stage = (page: Page) => page.screenshot({ clip: { x: 500, y: 200, width: 500, height: 500 } })
