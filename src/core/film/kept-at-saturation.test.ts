import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { sharedPath } from '../../../tests/shared-data.ts'
import type { PaintBody } from '../recipe/recipe.ts'
import { atSaturation } from './kept-at-saturation.ts'
import { PAINT_SHELF } from './paint-shelf.ts'
import { PIGMENTS } from './pigment-curves.ts'

const one = (ci: string, amount = 1): { body: PaintBody } => ({
  body: { kind: 'pigments', pigments: [{ ci, amount }] },
})
const shelf = (id: string) => atSaturation(PAINT_SHELF.find(p => p.id === id)!)!

test('white, grey and black have no colour to compare', () => {
  for (const id of ['white', 'black', 'warm_grey']) expect(shelf(id), id).toBeNull()
})

/** A film knows K·X and S·X alone: half as strong, twice as thick, and the same is kept. */
test('strength changes how thick, not how much is kept', () => {
  const [strong, weak] = [atSaturation(one('PR122'))!, atSaturation(one('PR122', 0.5))!]
  expect(weak.thicknessUm / strong.thicknessUm).toBeCloseTo(2, 2)
  expect(weak.kept).toBeCloseTo(strong.kept, 3)
})

/** White in a paint scatters, so the same colour hides more: common practice, and what the film equation says. */
test('white in a blue, opaque red for a clear one: less comes through at the same saturation', () => {
  const whitened: { body: PaintBody } = {
    body: {
      kind: 'pigments',
      pigments: [
        { ci: 'PB15:4', amount: 0.7 },
        { ci: 'PW6', amount: 0.3 },
      ],
    },
  }
  expect(atSaturation(whitened)!.kept).toBeLessThan(atSaturation(one('PB15:4'))!.kept - 0.03)
  expect(shelf('clear_red').kept).toBeGreaterThan(shelf('bright_red').kept + 0.1)
})

const table = sharedPath('data/pigment_hiding_table.json')
const data = sharedPath('data/pigments_abs_16band_per_um.json')
const absent = table && data ? '' : ' (not run: ../shared absent)'
const KEYS: Record<string, string> = {
  'PY43 raw': 'PY43-raw-sienna',
  'PBr7 burnt sienna': 'PBr7-burnt-sienna',
  'PBr7 raw umber': 'PBr7-raw-umber',
  'PBr7 burnt umber': 'PBr7-burnt-umber',
}

/** An independent table from measured acrylics (Okumura, RIT 2005; Berns, CIC24 2016); its steps are 4.7 % wide. */
describe.skipIf(absent)(`against the table${absent}`, () => {
  const rows = absent
    ? []
    : (
        JSON.parse(readFileSync(table!, 'utf8')) as {
          rows: { set: string; ci: string; xChroma80: number; retAtC80: number }[]
        }
      ).rows
  const sets = absent
    ? {}
    : (JSON.parse(readFileSync(data!, 'utf8')) as { pigments: Record<string, { set: string }> }).pigments
  test.each(PIGMENTS.filter(p => atSaturation(one(p.ci))))('$ci', ({ ci }) => {
    const key = KEYS[ci] ?? ci
    const row = rows.find(r => r.ci === key && r.set === sets[key].set)
    expect(row, 'the table has it').toBeDefined()
    const { thicknessUm, kept } = atSaturation(one(ci))!
    expect(Math.abs(kept / row!.retAtC80 - 1)).toBeLessThan(0.25)
    expect(Math.abs(thicknessUm / row!.xChroma80 - 1)).toBeLessThan(0.25)
  })
})
