import { describe, expect, test } from 'vitest'
import { lStarOfLuminance, luminanceOfLStar } from '../core/colour/lab.ts'
import { DIFFERENCE_BANDS } from '../core/reading/difference.ts'
import { applyLook, legendTopUm } from './apply-look.ts'

const painted = Float32Array.of(0.2, 0.1, 0.4, 0.9, 0.95, 0.7, 0, 0, 0)
const deposit = Float32Array.of(1.5, 3, 0)

describe('L*', () => {
  // 18 % grey has L* 49.496, and L* 50 is Y 0.18419: CIE 15, worked by hand.
  test('of mid grey', () => {
    expect(lStarOfLuminance(0.18)).toBeCloseTo(49.4961, 3)
    expect(luminanceOfLStar(50)).toBeCloseTo(0.184187, 6)
  })
  test('goes there and back on both sides of the straight piece', () => {
    for (const l of [0, 0.5, 7.99, 8, 8.01, 33, 100]) expect(lStarOfLuminance(luminanceOfLStar(l))).toBeCloseTo(l, 10)
  })
})

test('painted: the colours, in an array of their own', () => {
  const { linearRgb } = applyLook({ kind: 'painted' }, painted, deposit)
  expect(linearRgb).toEqual(painted)
  expect(linearRgb).not.toBe(painted)
})

test('value: greys of the same luminance', () => {
  const { linearRgb } = applyLook({ kind: 'value' }, painted, deposit)
  // IEC 61966-2-1 states these with four decimals.
  expect(linearRgb[0]).toBeCloseTo(0.2126 * 0.2 + 0.7152 * 0.1 + 0.0722 * 0.4, 5)
  expect([linearRgb[1], linearRgb[2]]).toEqual([linearRgb[0], linearRgb[0]])
})

test('steps: the middle of the band each value falls into', () => {
  const { linearRgb } = applyLook({ kind: 'steps', count: 5 }, painted, deposit)
  const shown = [0, 1, 2].map(v => lStarOfLuminance(linearRgb[3 * v]))
  // L* of the three: 42.4 (Y 0.1429), 97.1 (Y 0.9213), 0.
  expect(shown[0]).toBeCloseTo(50, 3)
  expect(shown[1]).toBeCloseTo(90, 3)
  expect(shown[2]).toBeCloseTo(10, 3)
})

test('steps: white stays in the uppermost band', () => {
  const { linearRgb } = applyLook({ kind: 'steps', count: 4 }, Float32Array.of(1, 1, 1), Float32Array.of(0))
  expect(lStarOfLuminance(linearRgb[0])).toBeCloseTo(87.5, 3)
})

test('deposit: half the legend is half of L*', () => {
  const { linearRgb, depositMaxUm } = applyLook({ kind: 'deposit', coat: null }, painted, deposit)
  expect(depositMaxUm).toBe(5)
  expect(lStarOfLuminance(linearRgb[0])).toBeCloseTo(30, 3)
  expect(lStarOfLuminance(linearRgb[3])).toBeCloseTo(60, 3)
  expect(linearRgb[6]).toBe(0)
})

test('nothing sprayed is black, not a division by zero', () => {
  const { linearRgb, depositMaxUm } = applyLook({ kind: 'deposit', coat: null }, painted, new Float32Array(3))
  expect(depositMaxUm).toBe(0)
  expect([...linearRgb]).toEqual(new Array(9).fill(0))
})

test.each([
  [0, 0],
  [0.07, 0.1],
  [1, 1],
  [1.01, 2],
  [4.9, 5],
  [5.1, 10],
  [37, 50],
])('a legend for %d µm ends at %d', (largest, top) => expect(legendTopUm(largest)).toBeCloseTo(top, 12))

test('difference: the grey of the band each ΔE00 falls into', () => {
  const { linearRgb } = applyLook({ kind: 'difference' }, painted, Float32Array.of(0.4, 7, 30))
  const shown = [0, 1, 2].map(v => lStarOfLuminance(linearRgb[3 * v]))
  for (const [v, band] of [0, 3, 4].entries()) expect(shown[v]).toBeCloseTo(DIFFERENCE_BANDS[band].lStar, 3)
})

test('isolines: luminance and exposure, unbanded, for the shader', () => {
  const { linearRgb, depositMaxUm } = applyLook({ kind: 'isolines' }, painted, Float32Array.of(0.3, 0.9, 0))
  // IEC 61966-2-1 states the weights with four decimals.
  expect(linearRgb[0]).toBeCloseTo(0.2126 * 0.2 + 0.7152 * 0.1 + 0.0722 * 0.4, 5)
  expect([1, 4, 7].map(i => linearRgb[i])).toEqual([...Float32Array.of(0.3, 0.9, 0)])
  expect(depositMaxUm).toBe(0)
})
