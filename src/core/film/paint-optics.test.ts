import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { contrastKept } from '../chain/thickness-strip.ts'
import { linearRgbOf, RGB_WEIGHTS } from '../colour/band-weights.ts'
import { deltaE2000 } from '../colour/delta-e-2000.ts'
import { labOfLinearRgb } from '../colour/lab.ts'
import { linearRgbOfHex } from '../colour/srgb.ts'
import { demoRecipe } from '../recipe/demo-recipe.ts'
import { DROP_ML } from '../recipe/drops.ts'
import type { MistCoat, Paint } from '../recipe/recipe.ts'
import { type CoatFilm, coatFilm, coatOver, dropletUm, isAchromatic, opaqueOf, seenRgb } from './coat-film.ts'
import { greyGround } from './grey-ground.ts'
import { filmKeeps, halfKeptUm } from './half-kept.ts'
import { paintOptics, pigmentOptics } from './paint-optics.ts'
import { PAINT_SHELF } from './paint-shelf.ts'
import { reflectanceOfRgb } from './reflectance-of-rgb.ts'
import { seeded } from './test-stacks.ts'

const shelf = (id: string): Paint => PAINT_SHELF.find(p => p.id === id)!
/** Takes from `v` what lies along `along`. */
function subtract(v: number[], along: readonly number[]): void {
  const share = v.reduce((sum, x, i) => sum + x * along[i], 0) / along.reduce((sum, x) => sum + x * x, 0)
  along.forEach((x, i) => {
    v[i] -= share * x
  })
}
const filmOf = (id: string): CoatFilm => ({ optics: paintOptics(shelf(id)), dropletUm: 0 })

describe('a paint of pigments', () => {
  test('K and S add by amount', () => {
    const { absorption, scattering } = paintOptics({
      body: {
        kind: 'pigments',
        pigments: [
          { ci: 'PB29', amount: 0.3 },
          { ci: 'PW6', amount: 0.05 },
        ],
      },
    })
    const [blue, white] = [pigmentOptics('PB29'), pigmentOptics('PW6')]
    for (let b = 0; b < 16; b++) {
      expect(absorption[b]).toBeCloseTo(0.3 * blue.absorption[b] + 0.05 * white.absorption[b], 14)
      expect(scattering[b]).toBeCloseTo(0.3 * blue.scattering[b] + 0.05 * white.scattering[b], 14)
    }
  })
  test('an unknown pigment is refused', () => {
    expect(() => paintOptics({ body: { kind: 'pigments', pigments: [{ ci: 'PX1', amount: 1 }] } })).toThrow('PX1')
  })
})

describe('a quick paint', () => {
  const quick = (hex: string, covering: 'see-through' | 'half' | 'covers') =>
    paintOptics({ body: { kind: 'quick', hex, covering } })
  test.each(['#3657ab', '#b4373a', '#c9a26b', '#808080', '#6c8840'])('%s is that colour when it is thick', hex => {
    const thick = labOfLinearRgb(...seenRgb(opaqueOf(quick(hex, 'half'))))
    expect(deltaE2000(thick, labOfLinearRgb(...linearRgbOfHex(hex)))).toBeLessThan(1)
  })
  test.each(['#3657ab', '#202020', '#f0f0f0'])('%s lets half through at the thickness that its word names', hex => {
    for (const [covering, um] of [
      ['see-through', 4],
      ['half', 2],
      ['covers', 0.8],
    ] as const) {
      const film = { optics: quick(hex, covering), dropletUm: 0 }
      expect(contrastKept(film, um)).toBeCloseTo(0.5, 6)
      expect(contrastKept(film, 0.5 * um)).toBeGreaterThan(0.55)
    }
  })
})

test('half kept: the two ways to compute it agree, and a clear film never gets there', () => {
  const ochre = filmOf('ochre')
  expect(filmKeeps(ochre.optics, 3)).toBeCloseTo(contrastKept(ochre, 3), 9)
  expect(halfKeptUm({ absorption: new Float64Array(16), scattering: new Float64Array(16) })).toBeGreaterThan(9e5)
})

test('a spectral paint is what it says', () => {
  const absorption = Array.from({ length: 16 }, (_, b) => 0.1 * b)
  const scattering = Array.from({ length: 16 }, (_, b) => 1 - 0.05 * b)
  const optics = paintOptics({ body: { kind: 'spectral', absorption, scattering, basis: 'test', swatches: null } })
  expect([...optics.absorption]).toEqual(absorption)
  expect([...optics.scattering]).toEqual(scattering)
})

describe('a reflectance for a colour', () => {
  test('has the colour, and stays between 0.01 and 0.99', () => {
    const channel = fc.double({ min: 0.06, max: 0.9, noNaN: true })
    fc.assert(
      fc.property(channel, channel, channel, (r, g, b) => {
        const reflectance = reflectanceOfRgb([r, g, b])
        const back = linearRgbOf(reflectance)
        expect(deltaE2000(labOfLinearRgb(...back), labOfLinearRgb(r, g, b))).toBeLessThan(2)
        for (const value of reflectance) {
          expect(value).toBeGreaterThanOrEqual(0.01)
          expect(value).toBeLessThanOrEqual(0.99)
        }
      }),
      { seed: 12, numRuns: 300 },
    )
  })
  /** Darker than a matt surface in one channel, as a typed colour may be: the nearest that a surface has, nothing wilder. */
  test('a channel outside what can be reflected is brought to its rim, and the rest is met', () => {
    const channel = fc.double({ min: -0.1, max: 1.1, noNaN: true }).map(x => (x > 0.05 ? x * x : x))
    const least = 0.0405
    fc.assert(
      fc.property(channel, channel, channel, (r, g, b) => {
        linearRgbOf(reflectanceOfRgb([r, g, b], least)).forEach((found, c) => {
          expect(Math.abs(found - Math.min(0.99, Math.max(least, [r, g, b][c])))).toBeLessThan(0.005)
        })
      }),
      {
        seed: 3,
        numRuns: 1000,
        examples: [
          [0.195, 0.042, 0.0296],
          [1, 0, 0],
          [0, 0, 1],
          [0, 1, 1],
          [1, 1, 0],
        ],
      },
    )
  })
  test('is the smoothest with that colour: no step that keeps the colour makes it smoother', () => {
    const roughness = (r: ArrayLike<number>) =>
      Array.from({ length: 15 }, (_, b) => (r[b + 1] - r[b]) ** 2).reduce((sum, v) => sum + v, 0)
    const next = seeded(21)
    // The second one runs into both bounds.
    for (const rgb of [
      [0.2, 0.35, 0.5],
      [0.75, 0.06, 0.05],
    ] as const) {
      const found = reflectanceOfRgb(rgb)
      const free = [...found.keys()].filter(b => found[b] > 0.0101 && found[b] < 0.9899)
      expect(free.length).toBeGreaterThan(5)
      for (let round = 0; round < 50; round++) {
        // A random direction over the free bands, square to the three rows of the colour matrix.
        const direction = free.map(() => next() - 0.5)
        const basis: number[][] = []
        for (const row of RGB_WEIGHTS.map(w => free.map(b => w[b]))) {
          for (const done of basis) subtract(row, done)
          basis.push(row)
        }
        for (const done of basis) subtract(direction, done)
        for (const step of [1e-3, -1e-3]) {
          const moved = [...found]
          free.forEach((b, i) => {
            moved[b] += step * direction[i]
          })
          expect(roughness(moved)).toBeGreaterThan(roughness(found))
        }
      }
    }
  })
  test('is flat for a grey: nothing is smoother', () => {
    for (const value of reflectanceOfRgb([0.3, 0.3, 0.3])) expect(value).toBeCloseTo(0.3, 9)
  })
})

describe('a coat of a mix', () => {
  const mist = demoRecipe().coats[0] as MistCoat
  const recipe = { paints: PAINT_SHELF, dropMl: DROP_ML }
  const coat = (paintDrops: number, thinnerDrops: number, mediumDrops: number): MistCoat => ({
    ...mist,
    paint: 'cold_blue',
    mix: { paintDrops, thinnerDrops, mediumDrops },
  })

  test('thinner changes the droplet, not the dry film', () => {
    expect(coatFilm(coat(1, 4, 0), recipe).optics).toEqual(coatFilm(coat(1, 0, 0), recipe).optics)
    // 20 µm drops that spread twofold dry to 0.39 µm at two drops of thinner; in proportion to solids, 1/3 and 1/5.
    expect(coatFilm(coat(1, 2, 0), recipe).dropletUm).toBeCloseTo(0.39, 9)
    expect(coatFilm(coat(1, 4, 0), recipe).dropletUm).toBeCloseTo((0.39 * 3) / 5, 9)
  })

  test('medium adds film, not pigment: the same pigment in a thicker film looks almost the same', () => {
    const { volumeSolids } = shelf('cold_blue')
    const [pure, diluted] = [coatFilm(coat(1, 2, 0), recipe), coatFilm(coat(1, 2, 3), recipe)]
    // Solids by volume of clear medium: 0.30 (mix-solids.ts).
    const share = volumeSolids / (volumeSolids + 3 * 0.3)
    expect(diluted.optics.absorption[4]).toBeCloseTo(share * pure.optics.absorption[4], 12)
    const ground = greyGround(80)
    const even = (film: CoatFilm, um: number) =>
      labOfLinearRgb(...seenRgb(coatOver({ ...film, dropletUm: 0 }, um, ground)))
    expect(deltaE2000(even(pure, 2), even(diluted, 2 / share))).toBeLessThan(1e-6)
  })

  test('an even coat is a film, a paint without solids leaves no droplet', () => {
    const { torches: _, airbrush: __, ...rest } = coat(1, 2, 0)
    expect(coatFilm({ ...rest, kind: 'even', thicknessUm: 5 }, recipe).dropletUm).toBe(0)
    expect(dropletUm({ dropletUm: 0.39, volumeSolids: 0 }, 0)).toBe(0)
  })

  test('a paint that is not in the recipe is refused', () => {
    expect(() => coatFilm({ ...coat(1, 2, 0), paint: 'nowhere' }, recipe)).toThrow('nowhere')
  })
})

describe('the starter shelf', () => {
  test('a dozen paints, each known and named once', () => {
    expect(PAINT_SHELF.length).toBeGreaterThanOrEqual(12)
    expect(new Set(PAINT_SHELF.map(p => p.id)).size).toBe(PAINT_SHELF.length)
    expect(new Set(PAINT_SHELF.map(p => p.name)).size).toBe(PAINT_SHELF.length)
    for (const paint of PAINT_SHELF) expect(paintOptics(paint).absorption.length, paint.id).toBe(16)
  })

  test('white, grey and black among them, and no other, have no colour at any thickness; metal is a colour', () => {
    expect(PAINT_SHELF.filter(isAchromatic).map(p => p.id)).toEqual(['black', 'white', 'warm_grey'])
    expect(isAchromatic({ body: { kind: 'metallic', hex: '#8a8a8a' } })).toBe(false)
    expect(isAchromatic({ body: { kind: 'quick', hex: '#8a8a8a', covering: 'half' } })).toBe(true)
  })

  /** Common practice, no source: a covering blue lets less of the pre-shade through than a transparent red. */
  test('at equal saturation the cold blue lets less through than the transparent red', () => {
    const keptAtChroma = (id: string) => {
      const film = filmOf(id)
      const chroma = (um: number) => {
        const [, a, b] = labOfLinearRgb(...seenRgb(coatOver(film, um, greyGround(90))))
        return Math.hypot(a, b)
      }
      let um = 0.02
      while (chroma(um) < 40) um *= 1.02
      return contrastKept(film, um)
    }
    expect(keptAtChroma('clear_red')).toBeGreaterThan(keptAtChroma('cold_blue') + 0.1)
  })

  test('black hides at once, ochre lets most through, white flattens by half at a µm and a half', () => {
    expect(contrastKept(filmOf('black'), 1)).toBeLessThan(0.02)
    expect(contrastKept(filmOf('ochre'), 1)).toBeGreaterThan(0.8)
    expect(contrastKept(filmOf('white'), 1.5)).toBeGreaterThan(0.4)
    expect(contrastKept(filmOf('white'), 1.5)).toBeLessThan(0.6)
  })
})
