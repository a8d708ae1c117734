import { describe, expect, test } from 'vitest'
import { luminanceOf } from '../colour/lab.ts'
import type { Figure } from '../mesh/figure.ts'
import { demoRecipe } from '../recipe/demo-recipe.ts'
import type { MistCoat, Recipe } from '../recipe/recipe.ts'
import { figureOf, icosphere } from '../spray/test-figures.ts'
import { depositsUm, type Fields } from './deposits.ts'
import { lookOf, meanLuminance } from './look.ts'
import { stackColours } from './stack-colours.ts'

const figure = figureOf([icosphere(2, 5, [0, 5, 0])])
const vertices = figure.positions.length / 3
/** Brighter towards the top and one side. */
const field = Float32Array.from({ length: vertices }, (_, v) =>
  Math.max(0, figure.normals[3 * v + 1] + 0.3 * figure.normals[3 * v]),
)
const fields: Fields = { exposureOf: () => field, opennessOf: () => new Float32Array(vertices).fill(0.5) }
const demo = demoRecipe()
const recipe: Recipe = { ...demo, coats: demo.coats.slice(0, 2) }
const luminanceAt = (rgb: Float32Array, v: number) => luminanceOf(rgb[3 * v], rgb[3 * v + 1], rgb[3 * v + 2])

describe('mean luminance', () => {
  test('is by area: a large dark triangle outweighs a small light one', () => {
    const two = {
      // Areas 8 and 1/2, sharing no vertex.
      positions: Float32Array.of(0, 0, 0, 4, 0, 0, 0, 4, 0, 10, 0, 0, 10, 1, 0, 10, 0, 1),
      triangles: Uint32Array.of(0, 1, 2, 3, 4, 5),
    } as unknown as Figure
    const greys = [0.1, 0.1, 0.1, 0.9, 0.6, 0.6]
    const rgb = Float32Array.from(greys.flatMap(g => [g, g, g]))
    expect(meanLuminance(two, rgb)).toBeCloseTo((8 * 0.1 + 0.5 * 0.7) / 8.5, 6)
  })
  test('of a figure without surface is 0', () => {
    expect(meanLuminance({ ...figure, triangles: new Uint32Array() }, new Float32Array(3 * vertices))).toBe(0)
  })
})

describe('a look', () => {
  const look = lookOf(figure, recipe, fields)

  test('is the stack of its deposits, with the pre-shade read off on the way', () => {
    const deposits = depositsUm(figure, recipe, fields)
    expect(look.deposits).toEqual(deposits)
    expect(look.linearRgb).toEqual(stackColours(recipe, deposits, vertices).linearRgb)
    const white = { ...recipe, coats: recipe.coats.slice(0, 1) }
    expect(look.preshadeRgb).toEqual(stackColours(white, deposits, vertices).linearRgb)
    expect(look.flatY).toBeNull()
  })

  test('over one grey: the pre-shade is gone, the glaze stays, the grey is its mean', () => {
    const flat = lookOf(figure, recipe, fields, { kind: 'flat', greyY: null })
    expect(flat.flatY).toBeCloseTo(meanLuminance(figure, look.preshadeRgb!), 9)
    expect(flat.preshadeRgb).toBeNull()
    const spread = (rgb: Float32Array) => {
      const values = Array.from({ length: vertices }, (_, v) => luminanceAt(rgb, v))
      return Math.max(...values) - Math.min(...values)
    }
    expect(spread(flat.linearRgb)).toBeLessThan(0.7 * spread(look.linearRgb))
    // Where nothing was sprayed but mist from everywhere, the grey shows all but bare.
    const dark = field.indexOf(0)
    expect(luminanceAt(flat.linearRgb, dark) / flat.flatY!).toBeGreaterThan(0.9)
  })

  test('over a grey that is named, that grey', () => {
    const bare = { ...recipe, coats: recipe.coats.slice(0, 1) }
    const flat = lookOf(figure, bare, fields, { kind: 'flat', greyY: 0.2 })
    for (let v = 0; v < vertices; v += 9) expect(luminanceAt(flat.linearRgb, v)).toBeCloseTo(0.2, 5)
  })

  test('a recipe without a pre-shade has none, and lies over its primer’s grey when flat', () => {
    const glazeOnly = { ...recipe, coats: recipe.coats.slice(1) }
    const own = lookOf(figure, glazeOnly, fields)
    expect(own.preshadeRgb).toBeNull()
    const black = stackColours({ ...recipe, coats: [] }, [], vertices).linearRgb
    expect(lookOf(figure, glazeOnly, fields, { kind: 'flat', greyY: null }).flatY).toBeCloseTo(luminanceAt(black, 0), 6)
  })

  test('exposure counts the pre-shade’s torches', () => {
    const white = recipe.coats[0] as MistCoat
    for (let v = 0; v < vertices; v += 9) expect(look.directExposure[v]).toBeCloseTo(white.torches.length * field[v], 5)
  })
})
