import { describe, expect, test } from 'vitest'
import { lookOf } from '../chain/look.ts'
import { lStarOfLuminance, luminanceOf } from '../colour/lab.ts'
import { demoRecipe } from '../recipe/demo-recipe.ts'
import type { MistCoat, Recipe } from '../recipe/recipe.ts'
import { figureOf, floorSheet } from '../spray/test-figures.ts'
import { EXPOSURE_BINS } from './light-measures.ts'
import { mistValues, valuesLit } from './mist-values.ts'

const white = demoRecipe().coats[0] as MistCoat
const withPasses = (passes: number): { recipe: Recipe; coat: MistCoat } => {
  const coat: MistCoat = { ...white, torches: [{ ...white.torches[0], passes, rollDegrees: 0 }] }
  return { recipe: { ...demoRecipe(), coats: [coat] }, coat }
}

describe('what the passes of a light leave', () => {
  /** The whole chain, on a sheet where every vertex got the same exposure. */
  test.each([0, 5, 16])('as the chain paints it, at %i sixteenths', k => {
    const { recipe, coat } = withPasses(3)
    const figure = figureOf([floorSheet(5, 1)])
    const exposure = new Float32Array(figure.positions.length / 3).fill(k / EXPOSURE_BINS)
    const { linearRgb } = lookOf(figure, recipe, { exposureOf: () => exposure, opennessOf: () => null })
    const painted = lStarOfLuminance(luminanceOf(linearRgb[0], linearRgb[1], linearRgb[2]))
    expect(Math.abs(mistValues(recipe, coat)[k] - painted)).toBeLessThan(0.3)
  })
  test('more exposure and more passes are lighter', () => {
    const { recipe, coat } = withPasses(2)
    const few = mistValues(recipe, coat)
    const more = withPasses(9)
    const many = mistValues(more.recipe, more.coat)
    for (let i = 1; i <= EXPOSURE_BINS; i++) {
      expect(few[i]).toBeGreaterThan(few[i - 1])
      expect(many[i]).toBeGreaterThan(few[i])
    }
    expect(many[0]).toBeCloseTo(few[0], 6)
  })
})

test('the range leaves a twentieth out at either end, by hand', () => {
  const values = Array.from({ length: EXPOSURE_BINS + 1 }, (_, i) => 10 + 5 * i)
  const bins = (of: Record<number, number>) => Array.from({ length: EXPOSURE_BINS }, (_, k) => of[k] ?? 0)
  // A tenth in the first bin: the twentieth ends half way through it; likewise at the top.
  expect(valuesLit(bins({ 0: 0.1, 7: 0.8, 12: 0.1 }), values)).toEqual({ from: 12.5, to: 72.5 })
  expect(valuesLit(bins({ 3: 1 }), values)).toEqual({ from: 25.25, to: 29.75 })
})
