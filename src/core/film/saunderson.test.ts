import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { film, over } from './kubelka-munk.ts'
import { evenInternal, internalReflectance, mixable, SURFACE, seenReflectance } from './saunderson.ts'

test('one half inside is 0.3143 seen, white stays white, black shows the surface alone', () => {
  // (1 − 0.04)(1 − 0.6)·0.5/(1 − 0.3) + 0.04
  expect(seenReflectance(0.5)).toBeCloseTo(0.04 + (0.96 * 0.4 * 0.5) / 0.7, 12)
  expect(seenReflectance(0.5)).toBeCloseTo(0.3142857143, 10)
  expect(seenReflectance(1)).toBeCloseTo(1, 14)
  expect(seenReflectance(0)).toBe(0.04)
})

test("k1 is Fresnel's reflection at n = 1.5", () => {
  expect(SURFACE.k1).toBeCloseTo(((1.5 - 1) / (1.5 + 1)) ** 2, 12)
})

test('gloss leaves the surface term out', () => {
  expect(seenReflectance(0.3, 1) - seenReflectance(0.3, 0)).toBeCloseTo(0.04, 14)
})

test('inside and out and back', () => {
  fc.assert(
    fc.property(fc.double({ min: 0, max: 1, noNaN: true }), internal => {
      expect(internalReflectance(seenReflectance(internal))).toBeCloseTo(internal, 12)
      expect(evenInternal(mixable(internal))).toBeCloseTo(internal, 12)
    }),
  )
})

test('what mixes is seen reflectance: half white, half black is the mean seen', () => {
  const mixed = evenInternal((mixable(0.9) + mixable(0.05)) / 2)
  expect(seenReflectance(mixed)).toBeCloseTo((seenReflectance(0.9) + seenReflectance(0.05)) / 2, 12)
})

/** ISO 6504-1 type contrast ratio of 98 %, seen; card seen as 0.80. SX by an independent solution of the same equations. */
describe('hiding of 98 % with the surface takes more than twice the film', () => {
  test.each([
    [1, 27.9],
    [0.99, 27.342],
    [0.95, 20.542],
    [0.9, 14.359],
    [0.8, 8.586],
  ])('R∞ %f: SX %f', (rInfinity, expected) => {
    const k = (1 - rInfinity) ** 2 / (2 * rInfinity)
    const ratio = (sx: number) =>
      seenReflectance(film(k, 1, sx).reflectance) / seenReflectance(over(film(k, 1, sx), internalReflectance(0.8)))
    expect(ratio(expected - 0.001)).toBeLessThan(0.98)
    expect(ratio(expected + 0.001)).toBeGreaterThan(0.98)
  })
})
