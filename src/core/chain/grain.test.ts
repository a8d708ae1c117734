import { describe, expect, test } from 'vitest'
import { BANDS } from '../colour/bands.ts'
import { luminanceOf } from '../colour/lab.ts'
import { coatFilm, seenRgb } from '../film/coat-film.ts'
import { film, over } from '../film/kubelka-munk.ts'
import { eachCount } from '../film/mist-film.ts'
import { PAINT_SHELF } from '../film/paint-shelf.ts'
import { demoRecipe } from '../recipe/demo-recipe.ts'
import type { EvenCoat, MistCoat, Recipe } from '../recipe/recipe.ts'
import { grainOf } from './grain.ts'
import { paintedLayers } from './stack-colours.ts'

const demo = demoRecipe().coats[0] as MistCoat
const mist = (paint: string, thinnerDrops = 3): MistCoat => ({
  ...demo,
  id: paint,
  paint,
  mix: { paintDrops: 1, thinnerDrops, mediumDrops: 0 },
})
const recipeOf = (coats: Recipe['coats']): Recipe => ({ ...demoRecipe(), paints: PAINT_SHELF, coats })

function grainAt(coats: Recipe['coats'], um: readonly number[]) {
  const recipe = recipeOf(coats)
  // A second, thicker place, so that the first is none of the table's ends.
  const deposits = um.map(x => Float32Array.of(x, 3 * x + 1))
  return grainOf(paintedLayers(recipe, deposits, { kind: 'primer' }), 2)![0]
}

/** Every count of droplets of every coat with its probability, film upon film at all 16 bands: nothing of the code above. */
function exactly(coats: readonly MistCoat[], um: readonly number[]) {
  const recipe = recipeOf(coats)
  const { base } = paintedLayers(
    recipe,
    um.map(() => Float32Array.of(0)),
    { kind: 'primer' },
  )
  let places: { ground: ArrayLike<number>; share: number }[] = [{ ground: base, share: 1 }]
  coats.forEach((coat, i) => {
    const { optics, dropletUm } = coatFilm(coat, recipe)
    const next: typeof places = []
    eachCount(um[i] / dropletUm, (n, probability) => {
      if (probability < 1e-7) return
      const films = Array.from({ length: BANDS }, (_, b) =>
        film(optics.absorption[b], optics.scattering[b], n * dropletUm),
      )
      for (const { ground, share } of places)
        next.push({ ground: films.map((one, b) => over(one, ground[b])), share: share * probability })
    })
    places = next
  })
  const seen = places.map(({ ground, share }) => ({ y: luminanceOf(...seenRgb(ground)), share }))
  const mean = seen.reduce((sum, { y, share }) => sum + share * y, 0)
  const variance = seen.reduce((sum, { y, share }) => sum + share * (y - mean) ** 2, 0)
  return Math.sqrt(variance) / mean
}

describe('against every count of droplets', () => {
  test.each([
    [[mist('white', 4)], [0.1]],
    [[mist('white', 4)], [1]],
    [[mist('white', 2)], [3]],
    [[mist('bright_red', 2)], [0.4]],
    [
      [mist('white', 4), mist('cold_blue', 3)],
      [2, 0.8],
    ],
    [
      [mist('white', 4), mist('clear_red', 2)],
      [3, 1.5],
    ],
    [
      [mist('white', 2), mist('violet', 4)],
      [6, 0.3],
    ],
  ] as const)('case %#', (coats, um) => {
    expect(Math.abs(grainAt(coats, um) - exactly(coats, um))).toBeLessThan(0.025)
  })
})

test('two to five drops of thinner lessen the speckle of the same white: as √h, so by a third', () => {
  const [two, five] = [2, 5].map(drops => grainAt([mist('white', drops)], [1.5]))
  // Solids fall from 1/3 to 1/6 of the paint's: h to a half.
  expect(five / two).toBeGreaterThan(0.62)
  expect(five / two).toBeLessThan(0.8)
})

test('an even coat has no grain of its own and hides what lies under it', () => {
  const even: EvenCoat = { ...mist('white'), kind: 'even', thicknessUm: 1 }
  expect(grainOf(paintedLayers(recipeOf([even]), [Float32Array.of(2)], { kind: 'primer' }), 1)).toBeNull()
  const bare = grainAt([mist('white')], [1])
  expect(grainAt([mist('white'), { ...even, id: 'even', paint: 'bright_red' }], [1, 4])).toBeLessThan(bare / 3)
  expect(grainAt([mist('white')], [0])).toBe(0)
})
