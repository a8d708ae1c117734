import { describe, expect, test } from 'vitest'
import type { Figure } from '../mesh/figure.ts'
import { vertexAreas } from '../mesh/vertex-areas.ts'
import { dot, type Vec3 } from '../vec3.ts'
import { bakeExposure, opennessEmitters } from './bake-exposure.ts'
import { disc, figureOf, floorSheet, icosphere, sheet } from './test-figures.ts'
import { parallelFrom } from './test-torches.ts'

/**
 * Openness against view factors to a uniform environment. Formulas: J. R. Howell, A Catalog of Radiation Heat Transfer
 * Configuration Factors, and the isotropic sky model of Hottel & Woertz 1942; values recomputed by quadrature.
 */
const degrees = Math.PI / 180

/** A flat strip from a to b (in x, y), long in z, looking to the left of a → b. */
const SLICES = 24
const strip = (a: readonly [number, number], b: readonly [number, number], n: number, halfLength = 12) =>
  sheet(n, SLICES, (u, v): Vec3 => [a[0] + (b[0] - a[0]) * u, a[1] + (b[1] - a[1]) * u, halfLength * (1 - 2 * v)])
/** A field along the middle of a strip's length: n + 1 values. */
const middleOf = (field: Float32Array, n: number, firstVertex = 0) =>
  Array.from(field.slice(firstVertex + (SLICES / 2) * (n + 1), firstVertex + (SLICES / 2 + 1) * (n + 1)))
/** With pixels that suit the narrowest gap rather than the edges: these sheets are far longer than wide. */
const fineOpenness = (figure: Figure, directions = 256, bufferSize = 1024) =>
  bakeExposure(figure, {}, opennessEmitters(directions), { bufferSize })

describe('C10: tilted plane under a uniform upper dome, (1 + cos b)/2', () => {
  const dome = opennessEmitters(4000).filter(e => e.kind === 'parallel' && e.toward[1] > 0)
  test.each([
    [0, 1],
    [30, 0.933],
    [45, 0.8536],
    [60, 0.75],
    [90, 0.5],
    [120, 0.25],
    [150, 0.067],
    [180, 0],
  ])('%d°: %d', (tilt, expected) => {
    const n: Vec3 = [Math.sin(tilt * degrees) * 0.6, Math.cos(tilt * degrees), Math.sin(tilt * degrees) * 0.8]
    const plate = figureOf([
      { positions: [0, 0, 0, 1, 0, 0, 0, 0, 1], normals: [...n, ...n, ...n], triangles: [0, 0, 0] },
    ])
    expect(bakeExposure(plate, {}, dome, { bufferSize: 16 })[0]).toBeCloseTo(expected, 2.3)
  })
})

test('C12: lune of a sphere lit from one side and seen from another, (1 + cos φ)/2 of the seen disc', () => {
  const ball = figureOf([icosphere(5, 10)])
  const areas = vertexAreas(ball)
  const light: Vec3 = [0.36, 0.48, 0.8]
  const lit = bakeExposure(ball, {}, [parallelFrom(light)])
  for (const [phi, expected] of [
    [30, 0.933],
    [60, 0.75],
    [90, 0.5],
    [120, 0.25],
  ]) {
    const across: Vec3 = [0.8, -0.6, 0]
    const c = Math.cos(phi * degrees)
    const s = Math.sin(phi * degrees)
    const view: Vec3 = [c * light[0] + s * across[0], c * light[1] + s * across[1], c * light[2] + s * across[2]]
    expect(dot(light, across)).toBeCloseTo(0, 9)
    const seen = bakeExposure(ball, {}, [parallelFrom(view)])
    const both = seen.reduce((sum, e, i) => sum + (lit[i] > 0 ? e * areas[i] : 0), 0)
    expect(both / seen.reduce((sum, e, i) => sum + e * areas[i], 0)).toBeCloseTo(expected, 1.9)
    // By surface of the seen half: 1 − φ/π.
    const surfaceOf = (field: Float32Array) => field.reduce((sum, e, i) => sum + (e > 0 ? areas[i] : 0), 0)
    const lune = surfaceOf(seen.map((e, i) => e * lit[i])) / surfaceOf(seen)
    expect(Math.abs(lune - (1 - phi / 180))).toBeLessThan(0.01)
  }
})

describe('C14: V-groove of full angle A, local 1 − (1 + (cos A − X)/√(1 + X² − 2X cos A))/2', () => {
  const n = 40
  const groove = (angle: number) => {
    const left: [number, number] = [-Math.sin((angle / 2) * degrees), Math.cos((angle / 2) * degrees)]
    return figureOf([strip(left, [0, 0], n), strip([0, 0], [-left[0], left[1]], n)])
  }
  test.each([
    [60, [0.2903, 0.5, 0.75], 0.5],
    [90, [0.5498, 0.7236, 0.8536], Math.SQRT1_2],
  ])('%d°', (angle, local, mean) => {
    const field = fineOpenness(groove(angle))
    const wall = middleOf(field, n).toReversed()
    ;[0.1, 0.5, 1].forEach((x, i) => {
      // The rim itself sees the depth buffer's last pixel; a little inside of it will do.
      expect(wall[Math.min(n - 1, x * n)]).toBeCloseTo(local[i], 1.4)
    })
    const average = (wall.slice(1, -1).reduce((a, b) => a + b) + (wall[0] + wall[n]) / 2) / n
    expect(Math.abs(average - mean)).toBeLessThan(0.02)
  })
})

describe('C15: slot of width 1 and depth k', () => {
  const n = 40
  test.each([
    [0.5, 0.618, Math.SQRT1_2, 0.382],
    [1, 0.4142, 0.4472, 0.2929],
    [2, 0.2361, 0.2425, 0.191],
  ])('k = %d: floor mean √(k²+1) − k, its centre line, wall mean', (k, floorMean, floorCentre, wallMean) => {
    const figure = figureOf([
      strip([-0.5, 0], [0.5, 0], n),
      strip([-0.5, k], [-0.5, 0], n),
      strip([0.5, 0], [0.5, k], n),
    ])
    const field = fineOpenness(figure)
    const floor = middleOf(field, n)
    const wall = middleOf(field, n, figure.parts[1].firstVertex)
    const mean = (row: number[]) => (row.slice(1, -1).reduce((a, b) => a + b) + (row[0] + row[n]) / 2) / n
    expect(Math.abs(floor[n / 2] - floorCentre)).toBeLessThan(0.02)
    expect(Math.abs(mean(floor) - floorMean)).toBeLessThan(0.02)
    expect(Math.abs(mean(wall) - wallMean)).toBeLessThan(0.02)
  })

  // H = 2W, parallel spray at angle t from the slot's axis: lit share of the wall it falls on is min(1, W/(H tan t)).
  test.each([
    [20, 1, 0.2721],
    [30, 0.866, 0],
    [45, 0.5, 0],
    [60, 0.2887, 0],
  ])('parallel spray at %d°: lit share of the wall %d, of the floor %d', (angle, wallShare, floorShare) => {
    const fine = 400
    const figure = figureOf([
      strip([-0.5, 0], [0.5, 0], fine),
      strip([-0.5, 2], [-0.5, 0], fine),
      strip([0.5, 0], [0.5, 2], fine),
    ])
    const toward: Vec3 = [Math.sin(angle * degrees), Math.cos(angle * degrees), 0]
    const field = bakeExposure(figure, {}, [parallelFrom(toward)], { bufferSize: 2048 })
    const lit = (row: number[], full: number) => row.reduce((sum, e) => sum + e / full, 0) / row.length
    expect(lit(middleOf(field, fine, figure.parts[1].firstVertex), toward[0])).toBeCloseTo(wallShare, 1)
    expect(lit(middleOf(field, fine), toward[1])).toBeCloseTo(floorShare, 1)
  })
})

/** A surface of revolution about y seen from inside or above: radius and height by u, normals by the caller. */
const turned = (
  rings: number,
  sectors: number,
  place: (u: number) => readonly [number, number],
  normal: (u: number) => readonly [number, number],
) =>
  sheet(
    rings,
    sectors,
    (u, v): Vec3 => [place(u)[0] * Math.cos(2 * Math.PI * v), place(u)[1], -place(u)[0] * Math.sin(2 * Math.PI * v)],
    (u, v): Vec3 => [normal(u)[0] * Math.cos(2 * Math.PI * v), normal(u)[1], -normal(u)[0] * Math.sin(2 * Math.PI * v)],
  )

describe('C17: spherical bowl, (1 + cos ψ)/2 at every point', () => {
  test.each([
    [90, 0.5],
    [60, 0.75],
    [45, 0.8536],
  ])('half-angle %d°: %d everywhere', (psi, expected) => {
    const bowl = figureOf([
      turned(
        48,
        128,
        u => [10 * Math.sin(psi * u * degrees), -10 * Math.cos(psi * u * degrees)],
        u => [-Math.sin(psi * u * degrees), Math.cos(psi * u * degrees)],
      ),
    ])
    const field = fineOpenness(bowl, 512)
    // No banding: every ring's mean is the same. Single points scatter with the directions, 0.015 rms at 512.
    for (let ring = 0; ring <= 48; ring++) {
      const points = Array.from(field).filter((_, i) => i % 49 === ring)
      expect(Math.abs(points.reduce((a, b) => a + b) / points.length - expected)).toBeLessThan(0.005)
      expect(Math.max(...points.map(o => Math.abs(o - expected)))).toBeLessThan(0.03)
    }
  })
})

describe('C16: blind cylindrical hole of radius 1 and depth H in level ground, floor centre 1/(1 + H²)', () => {
  test.each([
    [0.5, 0.8, 0.6096, 0.3904],
    [1, 0.5, 0.382, 0.309],
    [2, 0.2, 0.1716, 0.2071],
  ])('H = %d: %d; floor mean %d, wall mean %d (Howell B-53)', (depth, expected, floorMean, wallMean) => {
    const hole = figureOf([
      turned(
        20,
        96,
        u => [u, 0],
        () => [0, 1],
      ),
      turned(
        30,
        96,
        u => [1, depth * u],
        () => [-1, 0],
      ),
      turned(
        30,
        96,
        u => [1 + 3 * u, depth],
        () => [0, 1],
      ),
    ])
    const field = fineOpenness(hole)
    expect(field[0]).toBeCloseTo(expected, 1.7)
    const areas = vertexAreas(hole)
    const mean = ({ firstVertex, vertexCount }: Figure['parts'][number]) => {
      const [sum, area] = [0, 0].map((_, k) =>
        areas
          .subarray(firstVertex, firstVertex + vertexCount)
          .reduce((total, a, i) => total + a * (k === 0 ? field[firstVertex + i] : 1), 0),
      )
      return sum / area
    }
    expect(Math.abs(mean(hole.parts[0]) - floorMean)).toBeLessThan(0.02)
    expect(Math.abs(mean(hole.parts[1]) - wallMean)).toBeLessThan(0.02)
  })
})

describe('C20: floor beside things', () => {
  test('a long wall of height 1: (1 + x/√(x² + 1))/2', () => {
    const n = 80
    const figure = figureOf([strip([0, 0], [4, 0], n), strip([0, 1], [0, 0], 40)])
    const floor = middleOf(fineOpenness(figure), n)
    for (const [x, expected] of [
      [0.5, 0.7236],
      [1, 0.8536],
      [2, 0.9472],
    ]) {
      expect(Math.abs(floor[x * 20] - expected)).toBeLessThan(0.02)
    }
  })
  test('a ball that rests on it: 1 − (1 + (x/R)²)^(−3/2)', () => {
    const n = 240
    const figure = figureOf([floorSheet(12, n), icosphere(4, 3, [0, 3, 0])])
    const field = fineOpenness(figure)
    for (const [x, expected] of [
      [0.5, 0.2845],
      [1, 0.6464],
      [2, 0.9106],
      [3, 0.9684],
    ]) {
      const at = (n / 2) * (n + 1) + n / 2 + Math.round((x * 3) / 0.1)
      expect(figure.positions[3 * at]).toBeCloseTo(3 * x, 4)
      expect(Math.abs(field[at] - expected)).toBeLessThan(0.02)
    }
  })
})

test('error falls as directions are added (wall of C20, rms over the floor)', () => {
  const n = 80
  const figure = figureOf([strip([0, 0], [4, 0], n), strip([0, 1], [0, 0], 40)])
  const rms = [32, 512].map(directions => {
    const floor = middleOf(fineOpenness(figure, directions), n).slice(4, -4)
    const off = floor.map((o, i) => {
      const x = (i + 4) / 20
      return o - (1 + x / Math.hypot(x, 1)) / 2
    })
    return Math.sqrt(off.reduce((sum, e) => sum + e * e, 0) / off.length)
  })
  expect(rms[1]).toBeLessThan(rms[0] / 3)
})

describe('C18: disc over an element, what it hides (Howell, configurations 12 and 13)', () => {
  const element = (w: number) =>
    sheet(
      2,
      2,
      (u, v): Vec3 => {
        const x = 0.02 * (u - 0.5)
        return [x * Math.cos(w), -x * Math.sin(w), -0.02 * (v - 0.5)]
      },
      () => [Math.sin(w), Math.cos(w), 0],
    )
  const hidden = (h: number, r: number, a: number, w: number, directions: number) => {
    const figure = figureOf([element(w), disc(r, 8, 256, [a, h, 0])])
    return 1 - fineOpenness(figure, directions, 256)[4]
  }
  test.each([
    [1, 1, 0, 0.5],
    [2, 1, 0, 0.2],
    [1, 1, 1, 0.2764],
    [1, 1, 0.5, 0.438],
    [2, 1, 1, 0.1464],
    [1, 1, 2, 0.0528],
  ])('height %d, radius %d, %d aside: %d', (h, r, a, expected) => {
    expect(Math.abs(hidden(h, r, a, 0, 1024) - expected)).toBeLessThan(0.006)
  })
  test('tilted by w: cos w of it, as long as the disc stands above the horizon', () => {
    for (const w of [20, 35]) {
      expect(Math.abs(hidden(2, 1, 0, w * degrees, 1024) - 0.2 * Math.cos(w * degrees))).toBeLessThan(0.006)
    }
  })
  test('converges', () => {
    const off = (directions: number) => Math.abs(hidden(1, 1, 0.5, 0, directions) - 0.438)
    const fine = off(4096)
    expect(fine).toBeLessThan(0.003)
    expect(fine).toBeLessThan(off(32))
  })
})

describe('C19: two unit squares that share an edge (Howell, table A-2 and C-16)', () => {
  const n = 60
  // The element's square lies level, x from the shared edge; the other rises from the edge at the angle between them.
  const square = (angle: number) => {
    const [c, s] = [Math.cos(angle * degrees), Math.sin(angle * degrees)]
    return figureOf([
      sheet(n, n, (u, v): Vec3 => [u, 0, 0.5 - v]),
      sheet(n, n, (u, v): Vec3 => [(1 - u) * c, (1 - u) * s, 0.5 - v]),
    ])
  }
  test.each([
    [90, 0.20004],
    [120, 0.086615],
  ])('%d° apart: each sees %d of the other', (angle, expected) => {
    const figure = square(angle)
    const open = fineOpenness(figure, 1024)
    // Midpoint rule over the cells; the shared edge itself lies on both.
    let seen = 0
    for (let j = 0; j < n; j++) {
      for (let i = 0; i < n; i++) {
        const at = j * (n + 1) + i
        seen += 1 - (open[at] + open[at + 1] + open[at + n + 1] + open[at + n + 2]) / 4
      }
    }
    expect(Math.abs(seen / (n * n) - expected)).toBeLessThan(0.004)
  })
})
