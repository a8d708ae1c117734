import { converter } from 'culori'
import { describe, expect, test } from 'vitest'
import { adaptToD65, linearRgbOf, RGB_WEIGHTS, rgbWeightsUnder, whiteUnder, xyzWeights } from './band-weights.ts'
import { BAND_NM } from './bands.ts'
import { D65 } from './cie-tables.ts'
import { daylight, LAMPS, type Lamp } from './illuminants.ts'
import { luminanceOf } from './lab.ts'

const chromaticity = ([x, y, z]: readonly number[]) => [x / (x + y + z), y / (x + y + z)]

/** White points and chromaticities as CIE 015:2018 lists them, from 1 nm tables; ours are 5 nm. */
test.each([
  ['D50', 0.34567, 0.3585],
  ['D65', 0.31272, 0.32903],
  ['A', 0.44758, 0.40745],
  ['LED-B1', 0.456, 0.4078],
] as const)('%s has its chromaticity', (lamp, x, y) => {
  expect(LAMPS[lamp].length).toBe(81)
  const [ourX, ourY] = chromaticity(whiteUnder(LAMPS[lamp]))
  expect(Math.abs(ourX - x)).toBeLessThan(1.2e-4)
  expect(Math.abs(ourY - y)).toBeLessThan(1e-4)
})

test('the daylight formula gives the table of D65', () => {
  const ours = daylight(6500)
  D65.forEach((power, i) => {
    // M1 and M2 are rounded to three decimals: half a thousandth of S1, up to 46, and of S2.
    expect(Math.abs(ours[i] - power), `${380 + 5 * i} nm`).toBeLessThan(0.06)
  })
})

test('tungsten light rises tenfold from violet to red (CIE 015:2018: 14.71 at 400 nm, 198.26 at 700 nm)', () => {
  expect(LAMPS.A[4]).toBeCloseTo(14.71, 1)
  expect(LAMPS.A[64]).toBeCloseTo(198.26, 1)
  expect(LAMPS.A[36]).toBeCloseTo(100, 10)
})

describe('colours under a lamp', () => {
  const under = (lamp: Lamp, reflectance: readonly number[]) =>
    rgbWeightsUnder(LAMPS[lamp]).map(row => row.reduce((sum, w, b) => sum + w * reflectance[b], 0))
  const step = (from: number) => BAND_NM.map(nm => (nm < from ? 0.05 : 0.8))
  const lamps = Object.keys(LAMPS) as Lamp[]

  test('under D65 they are what they were', () => {
    for (const [c, row] of rgbWeightsUnder(D65).entries())
      row.forEach((w, b) => {
        expect(Math.abs(w - RGB_WEIGHTS[c][b])).toBeLessThan(2e-4)
      })
  })

  test.each(lamps)('a grey stays grey under %s', lamp => {
    const [r, g, b] = under(
      lamp,
      BAND_NM.map(() => 0.3),
    )
    for (const value of [r, g, b]) expect(value).toBeCloseTo(0.3, 12)
  })

  test('D50 to D65 as culori adapts (Bradford)', () => {
    const toRgb = converter('lrgb')
    const reflectance = BAND_NM.map(nm => 0.1 + 0.7 * Math.exp(-(((nm - 470) / 50) ** 2)))
    // From the 16-point XYZ under D50, white as culori has it.
    const [x, y, z] = xyzWeights(LAMPS.D50, [0.96422, 1, 0.82521]).map(row =>
      row.reduce((sum, w, b) => sum + w * reflectance[b], 0),
    )
    const expected = toRgb({ mode: 'xyz50', x, y, z })
    const ours = under('D50', reflectance)
    for (const [c, value] of [expected.r, expected.g, expected.b].entries())
      expect(Math.abs(ours[c] - value)).toBeLessThan(3e-4)
  })

  /** Lindbloom, "Chromatic Adaptation", Bradford, A to D65, seven decimals; from memory, and it could not agree by chance. */
  test('from tungsten to daylight as tabulated', () => {
    const published = [
      [0.8446965, -0.1179225, 0.3948108],
      [-0.1366303, 1.1041226, 0.1291718],
      [0.0798489, -0.1348999, 3.1924009],
    ]
    adaptToD65([1.0985, 1, 0.35585]).forEach((row, r) => {
      row.forEach((value, c) => {
        expect(Math.abs(value - published[r][c]), `row ${r}, column ${c}`).toBeLessThan(1e-6)
      })
    })
  })

  test('warm light flatters red and dulls blue', () => {
    const luminance = (lamp: Lamp, reflectance: readonly number[]) =>
      xyzWeights(LAMPS[lamp], whiteUnder(LAMPS[lamp]))[1].reduce((sum, w, b) => sum + w * reflectance[b], 0)
    const blue = BAND_NM.map(nm => (nm < 490 ? 0.5 : 0.04))
    for (const lamp of ['A', 'LED-B1'] as const) {
      expect(luminance(lamp, step(600)) / luminance('D65', step(600))).toBeGreaterThan(1.1)
      expect(luminance(lamp, blue) / luminance('D65', blue)).toBeLessThan(0.95)
    }
  })

  test('a step at 580 nm reflects more of tungsten light than of daylight', () => {
    const [r, g, b] = under('A', step(580))
    expect(luminanceOf(r, g, b)).toBeGreaterThan(luminanceOf(...linearRgbOf(step(580))))
  })
})
