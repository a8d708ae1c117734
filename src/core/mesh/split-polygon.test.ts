import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { splitPolygon } from './split-polygon.ts'
import { areaOf } from './test-surfaces.ts'

/** Corners in the plane, put on a tilted plane of space by an orthonormal frame: areas stay. */
const tilted = (plane: readonly (readonly [number, number])[]) =>
  Float64Array.from(plane.flatMap(([u, v]) => [0.6 * u + 2, 0.8 * u * 0.6 - 0.8 * v, 0.8 * u * 0.8 + 0.6 * v]))
const shoelace = (plane: readonly (readonly [number, number])[]) =>
  plane.reduce((sum, [x, y], i) => {
    const [nx, ny] = plane[(i + 1) % plane.length]
    return sum + (x * ny - nx * y) / 2
  }, 0)

function pieces(plane: readonly (readonly [number, number])[]) {
  const positions = tilted(plane)
  const triangles: number[] = []
  splitPolygon(
    positions,
    plane.map((_, i) => i),
    (a, b, c) => triangles.push(a, b, c),
  )
  return { positions: Float32Array.from(positions), triangles: Uint32Array.from(triangles) }
}

describe('the triangles cover the polygon once: their areas add up to it', () => {
  test.each([
    [
      'an L',
      [
        [0, 0],
        [4, 0],
        [4, 1],
        [1, 1],
        [1, 3],
        [0, 3],
      ],
    ],
    [
      'an arrow, reflex at the first corner',
      [
        [1, 1],
        [3, 0],
        [1, 4],
        [-1, 0],
      ],
    ],
    [
      'a comb',
      [
        [0, 0],
        [5, 0],
        [5, 3],
        [4, 3],
        [4, 1],
        [3, 1],
        [3, 3],
        [2, 3],
        [2, 1],
        [1, 1],
        [1, 3],
        [0, 3],
      ],
    ],
    [
      'a hexagon with corners in line',
      [
        [0, 0],
        [1, 0],
        [2, 0],
        [2, 2],
        [1, 2],
        [0, 2],
      ],
    ],
  ] as const)('%s', (_, plane) => {
    const split = pieces(plane)
    expect(split.triangles.length).toBe(3 * (plane.length - 2))
    expect(areaOf(split)).toBeCloseTo(shoelace(plane), 5)
  })
  test('any star-shaped outline', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: 0.2, max: 3, noNaN: true }), { minLength: 4, maxLength: 40 }), radii => {
        const plane = radii.map((r, i) => {
          const a = (2 * Math.PI * i) / radii.length
          return [r * Math.cos(a), r * Math.sin(a)] as const
        })
        const split = pieces(plane)
        expect(split.triangles.length).toBe(3 * (plane.length - 2))
        expect(areaOf(split)).toBeCloseTo(shoelace(plane), 3)
      }),
      { seed: 5, numRuns: 300 },
    )
  })
})

test('a polygon of 200,000 corners takes no time beyond their number', () => {
  const plane = Array.from(
    { length: 200_000 },
    (_, i) => [Math.cos(i / 31831), (i % 2) * 0.1 + Math.sin(i / 31831)] as const,
  )
  const started = performance.now()
  expect(pieces(plane).triangles.length).toBe(3 * (plane.length - 2))
  expect(performance.now() - started).toBeLessThan(2000)
})
