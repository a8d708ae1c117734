import { describe, expect, test } from 'vitest'
import { deltaE2000 } from '../colour/delta-e-2000.ts'
import type { Lamp } from '../colour/illuminants.ts'
import { labOfLinearRgb } from '../colour/lab.ts'
import { lampWeights } from '../colour/lamp-weights.ts'
import { coatFilm, coatOver, seenRgb } from '../film/coat-film.ts'
import { PAINT_SHELF } from '../film/paint-shelf.ts'
import { demoRecipe } from '../recipe/demo-recipe.ts'
import { DROP_ML } from '../recipe/drops.ts'
import type { EvenCoat, Recipe } from '../recipe/recipe.ts'
import type { FigureLook } from './look.ts'
import { shownLook } from './shown-look.ts'
import { flatGround, stackColours } from './stack-colours.ts'

const even = (paint: string): EvenCoat => ({
  kind: 'even',
  id: paint,
  name: '',
  hidden: false,
  paint,
  mix: { paintDrops: 1, thinnerDrops: 0, mediumDrops: 0 },
  parts: {},
  thicknessUm: 1,
})
const glazes = [even('white'), even('cold_blue'), even('clear_red')]
const recipe: Recipe = {
  ...demoRecipe(),
  dropMl: DROP_ML,
  preshadeEnd: 'white',
  paints: PAINT_SHELF,
  coats: glazes,
}
/** Three vertices that differ in every coat. */
const deposits = [
  [0, 2.1, 8],
  [1.3, 0, 0.4],
  [0.2, 3.7, 1],
].map(column => Float32Array.from(column))
const whole = { parts: [{ id: 'all', name: '', firstVertex: 0, vertexCount: 3, firstTriangle: 0, triangleCount: 1 }] }
const lookOver = (flatY: number | null): FigureLook => ({
  deposits,
  linearRgb: stackColours(recipe, deposits, 3).linearRgb,
  preshadeRgb: null,
  directExposure: new Float32Array(3),
  flatY,
})
const labAt = (rgb: Float32Array, v: number) => labOfLinearRgb(rgb[3 * v], rgb[3 * v + 1], rgb[3 * v + 2])

describe.each(['A', 'LED-B1', 'D50'] satisfies Lamp[])('under %s', lamp => {
  test('the picture is the exact path’s, film by film under that lamp, over the glaze’s flat ground', () => {
    const shown = shownLook(whole, recipe, lookOver(0.3), lamp, false).linearRgb
    for (let v = 0; v < 3; v++) {
      let internal = flatGround(0.3)
      // The white ends the pre-shade: the grey stands in its place.
      for (const i of [1, 2]) internal = coatOver(coatFilm(glazes[i], recipe), deposits[i][v], internal)
      const expected = labOfLinearRgb(...seenRgb(internal, lampWeights(lamp)))
      expect(deltaE2000(labAt(shown, v), expected), `vertex ${v}`).toBeLessThan(0.05)
    }
  })

  test('it is another picture, and what is read stays', () => {
    const look = lookOver(null)
    const before = look.linearRgb.slice()
    const shown = shownLook(whole, recipe, look, lamp, false).linearRgb
    // Vertex 1 is all but opaque red; a blue and a white lie elsewhere.
    expect(deltaE2000(labAt(shown, 1), labAt(look.linearRgb, 1))).toBeGreaterThan(lamp === 'D50' ? 0.5 : 2)
    expect(look.linearRgb).toEqual(before)
  })
})

test('daylight is what is read', () => {
  const look = lookOver(null)
  expect(shownLook(whole, recipe, look, 'D65', false).linearRgb).toBe(look.linearRgb)
})

test('a metal under a gloss says both, a byte each', () => {
  const gloss = { kind: 'varnish', id: 'v', name: '', hidden: false, parts: {}, finish: 'satin' } as const
  const metal: Recipe = { ...recipe, coats: [{ ...even('warm_metal'), id: 'm' }, gloss] }
  const look = { ...lookOver(null), deposits: [Float32Array.of(0, 3, 40), new Float32Array(3)] }
  const bytes = [...shownLook(whole, metal, look, 'D65', false).surface!]
  const byte = (share: number) => Math.round(255 * share)
  expect(bytes).toEqual([128, 0, 0, 0, 128, byte(1 - Math.exp(-3 / 0.5)), 0, 0, 128, 255, 0, 0])
  expect(shownLook(whole, recipe, lookOver(null), 'D65', false).surface).toBeNull()
})
