import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { linearRgbOf } from '../colour/band-weights.ts'
import { BAND_NM } from '../colour/bands.ts'
import { deltaE2000 } from '../colour/delta-e-2000.ts'
import { labOfLinearRgb } from '../colour/lab.ts'
import { coatOver, seenRgb } from './coat-film.ts'
import { greyGround } from './grey-ground.ts'
import { film, over } from './kubelka-munk.ts'
import { type Optics, pigmentOptics } from './paint-optics.ts'
import { PIGMENTS } from './pigment-curves.ts'
import { internalReflectance, SURFACE, seenReflectance } from './saunderson.ts'
import { seeded } from './test-stacks.ts'
import { opticsOfSwatches, type SwatchFlaw, swatchesOfColours, type TwoSwatches } from './two-swatches.ts'

const all = (value: number) => BAND_NM.map(() => value)

/** What would be read of a film over cards of these seen reflectances. */
function swatchesOf(k: number, s: number, um: number, cards = [0.05, 0.8], noise = 0): TwoSwatches {
  const [overBlack, overWhite] = cards.map(card =>
    all(seenReflectance(over(film(k, s, um), internalReflectance(card)))),
  )
  return { overBlack, overWhite, blackCard: all(cards[0]), whiteCard: all(cards[1]), thicknessUm: um, noise }
}
const flawsOf = (swatches: TwoSwatches): SwatchFlaw[] => opticsOfSwatches(swatches).flaws.map(f => f.flaw)

/** Computed independently by the closed form: K 0.8, S 1.2, X 1.5 over cards 0.05 and 0.80 with k1 0.04, k2 0.60. */
test('a film of known K and S', () => {
  const { optics, flaws, usable } = opticsOfSwatches({
    overBlack: all(0.1986389937),
    overWhite: all(0.2035992408),
    blackCard: all(0.05),
    whiteCard: all(0.8),
    thicknessUm: 1.5,
    noise: 0,
  })
  expect(optics.absorption[3]).toBeCloseTo(0.8, 5)
  expect(optics.scattering[3]).toBeCloseTo(1.2, 5)
  expect(flaws).toEqual([])
  expect(usable).toBe(true)
})

test('out and back, for any film that neither hides nor vanishes', () => {
  const digits = (min: number, max: number) => fc.double({ min, max, noNaN: true })
  fc.assert(
    fc.property(digits(1e-3, 1), digits(0.02, 1), digits(0.3, 3), (k, s, um) => {
      fc.pre(film(k, s, um).transmittance > 0.02)
      const { optics, flaws } = opticsOfSwatches(swatchesOf(k, s, um))
      expect(flaws).toEqual([])
      expect(optics.absorption[7] / k).toBeCloseTo(1, 6)
      expect(optics.scattering[7] / s).toBeCloseTo(1, 6)
    }),
    { seed: 4, numRuns: 500 },
  )
})

/** Curtis et al., SIGGRAPH 1997, cards 0 and 1, one unit thick: S = arcoth(…)/b; the formula from memory. */
test('with ideal cards it is the inversion of Curtis', () => {
  const [rb, rw] = [0.2, 0.55]
  const a = (rw + (rb - rw + 1) / rb) / 2
  const b = Math.sqrt(a * a - 1)
  const x = (b * b - (a - rw) * (a - 1)) / (b * (1 - rw))
  const s = Math.log((x + 1) / (x - 1)) / 2 / b
  const { optics } = opticsOfSwatches({
    overBlack: all(seenReflectance(rb)),
    overWhite: all(seenReflectance(rw)),
    blackCard: all(SURFACE.k1),
    whiteCard: all(1),
    thicknessUm: 1,
    noise: 0,
  })
  expect(optics.scattering[0]).toBeCloseTo(s, 9)
  expect(optics.absorption[0]).toBeCloseTo(s * (a - 1), 9)
})

test('a measured-like paint comes back within its noise', () => {
  const { absorption, scattering } = pigmentOptics('PR254')
  const um = 2
  const read = (card: number, sign: number) =>
    BAND_NM.map((_, b) => {
      const seen = seenReflectance(over(film(absorption[b], scattering[b], um), internalReflectance(card)))
      return seen + (b % 2 ? 1 : -1) * sign * 0.001
    })
  const { optics, usable } = opticsOfSwatches({
    overBlack: read(0.05, 1),
    overWhite: read(0.85, -1),
    blackCard: all(0.05),
    whiteCard: all(0.85),
    thicknessUm: um,
    noise: 0.001,
  })
  expect(usable).toBe(true)
  // What was asked of it is the colour of other films, not K and S themselves.
  BAND_NM.forEach((nm, b) => {
    const other = (k: number, s: number) => seenReflectance(over(film(k, s, 3), 0.3))
    expect(
      Math.abs(other(optics.absorption[b], optics.scattering[b]) - other(absorption[b], scattering[b])),
      `${nm} nm`,
    ).toBeLessThan(0.02)
  })
})

/** Films a tenth as thick and up to the swatch's own, over values 30 and 80, read with a meter's noise. */
test('what is not called a guess is met within 5 ΔE00', () => {
  const next = seeded(3)
  // Within 0.003, as the noise that is stated.
  const noisy = (seen: number) => seen + 0.003 * (2 * next() - 1)
  const called = { guess: 0, known: 0 }
  for (const { ci } of PIGMENTS)
    for (const thicknessUm of [2, 5, 20]) {
      const { absorption, scattering } = pigmentOptics(ci)
      const read = (card: number) =>
        BAND_NM.map((_, b) =>
          noisy(seenReflectance(over(film(absorption[b], scattering[b], thicknessUm), internalReflectance(card)))),
        )
      const { optics, usable } = opticsOfSwatches({
        overBlack: read(0.05),
        overWhite: read(0.85),
        blackCard: all(0.05),
        whiteCard: all(0.85),
        thicknessUm,
        noise: 0.003,
      })
      const errors = [0.1, 0.25, 0.5, 1].flatMap(share =>
        [30, 80].map(value => {
          const lab = (of: Optics) =>
            labOfLinearRgb(...seenRgb(coatOver({ optics: of, dropletUm: 0 }, share * thicknessUm, greyGround(value))))
          return deltaE2000(lab({ absorption, scattering }), lab(optics))
        }),
      )
      called[usable ? 'known' : 'guess']++
      if (usable) expect(Math.max(...errors), `${ci}, ${thicknessUm} µm`).toBeLessThan(5)
    }
  // Neither word is given to all.
  expect(called.known).toBeGreaterThan(30)
  expect(called.guess).toBeGreaterThan(20)
})

test('from four colours: a film of another thickness comes out near its true colour', () => {
  const { absorption, scattering } = pigmentOptics('PY43')
  const rgbOf = (um: number, card: number) =>
    linearRgbOf(
      BAND_NM.map((_, b) => seenReflectance(over(film(absorption[b], scattering[b], um), internalReflectance(card)))),
    )
  const card = (seen: number): [number, number, number] => [seen, seen, seen]
  const { optics, usable } = opticsOfSwatches(
    swatchesOfColours({
      overBlack: rgbOf(6, 0.05),
      overWhite: rgbOf(6, 0.85),
      blackCard: card(0.05),
      whiteCard: card(0.85),
      thicknessUm: 6,
    }),
  )
  expect(usable).toBe(true)
  const found = linearRgbOf(
    BAND_NM.map((_, b) =>
      seenReflectance(over(film(optics.absorption[b], optics.scattering[b], 2), internalReflectance(0.5))),
    ),
  )
  // The spectrum behind a colour is a guess; the film over another ground is not far off all the same.
  expect(deltaE2000(labOfLinearRgb(...found), labOfLinearRgb(...rgbOf(2, 0.5)))).toBeLessThan(3)
})

test('a saturated colour asks for no less than the bare surface reflects', () => {
  const card = (seen: number): [number, number, number] => [seen, seen, seen]
  const { flaws } = opticsOfSwatches(
    swatchesOfColours({
      overBlack: [0.3, 0.03, 0.05],
      overWhite: [0.62, 0.05, 0.12],
      blackCard: card(0.05),
      whiteCard: card(0.85),
      thicknessUm: 3,
    }),
  )
  expect(flaws.map(f => f.flaw)).not.toContain('surface-exceeds-reading')
})

/** k1 = 0.04 is value 23.7: a photo that shows a matt film darker than that is too dark. */
test('a colour that is darker as a whole than a bare surface is told', () => {
  const card = (seen: number): [number, number, number] => [seen, seen, seen]
  const flawsAt = (seen: number) =>
    opticsOfSwatches(
      swatchesOfColours({
        overBlack: [seen * 1.1, seen, seen * 0.8],
        overWhite: [0.5, 0.3, 0.2],
        blackCard: card(0.05),
        whiteCard: card(0.85),
        thicknessUm: 3,
      }),
    ).flaws.map(f => f.flaw)
  expect(flawsAt(0.025)).toContain('surface-exceeds-reading')
  expect(flawsAt(0.08)).not.toContain('surface-exceeds-reading')
})

describe('what swatches cannot tell is said', () => {
  const usual = swatchesOf(0.1, 0.2, 3, [0.05, 0.8], 0.003)

  const alikeButForRounding = {
    overBlack: all(0.6606572475592483),
    overWhite: all(0.6606572475592484),
    blackCard: all(0.1722357424136539),
    whiteCard: all(0.553473170959651),
  }

  test('nothing to say about a usual pair', () => expect(flawsOf(usual)).toEqual([]))
  test.each<[SwatchFlaw, TwoSwatches]>([
    ['surface-exceeds-reading', { ...usual, overBlack: all(0.03) }],
    ['backings-too-similar', { ...usual, whiteCard: all(0.15) }],
    ['over-white-darker', { ...usual, overBlack: usual.overWhite, overWhite: usual.overBlack }],
    ['hiding', swatchesOf(0.2, 0.8, 40, [0.05, 0.8], 0.003)],
    // Lighter or darker over white, by no more than the noise; or, without noise, by the last digit of a number.
    ['hiding', { ...usual, overBlack: all(0.4), overWhite: all(0.406) }],
    ['hiding', { ...usual, overBlack: all(0.406), overWhite: all(0.4) }],
    ['hiding', { ...alikeButForRounding, thicknessUm: 3, noise: 0 }],
    ['negative-absorption', { ...usual, overBlack: all(0.3), overWhite: all(0.95) }],
    ['too-thin', swatchesOf(0.001, 0.001, 0.2, [0.05, 0.8], 0.003)],
    ['no-scatter-information', swatchesOf(0.3, 0, 1, [0.05, 0.8], 0.003)],
    ['no-scatter-information', { ...usual, overBlack: all(0.042), overWhite: all(0.5), noise: 0 }],
    ['thickness-missing', { ...usual, thicknessUm: null }],
  ])('%s', (flaw, swatches) => {
    const answer = opticsOfSwatches(swatches)
    expect(answer.flaws.map(f => f.flaw)).toEqual([flaw])
    expect(answer.usable).toBe(flaw === 'thickness-missing' || flaw === 'no-scatter-information')
    for (let b = 0; b < 16; b++) {
      expect(answer.optics.absorption[b]).toBeGreaterThanOrEqual(0)
      expect(answer.optics.scattering[b]).toBeGreaterThanOrEqual(0)
      expect(Number.isFinite(answer.optics.absorption[b] + answer.optics.scattering[b])).toBe(true)
    }
  })

  test('a hiding film keeps its colour, and S is a least one', () => {
    const { optics } = opticsOfSwatches(swatchesOf(0.2, 0.8, 40, [0.05, 0.8], 0.003))
    expect(optics.absorption[0] / optics.scattering[0]).toBeCloseTo(0.25, 2)
    expect(optics.scattering[0]).toBeLessThan(0.8)
  })

  test.each([0, 0.003])('a clear colour follows Beer and Lambert, read with noise %f', noise => {
    const { optics } = opticsOfSwatches(swatchesOf(0.3, 0, 1, [0.05, 0.8], noise))
    expect(optics.absorption[0]).toBeCloseTo(0.3, 3)
    expect(optics.scattering[0]).toBeCloseTo(0, 9)
  })

  test('a white that is too bright by less than its noise absorbs nothing, and that is no flaw', () => {
    const white = swatchesOf(0, 0.4, 3, [0.05, 0.8], 0.003)
    const { optics, flaws } = opticsOfSwatches({ ...white, overWhite: white.overWhite.map(r => r + 0.002) })
    expect(flaws).toEqual([])
    expect(optics.absorption[0]).toBe(0)
    expect(optics.scattering[0]).toBeCloseTo(0.4, 1)
  })

  test('a black card read without the surface is black', () => {
    const dark = { ...usual, blackCard: all(0.03) }
    expect(opticsOfSwatches(dark)).toEqual(opticsOfSwatches({ ...usual, blackCard: all(SURFACE.k1) }))
  })

  test('a missing thickness gives K and S per film', () => {
    const perFilm = opticsOfSwatches({ ...usual, thicknessUm: null }).optics
    expect(perFilm.scattering[2]).toBeCloseTo(3 * opticsOfSwatches(usual).optics.scattering[2], 9)
  })

  test('flaws name their bands, and a few of them leave the rest usable', () => {
    const overBlack = usual.overBlack.map((r, b) => (b === 2 || b === 5 ? 0.01 : r))
    const { flaws, usable } = opticsOfSwatches({ ...usual, overBlack })
    expect(flaws).toEqual([{ flaw: 'surface-exceeds-reading', nm: [440, 500] }])
    expect(usable).toBe(true)
  })

  test('finite for anything that can be read', () => {
    const reading = fc.double({ min: 0, max: 1, noNaN: true })
    fc.assert(
      fc.property(reading, reading, reading, reading, reading, (b1, b2, c1, c2, noise) => {
        const { optics } = opticsOfSwatches({
          overBlack: all(b1),
          overWhite: all(b2),
          blackCard: all(c1),
          whiteCard: all(c2),
          thicknessUm: 4,
          noise: noise / 10,
        })
        const [k, s] = [optics.absorption[0], optics.scattering[0]]
        expect(Number.isFinite(k + s) && k >= 0 && s >= 0, `K ${k}, S ${s}`).toBe(true)
      }),
      { seed: 9, numRuns: 3000 },
    )
  })
})
