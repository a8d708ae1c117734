import { expect, test } from 'vitest'
import type { GreycoatWindow } from '../../scripts/browser-page.ts'
import { describeInBrowser, readState } from './open-app.ts'

describeInBrowser('the airbrush', open => {
  test('is calibrated from a dot and a line, in one undo step, and then the range is narrower', async () => {
    const { page, errors } = await open()
    const coat = await readState(page, s => s.history.present.recipe.coats[0].id)
    await page.evaluate(id => (window as unknown as GreycoatWindow).greycoat.commands.select({ openCoat: id }), coat)
    await page.getByRole('button', { name: /^Airbrush/ }).click()
    expect(await page.getByText(/Micrometres are estimates/).count()).toBe(1)
    await page.getByRole('button', { name: 'Calibrate airbrush' }).click()
    const dialog = page.getByRole('dialog', { name: 'Calibrate airbrush' })
    const across = dialog.getByRole('textbox', { name: 'Across' })
    await across.fill('26')
    await across.press('Enter')
    expect(await dialog.getByText(/isocyanate/).count()).toBe(1)
    await dialog.getByRole('button', { name: /^Use for/ }).click()
    await dialog.waitFor({ state: 'detached' })
    // D90 / (4.29 · d): 26 / (4.2919 · 100).
    const spread = await readState(page, s => s.history.present.recipe.calibration?.spread ?? 0)
    expect(spread).toBeCloseTo(26 / 429.19, 5)
    expect(await page.getByText(/Measured on card/).count()).toBe(1)
    await page.getByRole('button', { name: 'Undo' }).click()
    expect(await readState(page, s => s.history.present.recipe.calibration)).toBeNull()
    expect(errors).toEqual([])
  }, 120_000)

  test('warns beside the coat, and is quiet again when all is well', async () => {
    const { page, errors } = await open()
    const count = page.locator('.warning-count')
    expect(await count.count()).toBe(0)
    await page.evaluate(() => {
      const { commands, store } = (window as unknown as GreycoatWindow).greycoat
      const { id } = store.getState().history.present.recipe.coats[0]
      commands.select({ openCoat: id })
      commands.setAirbrush(id, { pressureBar: 2.5 })
    })
    await count.waitFor()
    expect(await count.textContent()).toContain('1')
    expect(await page.getByText(/turn chalky/).count()).toBe(1)
    await page.getByRole('button', { name: 'Undo' }).click()
    await count.waitFor({ state: 'detached' })
    expect(errors).toEqual([])
  }, 120_000)
})
