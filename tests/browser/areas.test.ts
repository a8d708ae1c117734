import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
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
})

async function untilAreas(page: Page): Promise<void> {
  for (let i = 0; !(await readState(page, s => s.derived.areas !== null)); i++) {
    if (i > 300) throw new Error('the areas were not found')
    await page.waitForTimeout(200)
  }
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
