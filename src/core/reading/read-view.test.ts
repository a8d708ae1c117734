import { describe, expect, test } from 'vitest'
import type { Figure } from '../mesh/figure.ts'
import { figureOf, icosphere, sheet } from '../spray/test-figures.ts'
import { directionFrom, dot } from '../vec3.ts'
import { differenceOf } from './difference.ts'
import { rasterView, type ViewPoint } from './raster-view.ts'
import { readView } from './read-view.ts'

const THRESHOLDS = { light: 0.5, dark: 0.1 }
const FRONT: ViewPoint = { azimuthDegrees: 0, elevationDegrees: 0, distanceMm: 1e5, target: [0, 0.5, 0] }

/** L* of a relative luminance, CIE 015:2018, written apart from the code under test. */
const lStar = (y: number): number => (y > (6 / 29) ** 3 ? 116 * Math.cbrt(y) - 16 : (29 / 3) ** 3 * y)
const luminanceFor = (l: number): number => (l > 8 ? ((l + 16) / 116) ** 3 : l / (29 / 3) ** 3)

const perVertex = (figure: Figure, of: (x: number, y: number, z: number) => number): Float32Array =>
  Float32Array.from({ length: figure.positions.length / 3 }, (_, v) =>
    of(figure.positions[3 * v], figure.positions[3 * v + 1], figure.positions[3 * v + 2]),
  )
const greys = (y: Float32Array): Float32Array =>
  Float32Array.from({ length: 3 * y.length }, (_, i) => y[Math.floor(i / 3)])

/** An upright wall, 40 wide, 20 high, facing the front. */
const wall = figureOf([sheet(400, 3, (u, v) => [40 * u - 20, 20 * v, 0])])
const across = (x: number): number => (x + 20) / 40
const raster = rasterView(wall, FRONT)
const nothing = new Float32Array(wall.positions.length / 3)

describe('values', () => {
  test('a wall whose L* is 100·u² has its percentiles where u is 0.05 and 0.95', () => {
    const y = perVertex(wall, x => luminanceFor(100 * across(x) ** 2))
    const reading = readView(
      raster,
      wall,
      { linearRgb: greys(y), preshadeRgb: null, directExposure: nothing },
      THRESHOLDS,
    )
    expect(reading?.valueFrom).toBeCloseTo(0.25, 1)
    expect(reading?.valueTo).toBeCloseTo(90.25, 1)
    expect(reading?.contrast).toBeCloseTo(90, 1)
    // A bin 2 wide at L* 50 holds u from √0.50 to √0.52; all bins hold everything.
    expect(reading?.histogram[25]).toBeCloseTo(Math.sqrt(0.52) - Math.sqrt(0.5), 2)
    expect(reading?.histogram.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 9)
  })

  test('a lit sphere: projected area counts, not surface nor vertices', () => {
    // Y = cos of the angle to the eye. Over the disc cos² is evenly spread: P(cos < c) = c². Closed form.
    const sphere = figureOf([icosphere(6, 16, [0, 16, 0])])
    const y = perVertex(sphere, (_x, _y, z) => Math.max(0, z / 16))
    const seen = rasterView(sphere, FRONT)
    const fields = { linearRgb: greys(y), preshadeRgb: greys(y), directExposure: y }
    const reading = readView(seen, sphere, fields, THRESHOLDS)
    expect(Math.abs((reading?.valueFrom ?? 0) - lStar(Math.sqrt(0.05)))).toBeLessThan(0.2)
    expect(Math.abs((reading?.valueTo ?? 0) - lStar(Math.sqrt(0.95)))).toBeLessThan(0.2)
    expect(reading?.light).toBeCloseTo(0.75, 2)
    expect(reading?.mid).toBeCloseTo(0.24, 2)
    expect(reading?.dark).toBeCloseTo(0.01, 2)
    // ∫ c · 2c dc = 2/3.
    expect(reading?.preshadeMeanY).toBeCloseTo(2 / 3, 2)
    expect(reading?.contrastLeft).toBeCloseTo(1, 9)
  })

  test('value is the luminance of the colour: green weighs more than blue', () => {
    const only = (k: number) => Float32Array.from({ length: 3 * nothing.length }, (_, i) => (i % 3 === k ? 1 : 0))
    // Y of the sRGB primaries: 0.2126, 0.7152, 0.0722 (IEC 61966-2-1).
    const levels = [0, 1, 2].map(k => {
      const linearRgb = only(k)
      return readView(raster, wall, { linearRgb, preshadeRgb: null, directExposure: nothing }, THRESHOLDS)?.valueTo
    })
    expect(levels[0]).toBeCloseTo(lStar(0.2126), 1)
    expect(levels[1]).toBeCloseTo(lStar(0.7152), 1)
    expect(levels[2]).toBeCloseTo(lStar(0.0722), 1)
  })
})

describe('contrast left', () => {
  const ramp = (from: number, to: number) => greys(perVertex(wall, x => luminanceFor(from + (to - from) * across(x))))
  const left = (result: Float32Array, preshade: Float32Array | null) =>
    readView(raster, wall, { linearRgb: result, preshadeRgb: preshade, directExposure: nothing }, THRESHOLDS)
      ?.contrastLeft

  test('is a ratio of contrasts', () => {
    expect(left(ramp(31, 57), ramp(31, 81))).toBeCloseTo(26 / 50, 3)
  })
  test('is not stated without a pre-shade, or over one without contrast', () => {
    expect(left(ramp(31, 57), null)).toBeNull()
    expect(left(ramp(31, 57), ramp(40, 40))).toBeNull()
    expect(left(ramp(31, 57), ramp(40, 40.3))).toBeNull()
    expect(left(ramp(40, 40), ramp(31, 81))).toBeCloseTo(0, 3)
  })
})

test('light, mid and dark follow the thresholds and add up to 1', () => {
  const exposure = perVertex(wall, x => across(x))
  const fields = { linearRgb: greys(nothing), preshadeRgb: null, directExposure: exposure }
  const reading = readView(raster, wall, fields, { light: 0.7, dark: 0.2 })
  expect(reading?.light).toBeCloseTo(0.3, 2)
  expect(reading?.mid).toBeCloseTo(0.5, 2)
  expect(reading?.dark).toBeCloseTo(0.2, 2)
  expect(reading?.preshadeHistogram).toBeNull()
  expect(reading?.preshadeMeanY).toBeNull()
})

describe('between the vertices of one large square', () => {
  const square = figureOf([sheet(1, 1, (u, v) => [40 * u - 20, 20 * v, 0])])
  const seen = rasterView(square, FRONT)
  // (u + 2v)/3: different along both edges.
  const slope = perVertex(square, (x, y) => (across(x) + (2 * y) / 20) / 3)

  test('exposure is linear: shares are areas cut off by a line', () => {
    const fields = { linearRgb: greys(slope), preshadeRgb: null, directExposure: slope }
    const reading = readView(seen, square, fields, { light: 0.6, dark: 0.2 })
    // u + 2v > 1.8: ∫ (0.1 + u/2) du. u + 2v < 0.6: half of 0.6 · 0.3.
    expect(reading?.light).toBeCloseTo(0.35, 2)
    expect(reading?.dark).toBeCloseTo(0.09, 2)
    expect(reading?.preshadeMeanY).toBeNull()
  })
  test('colours are linear in linear light: ΔE00 of greys against an integral of its formula', () => {
    const grey = greys(slope.map(() => 0.1))
    let sum = 0
    for (let i = 0; i < 200; i++) {
      for (let j = 0; j < 200; j++) {
        const [a, b] = [lStar(((i + 0.5) / 200 + (2 * (j + 0.5)) / 200) / 3), lStar(0.1)]
        const off = ((a + b) / 2 - 50) ** 2
        // Sharma, Wu & Dalal 2005, eq. 15 and 22 with no chroma.
        sum += Math.abs(a - b) / (1 + (0.015 * off) / Math.sqrt(20 + off))
      }
    }
    expect(Math.abs((meanDeltaE(seen, square, greys(slope), grey) ?? 0) - sum / 40_000)).toBeLessThan(0.05)
  })
})

const meanDeltaE = (...args: Parameters<typeof differenceOf>) => differenceOf(...args)?.meanDeltaE ?? null

describe('mean ΔE00', () => {
  test('of two greys without chroma is ΔL*/S_L', () => {
    // L* 40 against 60: mean 50, S_L = 1, so ΔE00 = 20 (Sharma, Wu & Dalal 2005, eq. 15 and 22).
    const flat = (l: number) => greys(nothing.map(() => luminanceFor(l)))
    expect(meanDeltaE(raster, wall, flat(40), flat(60))).toBeCloseTo(20, 1)
  })
  test('is an average over what is seen: half the wall differs', () => {
    const a = greys(perVertex(wall, () => luminanceFor(40)))
    const b = greys(perVertex(wall, x => luminanceFor(x > 0 ? 60 : 40)))
    expect(meanDeltaE(raster, wall, a, b)).toBeCloseTo(10, 0)
    expect(meanDeltaE(raster, wall, a, a)).toBe(0)
  })
  test('leaves out what is turned away', () => {
    const sphere = figureOf([icosphere(5, 16, [0, 16, 0])])
    const lit = greys(perVertex(sphere, () => 0.4))
    const backPainted = greys(perVertex(sphere, (_x, _y, z) => (z < -0.5 ? 0.05 : 0.4)))
    const behind = { ...FRONT, azimuthDegrees: 180 }
    expect(meanDeltaE(rasterView(sphere, FRONT), sphere, lit, backPainted)).toBe(0)
    expect(meanDeltaE(rasterView(sphere, behind), sphere, lit, backPainted)).toBeGreaterThan(20)
  })
})

test('nothing seen, nothing read', () => {
  const empty = { ...wall, triangles: new Uint32Array() }
  const fields = { linearRgb: greys(nothing), preshadeRgb: null, directExposure: nothing }
  expect(readView(rasterView(empty, FRONT), empty, fields, THRESHOLDS)).toBeNull()
  expect(meanDeltaE(rasterView(empty, FRONT), empty, greys(nothing), greys(nothing))).toBeNull()
})

test('what is read from a lune is what was lit: light 60° from the line of sight leaves a quarter of the disc dark', () => {
  const sphere = figureOf([icosphere(6, 16, [0, 16, 0])])
  const light = directionFrom(60, 0)
  const exposure = perVertex(sphere, (x, y, z) => dot([x / 16, (y - 16) / 16, z / 16], light))
  const fields = { linearRgb: greys(exposure), preshadeRgb: null, directExposure: exposure }
  const reading = readView(rasterView(sphere, FRONT), sphere, fields, { light: 0.5, dark: 0 })
  expect(reading?.dark).toBeCloseTo(0.25, 2)
})
