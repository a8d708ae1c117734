import { describe, expect, test } from 'vitest'
import { vertexAreas } from '../mesh/vertex-areas.ts'
import { cross, directionFrom, normalize, scale, type Vec3 } from '../vec3.ts'
import { bakeExposure } from './bake-exposure.ts'
import { type Emitter, kernelAt } from './emitters.ts'
import { densityPerSr, edgeTanOf, type SprayPattern, shareWithin, tanHolding } from './spray-pattern.ts'
import { figureOf, sheet } from './test-figures.ts'
import { pointAt } from './test-torches.ts'

const degrees = Math.PI / 180
const PATTERNS: readonly SprayPattern[] = [
  { kind: 'gaussian', s: 0.075 },
  { kind: 'gaussian', s: 0.12 },
  { kind: 'beta', edgeTan: 0.2, b: 2 },
  { kind: 'beta', edgeTan: 0.15, b: 3.5 },
  { kind: 'cone', halfAngleDegrees: 10 },
]
const nozzle = (position: Vec3, pattern: SprayPattern): Emitter => ({
  kind: 'nozzle',
  position,
  aim: [0, 0, 0],
  pattern,
  weight: 1,
})
/** What an emitter leaves on an unoccluded surface, its weight included. */
const left = (e: Emitter, at: Vec3, normal: Vec3) => e.weight * kernelAt(e, at, normal)
/** Wet µm/s of 1 mm³/s on the level plane, nozzle at `height` above the origin. */
const rateUmPerS = (pattern: SprayPattern, height: number, r: number) =>
  1000 * kernelAt(nozzle([0, height, 0], pattern), [r, 0, 0], [0, 1, 0])

describe('C1: point source on a plane, E/E0 = (1 + (r/h)²)^(−3/2) (closed form)', () => {
  test.each([
    [0, 1],
    [0.25, 0.9131],
    [0.5, 0.7155],
    [1, 0.3536],
    [2, 0.0894],
  ])('r/h = %d: %d', (ratio, expected) => {
    const source = pointAt([3, 40, -2], [3, 0, -2])
    expect(left(source, [3 + 40 * ratio, 0, -2], [0, 1, 0]) * 1600).toBeCloseTo(expected, 4)
  })
})

describe('C2, C3: share of a 4π source that a flat target catches (Howell B-106; coaxial disc, handbook example)', () => {
  const caught = (
    half: readonly [number, number],
    middle: readonly [number, number],
    height: number,
    disc: boolean,
  ) => {
    const plate = figureOf([
      sheet(
        240,
        240,
        (u, v) => [middle[0] + half[0] * (2 * u - 1), 0, middle[1] - half[1] * (2 * v - 1)],
        () => [0, 1, 0],
      ),
    ])
    const areas = vertexAreas(plate)
    const field = bakeExposure(plate, {}, [pointAt([0, height, 0], [0, 0, 0], 89)], { bufferSize: 256 })
    const inside = (i: number) => !disc || Math.hypot(plate.positions[3 * i], plate.positions[3 * i + 2]) <= half[0]
    return field.reduce((sum, e, i) => sum + (inside(i) ? e * areas[i] : 0), 0) / (4 * Math.PI)
  }
  test('rectangle 10 × 20, foot of the normal at a corner, height 5: atan(ab/(c√(a²+b²+c²)))/4π = 0.0836', () => {
    expect(caught([5, 10], [5, 10], 5, false)).toBeCloseTo(0.0836, 4)
  })
  test('disc of radius 10, height 5: (1 − h/√(h²+R²))/2 = 0.2764', () => {
    expect(caught([10, 10], [0, 0], 5, true)).toBeCloseTo(0.2764, 3)
  })
})

describe('C4: uniform cone, Q = 1 mm³/s (closed form)', () => {
  test.each([
    [5, 41.8245],
    [10, 10.4761],
    [15, 4.6708],
  ])('half-angle %d°: %d /sr', (halfAngleDegrees, perSr) => {
    expect(densityPerSr({ kind: 'cone', halfAngleDegrees }, 1)).toBeCloseTo(perSr, 4)
  })
  test('10° at 100 mm: 1.0476 µm/s in the middle, edge at 17.6327 mm', () => {
    const cone: SprayPattern = { kind: 'cone', halfAngleDegrees: 10 }
    expect(rateUmPerS(cone, 100, 0)).toBeCloseTo(1.0476, 4)
    expect(rateUmPerS(cone, 100, 17.63)).toBeGreaterThan(0.9)
    expect(rateUmPerS(cone, 100, 17.64)).toBe(0)
  })
})

describe('C5: Gaussian kernel, s = 0.075, 100 mm, Q = 1 (closed form)', () => {
  const gaussian: SprayPattern = { kind: 'gaussian', s: 0.075 }
  test.each([
    [0, 2.8294],
    [7.5, 1.7161],
    [15, 0.3829],
  ])('at %d mm: %d µm/s', (r, expected) => {
    expect(rateUmPerS(gaussian, 100, r)).toBeCloseTo(expected, 3.6)
  })
  test.each([
    [1, 0.3935],
    [2, 0.8647],
    [3, 0.9889],
  ])('mass inside %d σ: %d', (sigmas, share) => {
    expect(shareWithin(gaussian, 0.075 * sigmas)).toBeCloseTo(share, 4)
  })
  test.each([
    [0.5, 1.1774],
    [0.9, 2.146],
    [0.95, 2.4477],
  ])('radius that holds %d: %d σ', (share, sigmas) => {
    expect(tanHolding(gaussian, share) / 0.075).toBeCloseTo(sigmas, 4)
  })
})

describe('C6: nothing is lost and nothing made', () => {
  test.each(PATTERNS)('%j: ∫ p dΩ = 1, and shares invert', pattern => {
    const edge = Math.atan(edgeTanOf(pattern))
    const n = 20_000
    let sum = 0
    for (let i = 0; i < n; i++) {
      const theta = ((i + 0.5) / n) * edge
      sum += densityPerSr(pattern, Math.cos(theta)) * 2 * Math.PI * Math.sin(theta) * (edge / n)
    }
    expect(sum).toBeCloseTo(1, 4)
    for (const share of [0.1, 0.37, 0.8]) expect(shareWithin(pattern, tanHolding(pattern, share))).toBeCloseTo(share, 9)
  })

  test.each([1, 1.5, 2, 3])('beta footprint: peak · πR²/Q = b = %d', b => {
    const radius = 0.2 * 60
    const peak = rateUmPerS({ kind: 'beta', edgeTan: 0.2, b }, 60, 0) / 1000
    expect(peak * Math.PI * radius * radius).toBeCloseTo(b, 9)
  })

  test.each([
    [1, 0.6366],
    [1.5, 0.75],
    [2, 0.8488],
    [3, 1.0186],
  ])('stroke peak of the beta footprint, b = %d: T0·R·v/Q = %d', (b, expected) => {
    const pattern: SprayPattern = { kind: 'beta', edgeTan: 0.2, b }
    const n = 40_000
    let sum = 0
    for (let i = 0; i < n; i++) {
      const x = 12 * ((2 * (i + 0.5)) / n - 1)
      sum += kernelAt(nozzle([0, 60, 0], pattern), [x, 0, 0], [0, 1, 0]) * (24 / n)
    }
    expect(sum * 12).toBeCloseTo(expected, 3)
  })

  // The bake itself: whatever the plate's tilt, what lands on it is what left the nozzle.
  test.each([0, 20, 35, 50])('a plate tilted by %d° catches the whole beam of every pattern', tilt => {
    const normal = directionFrom(40, 90 - tilt)
    const u = normalize(cross([0.3, 0.1, -1], normal))
    const v = cross(normal, u)
    const plate = figureOf([
      sheet(
        420,
        420,
        (a, b) => [0, 1, 2].map(i => 150 * (2 * a - 1) * u[i] + 150 * (2 * b - 1) * v[i]) as unknown as Vec3,
        () => normal,
      ),
    ])
    const areas = vertexAreas(plate)
    for (const pattern of PATTERNS) {
      const field = bakeExposure(plate, {}, [nozzle([0, 70, 0], pattern)], { bufferSize: 512 })
      const landed = field.reduce((sum, e, i) => sum + e * areas[i], 0)
      // A cone's sharp edge falls between vertices; the others are smooth.
      expect(Math.abs(landed - 1)).toBeLessThan(pattern.kind === 'cone' ? 0.02 : 0.003)
    }
  })
})

describe('C7: tilted plane under a 10° cone, the axis hits at distance h (closed form)', () => {
  // E(edge)/E0 = cos³(g ∓ a)/cos²g at distance h·sin a/cos(g ∓ a) from the axis; E0 = untilted centre.
  test.each([
    [45, Math.SQRT1_2, 1.0993, 0.3774, 0.212, 0.3027],
    [60, 0.5, 1.0623, 0.16, 0.2701, 0.5077],
  ])('g = %d°', (g, centre, near, far, nearEdge, farEdge) => {
    const h = 80
    const source = pointAt([0, h, 0], [0, 0, 0])
    const normal: Vec3 = [Math.sin(g * degrees), Math.cos(g * degrees), 0]
    const uphill: Vec3 = [-Math.cos(g * degrees), Math.sin(g * degrees), 0]
    const at = (distance: number) => left(source, scale(uphill, distance * h), normal) * h * h
    expect(at(0)).toBeCloseTo(centre, 4)
    expect(at(nearEdge)).toBeCloseTo(near, 3)
    expect(at(-farEdge)).toBeCloseTo(far, 3)
  })
})

describe('C8: swept point, finite stroke ±h: (I h/v)·2L/((h²+x²)·√(h²+x²+L²)) (closed form)', () => {
  test.each([
    [0, Math.SQRT2],
    [0.5, 1.0667],
  ])('x/h = %d: %d', (ratio, expected) => {
    const h = 50
    const n = 2000
    let sum = 0
    for (let i = 0; i < n; i++) {
      const z = h * ((2 * (i + 0.5)) / n - 1)
      sum += left(pointAt([0, h, z], [0, 0, z]), [ratio * h, 0, 0], [0, 1, 0]) * ((2 * h) / n)
    }
    expect(sum * h).toBeCloseTo(expected, 4)
  })
  test.each([
    [0, 2],
    [0.5, 1.6],
    [1, 1],
  ])('without an end, x/h = %d: %d', (ratio, expected) => {
    const h = 50
    const reach = 60 * h
    const n = 4000
    let sum = 0
    for (let i = 0; i < n; i++) {
      const z = reach * ((2 * (i + 0.5)) / n - 1)
      sum += left(pointAt([0, h, z], [0, 0, z], 89.9), [ratio * h, 0, 0], [0, 1, 0]) * ((2 * reach) / n)
    }
    expect(sum * h).toBeCloseTo(expected, 2)
  })
})

describe('C9: ripple of parallel rows', () => {
  const ripple = (pattern: SprayPattern, spacing: number, h: number) => {
    const stroke = (x: number) => {
      let sum = 0
      for (let z = -4; z <= 4; z += 0.02) sum += kernelAt(nozzle([0, h, 0], pattern), [x, 0, z * 0.1 * h], [0, 1, 0])
      return sum
    }
    const row = Array.from({ length: 64 }, (_, i) => {
      let sum = 0
      for (let k = -6; k <= 6; k++) sum += stroke((i / 64 + k) * spacing)
      return sum
    })
    const mean = row.reduce((a, b) => a + b) / row.length
    return (Math.max(...row) - Math.min(...row)) / mean
  }
  // (max − min)/mean = 4·exp(−2π²σ²/s²), leading term of the theta function.
  test.each([
    [1.5, 0.0006],
    [2, 0.0288],
    [2.5, 0.17],
    [3, 0.4462],
  ])('Gaussian rows %d σ apart: %d', (sigmas, expected) => {
    expect(ripple({ kind: 'gaussian', s: 0.1 }, 0.1 * sigmas * 60, 60)).toBeCloseTo(expected, 3)
  })
  // Swept parabola, stroke (1 − u²)^1.5: quadrature of the reference.
  test.each([
    [1.217, 0.0782],
    [1, 0.2538],
  ])('swept parabola, rows %d R apart: %d', (ratio, expected) => {
    expect(ripple({ kind: 'beta', edgeTan: 0.2, b: 2 }, ratio * 12, 60)).toBeCloseTo(expected, 2.5)
  })
})
