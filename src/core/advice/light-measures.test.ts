import { describe, expect, test } from 'vitest'
import type { Figure } from '../mesh/figure.ts'
import { vertexAreas } from '../mesh/vertex-areas.ts'
import { createBakeKernel } from '../spray/bake-exposure.ts'
import { figureOf, icosphere, sheet } from '../spray/test-figures.ts'
import { anglesOf, directionFrom, dot, type Vec3 } from '../vec3.ts'
import { type Direction, degreesBetween } from './dome.ts'
import {
  EXPOSURE_BINS,
  type LightMeasures,
  measureLight,
  presetLight,
  readLight,
  seenWeights,
} from './light-measures.ts'

const lightOn = (figure: Figure, light: Direction, weights: Float32Array): LightMeasures => {
  const toward = directionFrom(light.azimuthDegrees, light.elevationDegrees)
  const exposure = createBakeKernel(figure).bake({}, [{ kind: 'parallel', toward, weight: 1 }], { bufferSize: 256 })
  return measureLight(exposure, weights)
}

describe('a sphere', () => {
  const sphere = figureOf([icosphere(6, 10, [2, 10, -3])])
  const view = { azimuthDegrees: 25, elevationDegrees: 15 }
  const weights = seenWeights(sphere, createBakeKernel(sphere), view, {})

  test('what is seen of it is its disc', () => {
    expect(weights.reduce((sum, w) => sum + w, 0) / (Math.PI * 100)).toBeCloseTo(1, 2)
  })

  /** The lune: (1 + cos φ)/2 of the disc is lit, φ between light and line of sight. Closed form. */
  test.each([30, 60, 90, 120])('lit %i° from the line of sight', phi => {
    const eye = directionFrom(view.azimuthDegrees, view.elevationDegrees)
    const level = directionFrom(view.azimuthDegrees + 90, 0)
    const radians = (phi * Math.PI) / 180
    const toward = eye.map((x, k) => Math.cos(radians) * x + Math.sin(radians) * level[k]) as unknown as Vec3
    const { dark } = lightOn(sphere, anglesOf(toward), weights)
    // Exposure below 0.02 counts as dark: a rim of 1.15° more, at most 0.01 of the disc.
    expect(dark - (1 - Math.cos(radians)) / 2).toBeGreaterThan(-0.003)
    expect(dark - (1 - Math.cos(radians)) / 2).toBeLessThan(0.014)
  })

  /** Along the line of sight exposure is c = cos γ, and the disc's share below c is c². By hand. */
  test('lit along the line of sight', () => {
    const measured = lightOn(sphere, view, weights)
    measured.bins.forEach((share, k) => {
      expect(Math.abs(share - ((k + 1) ** 2 - k ** 2) / EXPOSURE_BINS ** 2)).toBeLessThan(0.004)
    })
    expect(Math.abs(measured.mid - (0.8 ** 2 - 0.2 ** 2))).toBeLessThan(0.005)
    expect(measured.dark).toBeLessThan(0.001)
  })

  test('parts left off while spraying are not counted', () => {
    const two = figureOf([icosphere(4, 5, [0, 5, 0]), icosphere(4, 3, [12, 5, 0])])
    const seen = seenWeights(two, createBakeKernel(two), view, { piece_2: 'absent' })
    expect(seen.reduce((sum, w) => sum + w, 0) / (Math.PI * 25)).toBeCloseTo(1, 1)
  })
})

describe('the score, by hand', () => {
  const withBins = (bins: number[], mid: number, dark: number) =>
    readLight({ bins: Array.from({ length: EXPOSURE_BINS }, (_, k) => bins[k] ?? 0), mid, dark })
  test('one sixteenth holds all: no entropy', () => {
    expect(withBins([1], 0, 1)).toMatchObject({ entropy: 0, score: 0 })
  })
  test('two alike: 1 bit of 4', () => {
    const { entropy, score } = withBins([0, 0.5, 0, 0.5], 0.5, 0.25)
    expect(entropy).toBeCloseTo(1 / 4, 12)
    expect(score).toBeCloseTo((0.25 + 0.5 - 0.25 + 1) / 3, 12)
  })
  test('all alike: all of it', () => {
    expect(withBins(new Array(16).fill(1 / 16), 1, 0)).toMatchObject({ entropy: 1, score: 1 })
  })
  test('a half and two quarters: 1.5 bits of 4', () => {
    expect(withBins([0.25, 0.5, 0, 0, 0, 0, 0, 0.25], 0, 0).entropy).toBeCloseTo(1.5 / 4, 12)
  })
})

/** An endless groove of 70° between its walls: by symmetry both get sin 35° from the bisector, and unlike amounts from elsewhere. */
test('the walls of a V-groove get the same from its bisector, and differ least there', () => {
  const half = (35 * Math.PI) / 180
  const wall = (side: 1 | -1) =>
    sheet(
      24,
      24,
      (u, v) => [side * (1 - v) * 10 * Math.sin(half), 10 * (1 - v) * Math.cos(half), side * (u - 0.5) * 400],
      () => [-side * Math.cos(half), Math.sin(half), 0],
    )
  const groove = figureOf([wall(1), wall(-1)])
  const walls = groove.parts.map(part => {
    const areas = vertexAreas(groove)
    return areas.map((area, v) => (v >= part.firstVertex && v < part.firstVertex + part.vertexCount ? area : 0))
  })
  const meanOf = (m: LightMeasures) => m.bins.reduce((sum, share, k) => sum + (share * (k + 0.5)) / EXPOSURE_BINS, 0)
  const kernel = createBakeKernel(groove)
  const spread = (azimuthDegrees: number, elevationDegrees: number) => {
    const toward = directionFrom(azimuthDegrees, elevationDegrees)
    const exposure = kernel.bake({}, [{ kind: 'parallel', toward, weight: 1 }], { bufferSize: 1024 })
    const [one, other] = walls.map(weights => meanOf(measureLight(exposure, weights)))
    return { between: Math.abs(one - other), one }
  }
  const bisector = spread(90, 90)
  expect(bisector.between).toBeLessThan(0.005)
  expect(Math.abs(bisector.one - Math.sin(half))).toBeLessThan(1 / EXPOSURE_BINS)
  for (const elevation of [80, 70, 60, 45, 30])
    for (const azimuth of [90, -90]) expect(spread(azimuth, elevation).between).toBeGreaterThan(0.1)
})

describe('where the literature puts the light', () => {
  const view = { azimuthDegrees: -40, elevationDegrees: 10 }
  test('25° above the line of sight', () => {
    const key = presetLight('key', view)
    expect(key.azimuthDegrees).toBeCloseTo(-40, 6)
    expect(key.elevationDegrees).toBeCloseTo(35, 6)
  })
  test('and a little to the viewer’s left', () => {
    const key = presetLight('key-left', view)
    expect(degreesBetween(key, view)).toBeCloseTo(25, 6)
    const viewersRight = directionFrom(view.azimuthDegrees + 90, 0)
    const along = dot(directionFrom(key.azimuthDegrees, key.elevationDegrees), viewersRight)
    expect(along).toBeCloseTo(-Math.sin((25 * Math.PI) / 180) * Math.sin((15 * Math.PI) / 180), 6)
  })
  test('or straight above', () => {
    expect(presetLight('overhead', view).elevationDegrees).toBe(90)
  })
  test('or as a rim from behind, as high on either side', () => {
    const rim = presetLight('rim', view)
    expect(degreesBetween({ ...rim, elevationDegrees: 0 }, { ...view, elevationDegrees: 0 })).toBeCloseTo(180, 4)
    expect(rim.elevationDegrees).toBe(45)
  })
  test('above a steep line of sight it passes the top', () => {
    const key = presetLight('key', { azimuthDegrees: 20, elevationDegrees: 75 })
    expect(key.elevationDegrees).toBeCloseTo(80, 6)
    expect(Math.abs(key.azimuthDegrees)).toBeCloseTo(160, 6)
  })
})
