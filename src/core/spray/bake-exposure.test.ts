import { describe, expect, test } from 'vitest'
import { sentinelFigure, sentinelIsThere } from '../../../scripts/bench/bench-figures.ts'
import type { Figure } from '../mesh/figure.ts'
import { vertexAreas } from '../mesh/vertex-areas.ts'
import type { Torch } from '../recipe/recipe.ts'
import type { Steps } from '../steps.ts'
import { directionFrom, dot, type Vec3 } from '../vec3.ts'
import {
  bakeExposure,
  bakeKernelSteps,
  COARSE_BUFFER,
  createBakeKernel,
  depthKernelSteps,
  openness,
  REFINED,
} from './bake-exposure.ts'
import { coarseEmittersOf, emittersOf } from './emitters.ts'
import { disc, figureOf, floorSheet, icosphere, sheet } from './test-figures.ts'
import { parallelFrom, pointAt, TORCH } from './test-torches.ts'

/** Mean error of a coarse answer as a share of the refined one. */
function coarseOff(figure: Figure, torch: Torch): number {
  const kernel = createBakeKernel(figure)
  const emitters = emittersOf(torch, figure, REFINED.directions)
  const few = coarseEmittersOf(torch, figure, emitters)
  expect(few.length).toBeLessThanOrEqual(emitters.length / 2)
  const refined = kernel.bake({}, emitters, REFINED)
  const coarse = kernel.bake({}, few, { bufferSize: COARSE_BUFFER })
  kernel.dispose()
  const off = coarse.reduce((sum, e, v) => sum + Math.abs(e - refined[v]), 0)
  return off / refined.reduce((sum, e) => sum + e, 0)
}

describe('C11: sphere (closed form)', () => {
  const radius = 10
  const figure = figureOf([icosphere(5, radius)])
  const areas = vertexAreas(figure)
  const total = areas.reduce((a, b) => a + b)
  const mean = (field: Float32Array) => field.reduce((sum, e, i) => sum + e * areas[i], 0) / total
  const litShare = (field: Float32Array) => field.reduce((sum, e, i) => sum + (e > 0 ? areas[i] : 0), 0) / total

  test.each([
    [17, 33],
    [-128, 71],
    [203, -12],
  ])('parallel spray from azimuth %d, elevation %d: cos γ everywhere, mean 1/4, lit half', (azimuth, elevation) => {
    const toward = directionFrom(azimuth, elevation)
    const field = bakeExposure(figure, {}, [parallelFrom(toward)])
    let worst = 0
    field.forEach((e, v) => {
      const n: Vec3 = [figure.normals[3 * v], figure.normals[3 * v + 1], figure.normals[3 * v + 2]]
      worst = Math.max(worst, Math.abs(e - Math.max(0, dot(n, toward))))
    })
    expect(worst).toBeLessThan(0.02)
    expect(mean(field)).toBeCloseTo(0.25, 3)
    expect(litShare(field)).toBeCloseTo(0.5, 1.7)
  })

  // Lit area (1 − R/d)/2; mean E/(I/d²) from the intercepted share of a 4π source, (1 − √(1−(R/d)²))/2.
  test.each([
    [0.1, 0.45, 0.2506],
    [0.2, 0.4, 0.2526],
    [0.4, 0.3, 0.2609],
  ])('point source at R/d = %d: lit %d, mean %d', (ratio, lit, meanExposure) => {
    const d = radius / ratio
    const away = directionFrom(40, 25)
    const field = bakeExposure(figure, {}, [pointAt([d * away[0], d * away[1], d * away[2]], [0, 0, 0])])
    expect(litShare(field)).toBeCloseTo(lit, 1.7)
    expect(mean(field) * d * d).toBeCloseTo(meanExposure, 2.6)
    expect(Math.max(...field) * (d - radius) ** 2).toBeCloseTo(1, 2)
  })

  test('mean and intercepted share come nearer as the ball is cut finer', () => {
    const away = directionFrom(40, 25)
    const off = [2, 3, 4].map(depth => {
      const ball = figureOf([icosphere(depth, radius)])
      const field = bakeExposure(ball, {}, [pointAt([25 * away[0], 25 * away[1], 25 * away[2]], [0, 0, 0])])
      const caught = vertexAreas(ball).reduce((sum, area, v) => sum + area * field[v], 0)
      return Math.abs(caught / (4 * Math.PI) / 0.041742 - 1)
    })
    expect(off[2]).toBeLessThan(0.01)
    expect(off[1]).toBeLessThan(off[0] / 2)
    expect(off[2]).toBeLessThan(off[1] / 2)
  })
})

/** A parallel beam puts on a convex body what its shadow holds. Closed form. */
test('C13: a unit cube catches 1, 1.4142 and 1.7321 seen on to a face, an edge and a corner', () => {
  const faces = [0, 1, 2].flatMap(k =>
    [-0.5, 0.5].map(side => {
      const at = (a: number, b: number, c: number): Vec3 => {
        const p = [0, 0, 0]
        p[k] = a
        p[(k + 1) % 3] = b
        p[(k + 2) % 3] = c
        return p as unknown as Vec3
      }
      const turned = side > 0 ? 1 : -1
      return sheet(
        12,
        12,
        (u, v) => at(side, turned * (u - 0.5), v - 0.5),
        () => at(2 * side, 0, 0),
      )
    }),
  )
  const cube = figureOf(faces)
  const areas = vertexAreas(cube)
  for (const [toward, shadow] of [
    [[0, -1, 0], 1],
    [[Math.SQRT1_2, 0, -Math.SQRT1_2], Math.SQRT2],
    [[1 / Math.sqrt(3), 1 / Math.sqrt(3), -1 / Math.sqrt(3)], Math.sqrt(3)],
  ] as [Vec3, number][]) {
    const field = bakeExposure(cube, {}, [parallelFrom(toward)])
    expect(field.reduce((sum, e, v) => sum + e * areas[v], 0)).toBeCloseTo(shadow, 2)
  }
})

describe('C21: shadow of a disc of radius 5 at height 10 under a source at height 100 (similar triangles)', () => {
  /** A point sprays alike wherever it looks; its picture must not take the middle of the scene for granted. */
  const ASIDE: Vec3 = [4, -3, 2.5]
  test('umbra radius 5.5556 and the closed form of C1 outside of it', () => {
    const figure = figureOf([floorSheet(12, 240), disc(5, 8, 256, [0, 10, 0])])
    const field = bakeExposure(figure, {}, [pointAt([0, 100, 0], ASIDE)], { bufferSize: 2048 })
    const floor = figure.parts[0]
    for (let v = 0; v < floor.vertexCount; v++) {
      const r = Math.hypot(figure.positions[3 * v], figure.positions[3 * v + 2])
      if (r < 5.52) expect(field[v]).toBe(0)
      if (r > 5.59) expect(field[v] * 1e4).toBeCloseTo((1 + (r / 100) ** 2) ** -1.5, 5)
    }
  })
  test('of 4π the floor misses 7.70e-4, nearer as its cells shrink', () => {
    const missing = (n: number) => {
      const figure = figureOf([floorSheet(9, n), disc(5, 8, 256, [0, 10, 0])])
      const nozzle = [pointAt([0, 100, 0], ASIDE)]
      const [open, shadowed] = (['absent', 'on'] as const).map(piece_2 =>
        bakeExposure(figure, { piece_2 }, nozzle, { bufferSize: 2048 }),
      )
      const areas = vertexAreas(figure).subarray(0, figure.parts[0].vertexCount)
      return areas.reduce((sum, area, v) => sum + area * (open[v] - shadowed[v]), 0) / (4 * Math.PI)
    }
    const [coarse, fine] = [24, 240].map(n => Math.abs(missing(n) / 7.7e-4 - 1))
    expect(fine).toBeLessThan(0.01)
    expect(fine).toBeLessThan(coarse / 2)
  })
})

describe('C21: penumbra of the same disc under a nozzle that rests at 100 mm, jittered over a disc of radius ρ', () => {
  // Similar triangles: fully dark within 5 − (ρ − 5)/9, untouched beyond 5 + (5 + ρ)/9; ρ = 0.2 + 100·tan 3°.
  const rho = 0.2 + 100 * Math.tan((3 * Math.PI) / 180)
  const figure = figureOf([floorSheet(12, 160), disc(5, 8, 256, [0, 10, 0])])
  const torch: Torch = {
    ...TORCH,
    aim: [0, 0, 0],
    elevationDegrees: 90,
    distanceMm: 100,
    sweep: { kind: 'still', secondsPerPass: 1 },
  }
  const baked = (count: number) => {
    const emitters = emittersOf(torch, figure, count)
    const shadowed = bakeExposure(figure, {}, emitters, { bufferSize: 1024 })
    const open = bakeExposure(figure, { piece_2: 'absent' }, emitters, { bufferSize: 1024 })
    const rings: { r: number; lit: number }[] = []
    for (let v = 0; v < figure.parts[0].vertexCount; v++) {
      rings.push({ r: Math.hypot(figure.positions[3 * v], figure.positions[3 * v + 2]), lit: shadowed[v] / open[v] })
    }
    return rings
  }
  test('dark inside, untouched outside, monotone between', () => {
    const rings = baked(128)
    const meanLit = (from: number, to: number) => {
      const ring = rings.filter(({ r }) => r >= from && r < to)
      return ring.reduce((sum, { lit }) => sum + lit, 0) / ring.length
    }
    const umbra = 5 - (rho - 5) / 9
    const rim = 5 + (5 + rho) / 9
    expect(meanLit(0, umbra - 0.1)).toBe(0)
    expect(meanLit(rim + 0.1, 8)).toBeCloseTo(1, 3)
    const quarter = (rim - umbra) / 4
    const steps = [0, 1, 2, 3].map(i => meanLit(umbra + i * quarter, umbra + (i + 1) * quarter))
    expect(steps).toEqual(steps.toSorted((a, b) => a - b))
    expect(steps[0]).toBeLessThan(0.12)
    expect(steps[3]).toBeGreaterThan(0.88)
    // Half of the nozzle's disc shows where the rim's shadow from the disc's middle falls: 50/9.
    expect(meanLit(5.5556 - 0.06, 5.5556 + 0.06)).toBeCloseTo(0.5, 1.3)
  })
})

describe('part states', () => {
  const floor = floorSheet(12, 48)
  const lid = disc(5, 4, 64, [1, 4, 2])
  const figure = figureOf([floor, lid])
  const down = [parallelFrom([0, 1, 0])]
  const under = figure.parts[0].firstVertex + 24 * 49 + 24

  test('on: shadows and receives', () => {
    const field = bakeExposure(figure, {}, down)
    expect(field[under]).toBe(0)
    expect(field[figure.parts[1].firstVertex]).toBeCloseTo(1, 6)
  })
  test('apart: receives at its place, shadows nothing and is not shadowed', () => {
    const field = bakeExposure(figure, { piece_2: 'apart' }, down)
    expect(field[under]).toBeCloseTo(1, 6)
    expect(field[figure.parts[1].firstVertex]).toBeCloseTo(1, 6)
    const covered = bakeExposure(figure, { piece_1: 'apart' }, down)
    expect(covered[under]).toBeCloseTo(1, 6)
  })
  test('one kernel, other states: nothing is left over from the bake before', () => {
    const kernel = createBakeKernel(figure)
    for (const states of [{}, { piece_2: 'apart' }, { piece_2: 'absent' }, {}] as const) {
      expect(kernel.bake(states, down)).toEqual(bakeExposure(figure, states, down))
    }
  })
  test('absent: neither', () => {
    const field = bakeExposure(figure, { piece_2: 'absent' }, down)
    expect(field[under]).toBeCloseTo(1, 6)
    expect(field[figure.parts[1].firstVertex]).toBe(0)
  })
})

describe('the bake', () => {
  const crowd = figureOf(
    Array.from({ length: 9 }, (_, i) =>
      icosphere(4, 2 + (i % 3), [
        2.9 * i ** 0.5 * Math.cos(2.4 * i),
        3 + ((7 * i) % 19),
        2.9 * i ** 0.5 * Math.sin(2.4 * i),
      ]),
    ),
  )
  const figure = figureOf([icosphere(4, 8, [0, 8, 0]), floorSheet(14, 60), icosphere(3, 2, [3, 15, 6])])

  test('is linear in the list of emitters', () => {
    const emitters = emittersOf({ ...TORCH, azimuthDegrees: 25, rollDegrees: 30 }, figure, 12)
    const whole = bakeExposure(figure, {}, emitters)
    const one = bakeExposure(figure, {}, emitters.slice(0, 5))
    const two = bakeExposure(figure, {}, emitters.slice(5))
    whole.forEach((e, v) => {
      expect(one[v] + two[v]).toBeCloseTo(e, 5)
    })
  })

  // A cancel must be heard within 30 ms, 8 of them between two breaths. Others use this machine too: the best of three
  // runs of each step counts.
  test('comes in steps of a few milliseconds, nozzles and taking in the figure included', () => {
    const large = figureOf([icosphere(7, 8, [0, 8, 0])])
    const still: Torch = { ...TORCH, sweep: { kind: 'still', secondsPerPass: 1 } }
    const emitters = [...emittersOf(TORCH, large, 2), ...emittersOf(still, large, 2)]
    const best: number[] = []
    let at = 0
    const timed = <T>(steps: Steps<T>): T => {
      for (;;) {
        const begun = performance.now()
        const step = steps.next()
        best[at] = Math.min(best[at] ?? Number.POSITIVE_INFINITY, performance.now() - begun)
        at++
        if (step.done) return step.value
      }
    }
    for (let run = 0; run < 6; run++) {
      at = 0
      timed(timed(bakeKernelSteps(large, timed(depthKernelSteps(large)))).bakeSteps({}, emitters))
    }
    expect(at).toBeGreaterThan(30)
    expect(Math.max(...best)).toBeLessThan(20)
  })

  test('one that is dropped half-way leaves nothing to the next', () => {
    const emitters = emittersOf(TORCH, figure, 8)
    const kernel = createBakeKernel(figure)
    const dropped = kernel.bakeSteps({}, emittersOf({ ...TORCH, azimuthDegrees: 77 }, figure, 8))
    for (let step = 0; step < 7; step++) expect(dropped.next().done).toBe(false)
    expect(kernel.bake({}, emitters)).toEqual(bakeExposure(figure, {}, emitters))
  })

  // Finer runs of ourselves; on a scene of many shadows. Wide turns, wide beams and areas take twice as many emitters.
  const still: Torch['sweep'] = { kind: 'still', secondsPerPass: 1 }
  const area = (radiusMm: number): Torch['sweep'] => ({ kind: 'area', radiusMm })
  const ring = (elevationDegrees: number): [string, Partial<Torch>] => [
    `a ring at ${elevationDegrees}°`,
    { elevationDegrees, rollDegrees: 180 },
  ]
  test.each<[string, Partial<Torch>]>([
    ['no roll', { azimuthDegrees: 77, elevationDegrees: 10 }],
    ['no roll, a beam as wide as usual ones get', { azimuthDegrees: 20, spread: 0.12 }],
    ['±45°', { azimuthDegrees: 160, rollDegrees: 45 }],
    ['±60°', { azimuthDegrees: 250, rollDegrees: 60 }],
    ['±90°', { azimuthDegrees: 33, rollDegrees: 90 }],
    ...[-30, 0, 10, 20, 45, 75].map(ring),
    ['an arc of 180°', { sweep: { kind: 'arc', spanDegrees: 180 } }],
    ['an arc of 360°', { sweep: { kind: 'arc', spanDegrees: 360 } }],
    ['a low arc of 360°', { elevationDegrees: 10, sweep: { kind: 'arc', spanDegrees: 360 } }],
    ['a wide beam', { spread: 0.3 }],
    ['still', { sweep: still }],
    ['still, near', { distanceMm: 40, sweep: still }],
    ['a stroke', { sweep: { kind: 'stroke', lengthMm: 20 } }],
    ['a long, low stroke', { azimuthDegrees: 40, elevationDegrees: 10, sweep: { kind: 'stroke', lengthMm: 60 } }],
    ['an area of 3 mm', { distanceMm: 100, azimuthDegrees: 15, sweep: area(3) }],
    ['an area of 7 mm', { distanceMm: 100, azimuthDegrees: 15, sweep: area(7) }],
    ['an area of 7 mm, a parabola', { distanceMm: 100, azimuthDegrees: 15, pattern: 'parabola', sweep: area(7) }],
    ['an area of 7 mm, a cone', { distanceMm: 100, azimuthDegrees: 15, pattern: 'cone', sweep: area(7) }],
    ['an area of 7 mm, near', { distanceMm: 60, azimuthDegrees: 15, sweep: area(7) }],
    ['an area of 7 mm, ±45°', { distanceMm: 100, rollDegrees: 45, sweep: area(7) }],
    ['an area of 7 mm, a ring', { distanceMm: 100, rollDegrees: 180, sweep: area(7) }],
    ['an area of 15 mm', { sweep: area(15) }],
  ])('coarse is within a twentieth of refined on average, occlusion included: %s', (_, patch) => {
    expect(coarseOff(crowd, { ...TORCH, ...patch })).toBeLessThan(0.05)
  })

  // Those that come nearest to the limit on the demo figure, whose shadows are finer. docs/models/spray.md has them all.
  test.skipIf(!sentinelIsThere())(
    'and on the demo figure: low rings, a wide roll, a wide beam, an area',
    async () => {
      const sentinel = await sentinelFigure()
      for (const patch of [
        ring(-30)[1],
        ring(0)[1],
        ring(10)[1],
        { rollDegrees: 60, azimuthDegrees: 250 },
        { azimuthDegrees: 20, spread: 0.12 },
        { distanceMm: 60, azimuthDegrees: 15, sweep: area(7) },
      ])
        expect(coarseOff(sentinel, { ...TORCH, ...patch }), JSON.stringify(patch)).toBeLessThan(0.05)
    },
    120_000,
  )

  test('openness of a convex body alone is 1, of a floor vertex beneath the sphere nearly 0', () => {
    const alone = figureOf([icosphere(4, 8)])
    const open = openness(alone, {}, 256)
    expect(open.reduce((a, b) => a + b) / open.length).toBeCloseTo(1, 2)
  })
})
