import { readFileSync } from 'node:fs'
import { converter } from 'culori'
import { Color } from 'spectral.js'
import { describe, expect, test } from 'vitest'
import { sharedPath } from '../../../tests/shared-data.ts'
import { D65_WHITE, linearRgbOf, RGB_WEIGHTS, XYZ_WEIGHTS } from './band-weights.ts'
import { D65, X_BAR, Y_BAR, Z_BAR } from './cie-tables.ts'
import { labOfLinearRgb, lStarOfLuminance, luminanceOf, luminanceOfLStar } from './lab.ts'
import { decodeSrgb, encodeSrgb, hexOf, linearRgbOfHex } from './srgb.ts'

describe('the CIE tables', () => {
  const sum = (bar: readonly number[]) => bar.reduce((total, v, i) => total + v * D65[i], 0)
  // Check 15: white of the 5 nm tables, 380 to 780 nm. CIE 15 gives 0.95047 and 1.08883 from 1 nm tables.
  test('have the white point of D65', () => {
    expect(sum(X_BAR) / sum(Y_BAR)).toBeCloseTo(0.9504296694, 9)
    expect(sum(Z_BAR) / sum(Y_BAR)).toBeCloseTo(1.088800547, 8)
  })
  /**
   * The npm package spectral.js carries the observer times D65, 380 to 750 nm every 10 nm, scaled to Y = 1, with 13 digits
   * behind the point: light of one band alone makes it say its column.
   */
  test('agree with those of another library, value by value', () => {
    const bands = Array.from({ length: 38 }, (_, i) => i)
    const whole = bands.reduce((sum, i) => sum + Y_BAR[2 * i] * D65[2 * i], 0)
    expect(new Color(bands.map(() => 1)).XYZ[1]).toBeCloseTo(1, 12)
    for (const i of bands) {
      const theirs = new Color(bands.map(j => (j === i ? 1 : 0))).XYZ
      ;[X_BAR, Y_BAR, Z_BAR].forEach((bar, c) => {
        const ours = (bar[2 * i] * D65[2 * i]) / whole
        expect(Math.abs(ours - theirs[c]), `${380 + 10 * i} nm, ${'XYZ'[c]}`).toBeLessThan(1e-13)
      })
    }
  })
  const transcribed = sharedPath('data/cie1931_2deg_d65_5nm.json')
  test.skipIf(!transcribed)(
    `agree with another transcription, every 5 nm${transcribed ? '' : ' (not run: ../shared absent)'}`,
    () => {
      const theirs = JSON.parse(readFileSync(transcribed!, 'utf8')) as Record<
        'xbar' | 'ybar' | 'zbar' | 'D65',
        number[]
      >
      expect(X_BAR).toEqual(theirs.xbar)
      expect(Y_BAR).toEqual(theirs.ybar)
      expect(Z_BAR).toEqual(theirs.zbar)
      expect(D65).toEqual(theirs.D65)
    },
  )
  // CIE 15: the three functions have equal integrals (equal-energy white is 1, 1, 1).
  test('have equal integrals', () => {
    const total = (bar: readonly number[]) => bar.reduce((a, b) => a + b, 0)
    expect(total(X_BAR) / total(Y_BAR)).toBeCloseTo(1, 3)
    expect(total(Z_BAR) / total(Y_BAR)).toBeCloseTo(1, 3)
  })
})

describe('the 16-point matrix', () => {
  test('a perfect white is the white point, and (1, 1, 1)', () => {
    XYZ_WEIGHTS.forEach((row, c) => {
      expect(row.reduce((a, b) => a + b, 0)).toBeCloseTo(D65_WHITE[c], 12)
    })
    const [r, g, b] = linearRgbOf(new Float64Array(16).fill(1))
    expect([r, g, b].every(v => Math.abs(v - 1) < 1e-12)).toBe(true)
  })
  const scheme = sharedPath('data/scheme16_400_700.json')
  test.skipIf(!scheme)(
    `agrees with an independent reduction of the same tables${scheme ? '' : ' (not run: ../shared absent)'}`,
    () => {
      const { RGB } = JSON.parse(readFileSync(scheme!, 'utf8')) as { RGB: number[][] }
      RGB.forEach((row, c) => {
        row.forEach((expected, b) => {
          expect(RGB_WEIGHTS[c][b], `row ${c}, band ${b}`).toBeCloseTo(expected, 3)
        })
      })
    },
  )
})

describe('conversions against culori', () => {
  const toLab = converter('lab65')
  test('Lab of linear sRGB, in gamut and beyond', () => {
    for (const [r, g, b] of [
      [0.02, 0.3, 0.75],
      [0.9, 0.05, 0.001],
      [1.2, -0.05, 0.4],
      [0.0005, 0.0002, 0.0009],
    ] as const) {
      const expected = toLab({ mode: 'lrgb', r, g, b })
      const [l, a, bStar] = labOfLinearRgb(r, g, b)
      expect(l).toBeCloseTo(expected.l, 2)
      expect(a).toBeCloseTo(expected.a, 1)
      expect(bStar).toBeCloseTo(expected.b, 1)
    }
  })
  test('a neutral has no chroma', () => {
    const [l, a, b] = labOfLinearRgb(0.18, 0.18, 0.18)
    expect(Math.hypot(a, b)).toBeLessThan(1e-3)
    // CIE 15: 116·∛0.18 − 16.
    expect(l).toBeCloseTo(116 * Math.cbrt(0.18) - 16, 6)
  })
  test('L* and luminance are inverse, on both pieces', () => {
    for (const y of [0, 0.002, 0.0089, 0.2, 1]) expect(luminanceOfLStar(lStarOfLuminance(y))).toBeCloseTo(y, 12)
  })
  test('luminance of the primaries (IEC 61966-2-1: 0.2126, 0.7152, 0.0722)', () => {
    expect(luminanceOf(1, 0, 0)).toBeCloseTo(0.2126, 3)
    expect(luminanceOf(0, 1, 0)).toBeCloseTo(0.7152, 3)
    expect(luminanceOf(0, 0, 1)).toBeCloseTo(0.0722, 3)
  })
  test('sRGB encoding: both pieces, and back', () => {
    // IEC 61966-2-1: 0.5 decodes to 0.21404; the pieces meet at 0.0031308.
    expect(decodeSrgb(0.5)).toBeCloseTo(0.21404, 5)
    for (const v of [-0.2, 0, 0.001, 0.0031308, 0.02, 0.5, 1, 1.4]) expect(decodeSrgb(encodeSrgb(v))).toBeCloseTo(v, 6)
    expect(hexOf(...linearRgbOfHex('#3b7fc1'))).toBe('#3b7fc1')
  })
})
