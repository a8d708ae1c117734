import { describe, expect, test } from 'vitest'
import { BANDS } from '../colour/bands.ts'
import { deltaE2000 } from '../colour/delta-e-2000.ts'
import { type Lab, labOfLinearRgb, luminanceOf } from '../colour/lab.ts'
import { coatFilm, coatOver, primerReflectance, seenRgb } from '../film/coat-film.ts'
import { film, over } from '../film/kubelka-munk.ts'
import { eachCount } from '../film/mist-film.ts'
import { PAINT_SHELF } from '../film/paint-shelf.ts'
import { evenInternal, internalReflectance, mixable } from '../film/saunderson.ts'
import { seeded } from '../film/test-stacks.ts'
import { demoRecipe } from '../recipe/demo-recipe.ts'
import { DROP_ML } from '../recipe/drops.ts'
import type { Coat, EvenCoat, MistCoat, Recipe } from '../recipe/recipe.ts'
import { stackColours } from './stack-colours.ts'

const mistCoat = demoRecipe().coats.find((c): c is MistCoat => c.kind === 'mist')!
const mist = (paint: string, thinnerDrops = 3, mediumDrops = 0): MistCoat => ({
  ...mistCoat,
  id: paint,
  paint,
  mix: { paintDrops: 1, thinnerDrops, mediumDrops },
})
const even = (paint: string, thicknessUm: number): EvenCoat => ({
  kind: 'even',
  id: `even_${paint}`,
  name: '',
  hidden: false,
  paint,
  mix: { paintDrops: 1, thinnerDrops: 0, mediumDrops: 1 },
  parts: {},
  thicknessUm,
})
const recipeOf = (coats: readonly Coat[]): Recipe => ({
  name: '',
  notes: '',
  primer: { paint: 'black', thicknessUm: 15 },
  preshadeEnd: null,
  dropMl: DROP_ML,
  calibration: null,
  paints: PAINT_SHELF,
  coats,
})
const labAt = (rgb: Float32Array, v: number): Lab => labOfLinearRgb(rgb[3 * v], rgb[3 * v + 1], rgb[3 * v + 2])

/** The exact path, coat by coat, at one vertex. */
function exactly(
  recipe: Recipe,
  deposits: readonly Float32Array[],
  v: number,
  ground = primerReflectance(recipe),
): Lab {
  let internal = ground
  recipe.coats.forEach((coat, i) => {
    if (coat.kind !== 'varnish') internal = coatOver(coatFilm(coat, recipe), deposits[i][v], internal)
  })
  return labOfLinearRgb(...seenRgb(internal))
}

describe('tables against the exact path', () => {
  const worstOf = (droplets: boolean) => {
    const next = seeded(3)
    const vertices = 60
    const paints = PAINT_SHELF.map(paint => (droplets ? paint : { ...paint, dropletUm: 0 }))
    let worst = 0
    for (const paint of paints) {
      const coats = [mist('white', 4), mist(paint.id), even(paint.id, 4), mist('ochre', 2, 1)]
      const recipe = { ...recipeOf(coats), paints }
      const deposits = [12, 3, 4, 40].map(most => Float32Array.from({ length: vertices }, () => most * next() ** 2))
      const { linearRgb } = stackColours(recipe, deposits, vertices)
      for (let v = 0; v < vertices; v++)
        worst = Math.max(worst, deltaE2000(labAt(linearRgb, v), exactly(recipe, deposits, v)))
    }
    return worst
  }
  test('every shelf paint, thin and thick, as films: below 0.02 ΔE00, from straight lines between nodes', () => {
    expect(worstOf(false)).toBeLessThan(0.02)
  })
  test('as droplets: below 0.15 ΔE00, from the form that stands for their mean', () => {
    expect(worstOf(true)).toBeLessThan(0.15)
  })
})

describe('what lies under', () => {
  const recipe = recipeOf([mist('white'), mist('cold_blue'), mist('ochre')])
  const deposits = [
    [0, 1, 5],
    [0, 0.5, 2],
    [0, 0, 1],
  ].map(d => Float32Array.from(d))

  test('nothing sprayed shows the primer', () => {
    const { linearRgb } = stackColours(recipe, deposits, 3)
    expect(deltaE2000(labAt(linearRgb, 0), labOfLinearRgb(...seenRgb(primerReflectance(recipe))))).toBeLessThan(1e-3)
  })

  test('the pre-shade is the stack up to its last coat', () => {
    const whole = stackColours(recipe, deposits, 3, { kind: 'primer' }, 0)
    const white = { ...recipe, coats: recipe.coats.slice(0, 1) }
    expect(whole.preshadeRgb).toEqual(stackColours(white, deposits, 3).linearRgb)
    expect(whole.preshadeRgb).not.toEqual(whole.linearRgb)
  })

  test('a flat base is a grey of that luminance, and leaves the pre-shade out', () => {
    const bare = stackColours(recipe, deposits, 3, { kind: 'flat', luminanceY: 0.3, afterCoat: 2 })
    expect(bare.preshadeRgb).toBeNull()
    for (let v = 0; v < 3; v++) {
      const [r, g, b] = bare.linearRgb.subarray(3 * v)
      expect(luminanceOf(r, g, b)).toBeCloseTo(0.3, 5)
      expect(Math.hypot(...labAt(bare.linearRgb, v).slice(1))).toBeLessThan(0.01)
    }
    const glazed = stackColours(recipe, deposits, 3, { kind: 'flat', luminanceY: 0.3, afterCoat: 0 })
    const grey = new Float64Array(BANDS).fill(internalReflectance(0.3))
    const upper = { ...recipe, coats: recipe.coats.slice(1) }
    for (let v = 0; v < 3; v++)
      expect(deltaE2000(labAt(glazed.linearRgb, v), exactly(upper, deposits.slice(1), v, grey))).toBeLessThan(0.05)
  })

  test('a hidden coat is not there', () => {
    const hidden = { ...recipe, coats: recipe.coats.map((c, i) => ({ ...c, hidden: i === 1 })) }
    const without = { ...recipe, coats: [recipe.coats[0], recipe.coats[2]] }
    expect(stackColours(hidden, deposits, 3).linearRgb).toEqual(
      stackColours(without, [deposits[0], deposits[2]], 3).linearRgb,
    )
  })

  test('a recipe without coats is its primer', () => {
    expect(stackColours(recipeOf([]), [], 2).linearRgb.length).toBe(6)
  })
})

/**
 * Dots under dots: the program carries the even surface that looks like the mixture from coat to coat. Here both counts
 * are kept apart to the end, where the eye mixes them.
 */
test('a backing of dots counts as even: below 0.2 ΔE00 against keeping both counts', () => {
  let worst = 0
  for (const [glaze, thinner] of [
    ['cold_blue', 3],
    ['clear_red', 3],
    ['yellow', 1],
    ['leather', 2],
  ] as const)
    for (const [whiteUm, glazeUm] of [
      [0.3, 0.3],
      [1, 1],
      [3, 0.5],
      [1, 3],
    ]) {
      const coats = [mist('white', 4), mist(glaze, thinner)]
      const recipe = recipeOf(coats)
      const [white, colour] = coats.map(coat => coatFilm(coat, recipe))
      const ground = primerReflectance(recipe)
      const both = Float64Array.from({ length: BANDS }, (_, b) => {
        let sum = 0
        eachCount(whiteUm / white.dropletUm, (n, first) => {
          const { absorption: k, scattering: s } = white.optics
          const under = over(film(k[b], s[b], n * white.dropletUm), ground[b])
          eachCount(glazeUm / colour.dropletUm, (m, second) => {
            const top = film(colour.optics.absorption[b], colour.optics.scattering[b], m * colour.dropletUm)
            sum += first * second * mixable(over(top, under))
          })
        })
        return evenInternal(sum)
      })
      const ours = coatOver(colour, glazeUm, coatOver(white, whiteUm, ground))
      worst = Math.max(worst, deltaE2000(labOfLinearRgb(...seenRgb(ours)), labOfLinearRgb(...seenRgb(both))))
    }
  expect(worst).toBeLessThan(0.2)
  expect(worst).toBeGreaterThan(0)
})
