import { expect, test } from 'vitest'
import { preshadeEndIndex } from '../core/chain/preshade-end.ts'
import type { Recipe } from '../core/recipe/recipe.ts'
import { recipeSchema } from '../document/document-schema.ts'
import { hasCoatOverPreshade } from './contrast-left.ts'
import { blackFigure, coloured, START_PASSES, sprayed } from './start-recipe.ts'

const STEPS: readonly (readonly [string, Recipe, torches: number, hasColour: boolean])[] = [
  ['black', blackFigure(), 0, false],
  ['the first pass from the front', sprayed(1, null), 1, false],
  ['front and back', sprayed(START_PASSES, START_PASSES), 2, false],
  ['a colour over it', coloured(2), 2, true],
]

// What the schema refuses, the editor would quietly not do: the lesson would stand still.
test.each(STEPS)('%s is a recipe the document takes', (_, recipe) => {
  expect(recipeSchema.safeParse(recipe).error).toBeUndefined()
})

test.each(STEPS)('%s: torches, and contrast left only under a colour', (_, recipe, torches, hasColour) => {
  expect(recipe.coats.flatMap(coat => (coat.kind === 'mist' ? coat.torches : []))).toHaveLength(torches)
  expect(hasCoatOverPreshade(recipe)).toBe(hasColour)
})

test('the white alone ends the pre-shade by the default rule too', () => {
  expect(preshadeEndIndex({ ...coloured(2), preshadeEnd: null })).toBe(0)
})

test('a hidden colour leaves no contrast to be left', () => {
  const [white, blue] = coloured(2).coats
  expect(hasCoatOverPreshade({ ...coloured(2), coats: [white, { ...blue, hidden: true }] })).toBe(false)
})
