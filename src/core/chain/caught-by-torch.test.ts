import { expect, test } from 'vitest'
import { demoRecipe } from '../recipe/demo-recipe.ts'
import type { MistCoat } from '../recipe/recipe.ts'
import { caughtByTorch } from './caught-by-torch.ts'

const demo = demoRecipe()
const [white, blue, deep] = demo.coats as [MistCoat, MistCoat, MistCoat]
const areas = Float64Array.of(2, 3, 5)

test('sums over the surface, torch by torch; what is hidden, muted or not baked is left out', () => {
  const [front, back] = white.torches
  const recipe = {
    ...demo,
    coats: [{ ...white, torches: [front, { ...back, muted: true }] }, { ...blue, hidden: true }, deep],
  }
  const caught = caughtByTorch(recipe, areas, {
    exposureOf: (_, torch) => (torch.id === deep.torches[0].id ? null : Float32Array.of(1, 0.5, 0.25)),
    opennessOf: coat => (coat.id === white.id ? Float32Array.of(0, 1, 1) : null),
  })
  // By hand: 2·1 + 3·0.5 + 5·0.25, and 3 + 5.
  expect(caught).toEqual({ [front.id]: { directMm2: 4.75, openMm2: 8 } })
})
