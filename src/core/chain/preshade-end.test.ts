import { expect, test } from 'vitest'
import { isAchromatic } from '../film/coat-film.ts'
import { PAINT_SHELF } from '../film/paint-shelf.ts'
import { demoRecipe } from '../recipe/demo-recipe.ts'
import type { Recipe } from '../recipe/recipe.ts'
import { preshadeEndIndex } from './preshade-end.ts'

const stack = (...paints: string[]): Recipe => ({
  ...demoRecipe(),
  preshadeEnd: null,
  paints: PAINT_SHELF,
  coats: paints.map((paint, i) => ({
    kind: 'even',
    id: `c${i}`,
    name: '',
    hidden: false,
    paint,
    mix: { paintDrops: 1, thinnerDrops: 0, mediumDrops: 0 },
    parts: {},
    thicknessUm: 5,
  })),
})

test('white, grey and black are achromatic; a violet that is all but black when thick is not', () => {
  const grey = PAINT_SHELF.filter(isAchromatic).map(p => p.id)
  expect(grey.sort()).toEqual(['black', 'warm_grey', 'white'])
  expect(isAchromatic({ body: { kind: 'quick', hex: '#808080', covering: 'half' } })).toBe(true)
  expect(isAchromatic({ body: { kind: 'quick', hex: '#405060', covering: 'see-through' } })).toBe(false)
})

test.each([
  [['white', 'warm_grey', 'deep_blue'], 1],
  [['white', 'violet', 'white'], 0],
  [['leather', 'white', 'ochre'], 1],
  [['black', 'white'], 1],
  [['yellow', 'ochre'], null],
  [[], null],
] as const)('%o ends its pre-shade at %o', (paints, end) => {
  expect(preshadeEndIndex(stack(...paints))).toBe(end)
})

test('the mark wins unless its coat is hidden; hidden coats are passed over', () => {
  const recipe = { ...stack('white', 'warm_grey', 'ochre', 'yellow'), preshadeEnd: 'c2' }
  expect(preshadeEndIndex(recipe)).toBe(2)
  const hide = (...ids: string[]) => recipe.coats.map(c => ({ ...c, hidden: ids.includes(c.id) }))
  expect(preshadeEndIndex({ ...recipe, coats: hide('c2') })).toBe(1)
  expect(preshadeEndIndex({ ...recipe, coats: hide('c2', 'c1') })).toBe(0)
})
