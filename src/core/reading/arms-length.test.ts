import { describe, expect, test } from 'vitest'
import { figureOf, sheet } from '../spray/test-figures.ts'
import { acuitySigmaMm, arcMinuteMm, armsLengthView, blur, gaussianWeights } from './arms-length.ts'

test('a minute of arc is 0.2036 mm at 70 cm, and grows with the distance', () => {
  expect(arcMinuteMm(700)).toBeCloseTo(0.2036, 4)
  expect(arcMinuteMm(2100)).toBeCloseTo(3 * 0.20362, 4)
})

describe('the kernel', () => {
  test('is half as high half a minute of arc off its middle', () => {
    // 40 pixels a minute of arc, so 20 from the middle to the half.
    const weights = gaussianWeights(acuitySigmaMm(700) / (arcMinuteMm(700) / 40))
    expect(weights[20] / weights[0]).toBeCloseTo(0.5, 3)
  })
  test.each([0.3, 1.7, 6])('of %d pixels adds up to 1', sigma => {
    const weights = gaussianWeights(sigma)
    expect(weights[0] + 2 * weights.slice(1).reduce((a, b) => a + b, 0)).toBeCloseTo(1, 12)
  })
})

/**
 * The Fourier transform of a Gaussian: a grating of period p keeps exp(−2π²σ²/p²) of its amplitude; with a full width at
 * half maximum of one minute, σ² = 1/(8 ln 2), that is exp(−π²/(4 ln 2 p²)). Closed form.
 */
describe('gratings', () => {
  const minute = arcMinuteMm(700)
  test.each([2, 4, 11])('%d minutes across', periods => {
    const kept = Math.exp(-(Math.PI ** 2) / (4 * Math.LN2 * periods ** 2))
    const sigma = acuitySigmaMm(700)
    // Oblong pixels: 9 a minute across, 5 down; the grating runs across, the picture is even downwards.
    const [width, height] = [400, 60]
    const plane = Float32Array.from(
      { length: width * height },
      (_, i) => 1 + Math.cos((2 * Math.PI * (i % width)) / (9 * periods)),
    )
    const seen = blur(
      plane,
      width,
      height,
      gaussianWeights(sigma / (minute / 9)),
      gaussianWeights(sigma / (minute / 5)),
    )
    const row = seen.subarray(30 * width + 60, 30 * width + 340)
    expect((Math.max(...row) - Math.min(...row)) / 2).toBeCloseTo(kept, 2)
  })
})

describe('a wall of fine stripes beside a broad one', () => {
  const luminanceFor = (l: number): number => ((l + 16) / 116) ** 3
  const wall = figureOf([sheet(800, 3, (u, v) => [48 * u - 24, 20 * v, 0])])
  const striped = (periodMm: number) =>
    Float32Array.from({ length: wall.positions.length }, (_, i) => {
      const x = wall.positions[3 * Math.floor(i / 3)] + 24
      return luminanceFor(Math.floor((2 * x) / periodMm) % 2 === 0 ? 30 : 70)
    })
  const from = (distanceMm: number, periodMm: number) =>
    armsLengthView(wall, striped(periodMm), {
      azimuthDegrees: 0,
      elevationDegrees: 0,
      distanceMm,
      target: [0, 0.5, 0],
    })!

  test('stripes of 8 mm keep their 40 steps at 70 cm', () => {
    const seen = from(700, 8)
    expect(seen.contrast).toBeCloseTo(40, 0)
    expect(seen.contrastSeen).toBeGreaterThan(39)
  })
  test('stripes of half a minute run into one grey, and the wall stays as large as it is', () => {
    const seen = from(8000, arcMinuteMm(8000) / 2)
    expect(seen.contrast).toBeGreaterThan(35)
    expect(seen.contrastSeen).toBeLessThan(3)
    // 48 mm of wall, and the blur's reach of four σ on each side.
    const whole = seen.width * seen.pixelWidthMm
    expect(Math.abs(whole - 48 - 8 * acuitySigmaMm(8000))).toBeLessThan(2 * seen.pixelWidthMm + 0.01)
  })
})
