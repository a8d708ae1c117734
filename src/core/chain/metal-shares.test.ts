import { expect, test } from 'vitest'
import { coatFilm } from '../film/coat-film.ts'
import { filmKeeps } from '../film/half-kept.ts'
import { PAINT_SHELF } from '../film/paint-shelf.ts'
import { demoRecipe } from '../recipe/demo-recipe.ts'
import { DROP_ML } from '../recipe/drops.ts'
import type { EvenCoat, MistCoat, Recipe } from '../recipe/recipe.ts'
import { metalShares } from './metal-shares.ts'

const mist = demoRecipe().coats[0] as MistCoat
const sprayed = (paint: string): MistCoat => ({ ...mist, id: paint, paint })
const glaze: EvenCoat = {
  kind: 'even',
  id: 'glaze',
  name: '',
  hidden: false,
  paint: 'clear_red',
  mix: { paintDrops: 1, thinnerDrops: 0, mediumDrops: 0 },
  parts: {},
  thicknessUm: 1,
}
const recipe = (coats: Recipe['coats']): Recipe => ({ ...demoRecipe(), paints: PAINT_SHELF, coats })
const um = Float32Array.of(0, 0.3, 1.2, 9)
const none = new Float32Array(4)

test('without metallic paint, or with it hidden or under a flat ground, there is nothing to say', () => {
  expect(metalShares(recipe([sprayed('white'), glaze]), [um, um])).toBeNull()
  expect(metalShares(recipe([{ ...sprayed('warm_metal'), hidden: true }]), [um])).toBeNull()
  expect(metalShares(recipe([sprayed('cold_metal'), glaze]), [um, um], 1)).toBeNull()
})

test('a sprayed metal gleams where its droplets lie, coat after coat', () => {
  const metal = sprayed('warm_metal')
  const { dropletUm } = coatFilm(metal, { paints: PAINT_SHELF, dropMl: DROP_ML })
  const once = metalShares(recipe([metal]), [um])!
  for (const [v, thickness] of um.entries()) expect(once[v]).toBeCloseTo(1 - Math.exp(-thickness / dropletUm), 6)
  // Poisson: two coats leave bare what both do.
  const twice = metalShares(recipe([metal, { ...metal, id: 'again' }]), [um, um])!
  for (const [v, share] of twice.entries()) expect(1 - share).toBeCloseTo((1 - once[v]) ** 2, 6)
})

test('a glaze dims it as it does a pre-shade: half is left where half of that is', () => {
  const metal = Float32Array.of(40, 40, 40, 40)
  const film = coatFilm(glaze, { paints: PAINT_SHELF, dropMl: DROP_ML })
  const over = metalShares(recipe([sprayed('cold_metal'), glaze]), [metal, um])!
  expect(over[0]).toBeCloseTo(1, 6)
  expect(over[1]).toBeLessThan(over[0])
  const [low, high] = [2.2, 2.4]
  expect(filmKeeps(film.optics, low)).toBeGreaterThan(0.5)
  expect(filmKeeps(film.optics, high)).toBeLessThan(0.5)
  const half = metalShares(recipe([sprayed('cold_metal'), glaze]), [metal, Float32Array.of(low, high, 0, 0)])!
  expect(half[0]).toBeGreaterThan(0.5)
  expect(half[1]).toBeLessThan(0.5)
  expect(metalShares(recipe([glaze, sprayed('cold_metal')]), [um, none])).toEqual(none)
})
