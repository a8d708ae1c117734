import { describe, expect, test } from 'vitest'
import { rayReferee } from '../../../scripts/bench/ray-referee.ts'
import type { Figure } from '../mesh/figure.ts'
import { vertexAreas } from '../mesh/vertex-areas.ts'
import { createBakeKernel } from '../spray/bake-exposure.ts'
import { createPlainDepthKernel } from '../spray/plain-depth-kernel.ts'
import { figureOf, icosphere } from '../spray/test-figures.ts'
import { directionFrom, dot, type Vec3 } from '../vec3.ts'
import { ANGLE_TERMS, readAngles } from './angle-score.ts'
import { bestApart, degreesBetween, domeDirections } from './dome.ts'
import { boxOfSheets } from './test-solids.ts'
import { COARSE_SCAN_PIXELS, createViewMeter, type ViewMeasures } from './view-measures.ts'

const even = (figure: Figure) => new Float32Array(figure.positions.length / 3).fill(1)
const meterOf = (figure: Figure, preshadeLStar: Float32Array | null = null) =>
  createViewMeter(figure, { saliency: even(figure), preshadeLStar })
const from = (azimuthDegrees: number, elevationDegrees: number) => ({ azimuthDegrees, elevationDegrees })
const CORNER = (Math.atan(Math.SQRT1_2) * 180) / Math.PI

const sphere = figureOf([icosphere(5, 10, [3, 10, -2])])
const cube = figureOf([boxOfSheets([0, 5, 0], [10, 10, 10], [20, 20, 20, 20, 20, 20])])

describe('a sphere, closed form', () => {
  test.each([
    [17, 23],
    [-140, 71],
  ])('from %i, %i', (azimuth, elevation) => {
    const seen = meterOf(sphere).measure(from(azimuth, elevation))
    expect(seen.visibleShare).toBeCloseTo(1 / 2, 2)
    expect(seen.saliencyShare).toBeCloseTo(1 / 2, 2)
    expect(seen.projectedMm2 / (Math.PI * 100)).toBeCloseTo(1, 2)
    expect(seen.silhouetteMm / (2 * Math.PI * 10)).toBeCloseTo(1, 2)
    // p = cos γ/π over the half sphere, q = 1/4π: log₂ 4 + ∫₀¹ 2c log₂ c dc.
    expect(seen.klBits).toBeCloseTo(2 - 1 / (2 * Math.LN2), 2)
    expect(seen.valueRange).toBeNull()
  })

  test('the twins agree', () => {
    const plain = createPlainDepthKernel(sphere)
    const fields = { saliency: even(sphere), preshadeLStar: null }
    const slow = createViewMeter(sphere, fields, plain, createBakeKernel(sphere, plain)).measure(from(33, 12), 128)
    const fast = meterOf(sphere).measure(from(33, 12), 128)
    for (const key of ['visibleShare', 'projectedMm2', 'silhouetteMm', 'klBits'] as const)
      expect(Math.abs(slow[key] / fast[key] - 1)).toBeLessThan(0.002)
  })
})

/** By hand: a face, two or three faces of a cube seen alike, each a sixth of the surface. */
describe('a cube of 10 mm', () => {
  test.each([
    ['face', 0, 0, 1, 100, Math.log2(6), 40],
    ['edge', 45, 0, 2, 100 * Math.SQRT2, Math.log2(3), 20 + 20 * Math.SQRT2],
    ['corner', 45, CORNER, 3, 100 * Math.sqrt(3), 1, 60 * Math.sqrt(2 / 3)],
  ])('%s on', (_, azimuth, elevation, faces, areaMm2, bits, outlineMm) => {
    const seen = meterOf(cube).measure(from(azimuth, elevation))
    expect(Math.abs(seen.visibleShare - faces / 6)).toBeLessThan(0.004)
    expect(seen.projectedMm2 / areaMm2).toBeCloseTo(1, 2)
    expect(Math.abs(seen.klBits - bits)).toBeLessThan(0.01)
    expect(Math.abs(seen.silhouetteMm / outlineMm - 1)).toBeLessThan(0.025)
  })
})

describe('a box of 10 × 6 × 30 mm', () => {
  const size = [10, 6, 30] as const
  const faceMm2 = [size[1] * size[2], size[0] * size[2], size[0] * size[1]]
  const totalMm2 = 2 * (faceMm2[0] + faceMm2[1] + faceMm2[2])
  const box = figureOf([boxOfSheets([1, 3, 2], size, [24, 24, 24, 24, 24, 24])])

  test('KL by hand from an oblique direction', () => {
    const seen = meterOf(box).measure(from(-62, 28))
    const projected = directionFrom(-62, 28).map((x, axis) => Math.abs(x) * faceMm2[axis])
    const total = projected[0] + projected[1] + projected[2]
    const bits = projected.reduce(
      (sum, a, axis) => sum + (a / total) * Math.log2(a / total / (faceMm2[axis] / totalMm2)),
      0,
    )
    expect(seen.projectedMm2 / total).toBeCloseTo(1, 2)
    expect(Math.abs(seen.klBits - bits)).toBeLessThan(0.01)
  })

  // Cauchy: a convex body's mean shadow is a quarter of its surface, here 270 mm².
  test('mean shadow over the dome', () => {
    const meter = meterOf(box)
    const mean = domeDirections().reduce((sum, d) => sum + d.share * meter.measure(d, 128).projectedMm2, 0)
    expect(Math.abs(mean / 270 - 1)).toBeLessThan(0.01)
  })

  test('KL does not ask how finely a face is cut', () => {
    const uneven = figureOf([boxOfSheets([1, 3, 2], size, [60, 12, 15, 48, 20, 33])])
    const [a, b] = [box, uneven].map(figure => meterOf(figure).measure(from(25, 40)).klBits)
    expect(Math.abs(a - b)).toBeLessThan(0.01)
  })

  test('value range by hand: three faces of one grey each, the smallest below a twentieth', () => {
    const lStar = new Float32Array(box.positions.length / 3)
    for (let v = 0; v < lStar.length; v++) {
      const [x, y] = [box.normals[3 * v], box.normals[3 * v + 1]]
      lStar[v] = x !== 0 ? 20 : y !== 0 ? 75 : 96
    }
    const meter = meterOf(box, lStar)
    // From the left and above: 180·cos, 300·sin, and the 60 mm² end nearly edge on.
    const flat = meter.measure(from(85, 30)).valueRange!
    expect(Math.abs(flat - 55)).toBeLessThan(0.3)
    const round = meter.measure(from(35, 30)).valueRange!
    expect(Math.abs(round - 76)).toBeLessThan(0.3)
  })
})

/** An independent implementation: rays from every vertex (three-mesh-bvh), summed the same way. */
test('what is seen of pieces that hide one another, against rays', () => {
  const figure = figureOf([
    icosphere(5, 8, [0, 10, 0]),
    icosphere(4, 4, [6, 20, 5]),
    boxOfSheets([-8, 9, 4], [3, 18, 9], [20, 20, 20, 20, 20, 20]),
  ])
  const rays = rayReferee(figure, 1e-3)
  const areas = vertexAreas(figure)
  const meter = meterOf(figure)
  for (const view of [from(25, 40), from(-100, 10), from(170, 62)]) {
    const toward = directionFrom(view.azimuthDegrees, view.elevationDegrees)
    let projected = 0
    let seen = 0
    let all = 0
    areas.forEach((area, v) => {
      const cosine = dot([...figure.normals.subarray(3 * v, 3 * v + 3)] as unknown as Vec3, toward)
      all += area
      if (cosine <= 0 || !rays.visible(v, { toward })) return
      projected += area * cosine
      seen += area
    })
    const ours = meter.measure(view)
    expect(Math.abs(ours.projectedMm2 / projected - 1)).toBeLessThan(0.015)
    expect(Math.abs(ours.visibleShare / (seen / all) - 1)).toBeLessThan(0.02)
  }
})

/** A finer run of ourselves, on pieces that hide one another: what docs/models/advice.md says of the coarse dome. */
test('the coarse dome comes near what eight times as many pixels a side say', () => {
  const figure = figureOf([icosphere(5, 8, [0, 10, 0]), icosphere(4, 4, [6, 20, 5]), icosphere(4, 3, [-7, 4, 6])])
  const meter = meterOf(figure)
  for (const view of [from(25, 45), from(-110, 0), from(170, 67.5)]) {
    const [coarse, fine] = [meter.measure(view, COARSE_SCAN_PIXELS), meter.measure(view, 8 * COARSE_SCAN_PIXELS)]
    expect(Math.abs(coarse.projectedMm2 / fine.projectedMm2 - 1)).toBeLessThan(0.03)
    expect(Math.abs(coarse.visibleShare / fine.visibleShare - 1)).toBeLessThan(0.05)
    expect(Math.abs(coarse.silhouetteMm / fine.silhouetteMm - 1)).toBeLessThan(0.05)
    expect(Math.abs(coarse.klBits - fine.klBits)).toBeLessThan(0.1)
  }
})

/** Answers known by symmetry. */
describe('the best angle', () => {
  const dome = domeDirections()
  const offered = dome.map(d => d.elevationDegrees <= 75)
  const readingsOf = (figure: Figure) => {
    const meter = meterOf(figure)
    return readAngles(
      dome,
      dome.map(d => meter.measure(d)),
    )
  }

  test('a sphere has none', () => {
    const scores = readingsOf(sphere).map(r => r!.score)
    expect(Math.max(...scores) / Math.min(...scores)).toBeLessThan(1.02)
    expect(Math.min(...scores)).toBeGreaterThan(0.3)
  })

  test('a thin plate is best face on, from either side', () => {
    const plate = figureOf([boxOfSheets([0, 10, 0], [14, 20, 0.05], [4, 4, 4, 4, 30, 30])])
    const scores = readingsOf(plate).map((r, i) => (offered[i] ? r!.score : null))
    for (const side of [0, 180]) {
      const there = dome.map((d, i) => (degreesBetween(d, from(side, 0)) < 90 ? scores[i] : null))
      const [best] = bestApart(dome, there, 1, 30)
      expect(degreesBetween(dome[best], from(side, 0))).toBeLessThan(7.6)
    }
  })

  test('directions that are still to come stay open, and those that came do not change their measures', () => {
    const meter = meterOf(cube)
    const some = dome.map<ViewMeasures | null>((d, i) => (d.coarse && i % 3 === 0 ? meter.measure(d, 64) : null))
    const readings = readAngles(dome, some)
    readings.forEach((reading, i) => {
      expect(reading === null).toBe(some[i] === null)
      if (reading) expect(reading.terms.visible).toBe(some[i]!.visibleShare)
    })
    expect(readings.find(r => r)!.terms.values).toBeNull()
    expect(ANGLE_TERMS).toHaveLength(6)
  })
})
