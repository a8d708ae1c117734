import { describe, expect, test } from 'vitest'
import { labOfLinearRgb } from '../colour/lab.ts'
import { hexOf, linearRgbOfHex } from '../colour/srgb.ts'
import { coatFilm, coatOver, seenRgb } from '../film/coat-film.ts'
import { greyGround } from '../film/grey-ground.ts'
import { demoRecipe } from '../recipe/demo-recipe.ts'
import type { Coat, MistCoat, Recipe } from '../recipe/recipe.ts'
import { torchSet } from '../recipe/torch-sets.ts'
import { WHITE_PRESHADE } from '../spray/airbrush-settings.ts'
import { filmPerPassUm } from '../spray/film-per-pass.ts'
import { filmSection } from './film-section.ts'
import { contrastKept, plannedUm, STRIP_COLUMNS, thicknessStrip, valuesByPass } from './thickness-strip.ts'

const recipe: Recipe = demoRecipe()
const [white, blue] = recipe.coats as readonly MistCoat[]
const lightness = (hex: string) => labOfLinearRgb(...linearRgbOfHex(hex))[0]

test('a neutral ground is seen at its value', () => {
  for (const value of [30, 55, 80]) {
    const [l, a, b] = labOfLinearRgb(...seenRgb(greyGround(value)))
    expect(l).toBeCloseTo(value, 6)
    expect(Math.hypot(a, b)).toBeLessThan(0.01)
  }
})

describe('planned thickness', () => {
  test('of a sprayed coat is its heaviest torch that sprays, all passes', () => {
    const [torch] = blue.torches
    const { volumeSolids } = recipe.paints.find(p => p.id === blue.paint)!
    const onePass = filmPerPassUm(torch, blue.airbrush, blue.mix, volumeSolids)
    const torches = [
      { ...torch, passes: 3 },
      { ...torch, passes: 9, muted: true },
      { ...torch, passes: 2 },
    ]
    expect(plannedUm({ ...blue, torches }, recipe)).toBeCloseTo(3 * onePass, 12)
    expect(plannedUm({ ...blue, torches: [] }, recipe)).toBe(0)
  })
  test('of an even coat is stated', () => {
    const even: Coat = { ...blue, kind: 'even', thicknessUm: 7.5 }
    expect(plannedUm(even, recipe)).toBe(7.5)
    expect(thicknessStrip(even, recipe).passesToHalf).toBeNull()
  })
})

test('by pass: the planned passes give the colour of the planned thickness, an even coat comes at once', () => {
  const coat = { ...blue, torches: blue.torches.map(t => ({ ...t, passes: 3 })) }
  const section = filmSection({ ...recipe, coats: [white, coat] }, [plannedUm(white, recipe), plannedUm(coat, recipe)])
  expect(valuesByPass(coat, recipe)[3]).toBeCloseTo(section[2].lStar, 6)
  expect(valuesByPass(coat, recipe)[0]).toBeCloseTo(section[1].lStar, 6)
  expect(valuesByPass({ ...blue, kind: 'even', thicknessUm: 4 }, recipe).length).toBe(2)
})

describe('the strip', () => {
  const strip = thicknessStrip(blue, recipe)
  const film = coatFilm(blue, recipe)
  const shownOver = (um: number, ground: Float64Array) => hexOf(...seenRgb(coatOver(film, um, ground)))

  test('runs from none to twice the plan, the plan in the middle', () => {
    expect(strip.plannedUm).toBe(plannedUm(blue, recipe))
    expect(strip.overWhite.length).toBe(STRIP_COLUMNS)
    for (const [column, um] of [
      [0, 0],
      [5, 0.5 * strip.plannedUm],
      [10, strip.plannedUm],
      [20, 2 * strip.plannedUm],
    ]) {
      expect(strip.overBlack[column], `black, ${um} µm`).toBe(shownOver(um, greyGround(28)))
      expect(strip.overWhite[column], `white, ${um} µm`).toBe(shownOver(um, greyGround(95)))
    }
    expect(strip.keptAtPlanned).toBe(contrastKept(film, strip.plannedUm))
  })

  test('begins with its grounds, and the ground under the blue is the pre-shade as planned', () => {
    expect(lightness(strip.overBlack[0])).toBeCloseTo(28, 0)
    expect(lightness(strip.overWhite[0])).toBeCloseTo(95, 0)
    const section = filmSection({ ...recipe, coats: [white] }, [plannedUm(white, recipe)])
    expect(strip.overPreshade[0]).toBe(section[1].hex)
    expect(thicknessStrip(white, recipe).overPreshade[0]).toBe(section[0].hex)
  })

  test('what is hidden and what is clear does not lie under it', () => {
    const bare = thicknessStrip(blue, { ...recipe, coats: [blue] })
    const { torches: _, airbrush: __, paint: ___, mix: ____, ...rest } = white
    const varnish: Coat = { ...rest, kind: 'varnish', id: 'varnish', finish: 'gloss' }
    const under = { ...recipe, coats: [{ ...white, hidden: true }, varnish, blue] }
    expect(thicknessStrip(blue, under)).toEqual(bare)
    expect(bare.overPreshade).not.toEqual(strip.overPreshade)
  })

  test('a thicker coat hides more: the rows approach one another and less is kept', () => {
    const gap = strip.overBlack.map((hex, i) => lightness(strip.overWhite[i]) - lightness(hex))
    const kept = gap.map((_, i) => contrastKept(film, (strip.plannedUm * i) / 10))
    for (let i = 1; i < STRIP_COLUMNS; i++) {
      expect(gap[i], `column ${i}`).toBeLessThan(gap[i - 1])
      expect(kept[i], `column ${i}`).toBeLessThan(kept[i - 1])
    }
    expect(kept[0]).toBeCloseTo(1, 6)
  })

  test('half is gone at the pass it names, not before', () => {
    const coat = { ...blue, torches: blue.torches.map(t => ({ ...t, passes: 2 })) }
    const { passesToHalf, plannedUm: planned } = thicknessStrip(coat, recipe)
    expect(passesToHalf).toBeGreaterThan(0)
    const keptAfter = (more: number) => contrastKept(coatFilm(coat, recipe), (planned * (2 + more)) / 2)
    expect(keptAfter(passesToHalf!)).toBeLessThanOrEqual(0.5)
    expect(keptAfter(passesToHalf! - 1)).toBeGreaterThan(0.5)
    const heavy = { ...blue, torches: blue.torches.map(t => ({ ...t, passes: 2 + passesToHalf! })) }
    expect(thicknessStrip(heavy, recipe).passesToHalf).toBe(0)
  })
})

/** Facts of the trade: common practice, no source. */
describe('as painters know it', () => {
  test('several thin passes of white, four or five of thinner to one, build mid greys over black', () => {
    for (const thinnerDrops of [4, 5]) {
      const coat = {
        ...white,
        airbrush: WHITE_PRESHADE.airbrush,
        mix: { ...WHITE_PRESHADE.mix, thinnerDrops },
        torches: torchSet('front-and-back', () => 'torch'),
      }
      const values = valuesByPass(coat, recipe, 10)
      expect(values[0]).toBeLessThan(30)
      expect(values[1]).toBeLessThan(42)
      for (const passes of [4, 6, 8]) {
        expect(values[passes]).toBeGreaterThan(48)
        expect(values[passes]).toBeLessThan(72)
      }
      for (let n = 1; n <= 10; n++) expect(values[n]).toBeGreaterThan(values[n - 1])
    }
  })

  test('a coat thinned three to one lets the greys read; many passes of it knock them out', () => {
    const kept = (passes: number) =>
      thicknessStrip({ ...blue, torches: blue.torches.map(t => ({ ...t, passes })) }, recipe).keptAtPlanned
    expect(kept(2)).toBeGreaterThan(0.5)
    expect(kept(40)).toBeLessThan(0.1)
  })
})

test('drops are not volumes: four half-sized drops of thinner colour as two whole ones', () => {
  const coat = (thinnerDrops: number) => ({ ...white, mix: { paintDrops: 1, thinnerDrops, mediumDrops: 0 } })
  const small = { ...recipe, dropMl: { paint: 0.04, thinner: 0.02, medium: 0.04 } }
  const halves = valuesByPass(coat(4), small, 6)
  valuesByPass(coat(2), recipe, 6).forEach((value, passes) => {
    expect(halves[passes]).toBeCloseTo(value, 9)
  })
  expect(halves[6] - valuesByPass(coat(4), recipe, 6)[6]).toBeGreaterThan(3)
})
