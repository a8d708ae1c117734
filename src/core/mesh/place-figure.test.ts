import { describe, expect, test } from 'vitest'
import type { Axis } from './file-mesh.ts'
import { placePositions } from './place-figure.ts'
import { block } from './test-surfaces.ts'
import { boxOf, enclosedVolume } from './weld-file-mesh.ts'

const AXES: readonly Axis[] = ['+x', '-x', '+y', '-y', '+z', '-z']
const PAIRS = AXES.flatMap(up => AXES.filter(front => front[1] !== up[1]).map(front => [up, front] as const))

describe('all 24 ways to stand', () => {
  // 2 × 3 × 5, away from the origin: no two extents alike.
  const { positions, triangles } = block([1, 10, -7], [3, 13, -2])
  const extent = { x: 2, y: 3, z: 5 } as Record<string, number>
  test.each(PAIRS)('up %s, front %s: a turn, on the ground, centred, as high as asked for', (up, front) => {
    const placed = placePositions(positions, boxOf(positions), { up, front, heightMm: 12 })
    const k = 12 / extent[up[1]]
    const side = ['x', 'y', 'z'].find(axis => axis !== up[1] && axis !== front[1]) as string
    const expected = [extent[side] * k, 12, extent[front[1]] * k]
    const box = boxOf(placed)
    expected.forEach((size, axis) => {
      expect(box[axis + 3] - box[axis]).toBeCloseTo(size, 5)
    })
    expect(box[1]).toBe(0)
    expect(box[0]).toBeCloseTo(-box[3], 5)
    expect(box[2]).toBeCloseTo(-box[5], 5)
    // A mirror image would turn the volume's sign.
    expect(enclosedVolume(placed, triangles)).toBeCloseTo(30 * k ** 3, 2)
  })
})

test('z up, looking along −y: the printing programs’ front ends up at +z, their +x at the figure’s own left', () => {
  const positions = Float32Array.from([0, 0, 0, 7, 0, 0, 0, -3, 0, 0, 0, 10])
  const placed = placePositions(positions, boxOf(positions), { up: '+z', front: '-y', heightMm: 20 })
  const [o, x, y, z] = [0, 3, 6, 9].map(i => [...placed.subarray(i, i + 3)])
  expect(x.map((v, k) => v - o[k])).toEqual([14, 0, 0])
  expect(y.map((v, k) => v - o[k])).toEqual([0, 0, 6])
  expect(z.map((v, k) => v - o[k])).toEqual([0, 20, 0])
})

test('a sheet that lies flat is scaled by its greatest extent', () => {
  const positions = Float32Array.from([0, 0, 4, 8, 0, 4, 0, 2, 4])
  expect(boxOf(placePositions(positions, boxOf(positions), { up: '+z', front: '-y', heightMm: 32 }))).toEqual([
    -16, 0, -4, 16, 0, 4,
  ])
})

test('a front along up is an error of ours', () => {
  const { positions } = block([0, 0, 0], [1, 1, 1])
  expect(() => placePositions(positions, boxOf(positions), { up: '+y', front: '-y', heightMm: 1 })).toThrow('parallel')
})
