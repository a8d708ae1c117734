import { describe, expect, test } from 'vitest'
import { icosphere } from '../spray/test-figures.ts'
import { creaseNormals } from './crease-normals.ts'
import { block } from './test-surfaces.ts'

const asArrays = ({ positions, triangles }: { positions: ArrayLike<number>; triangles: ArrayLike<number> }) =>
  [Float32Array.from(positions), Uint32Array.from(triangles)] as const

describe('a block', () => {
  const { positions, triangles } = block([1, -2, 0.5], [4, 3, 9])
  test('stands three times at every corner, each vertex with the normal of its face', () => {
    const creased = creaseNormals(positions, triangles, 40)
    expect(creased.positions.length / 3).toBe(24)
    for (let t = 0; t < creased.triangles.length; t += 3) {
      const corners = [...creased.triangles.subarray(t, t + 3)].map(v => [
        ...creased.normals.subarray(3 * v, 3 * v + 3),
      ])
      expect(corners[1], `triangle ${t / 3}`).toEqual(corners[0])
      expect(corners[2], `triangle ${t / 3}`).toEqual(corners[0])
      expect(corners[0].map(Math.abs).sort()).toEqual([0, 0, 1])
    }
  })
  test('smoothed, looks along its diagonals, whichever way its faces are cut (angle weights)', () => {
    // By area the normal would lean towards the faces whose diagonal meets the corner.
    const { normals } = creaseNormals(positions, triangles, 180)
    expect(normals.length).toBe(24)
    for (let v = 0; v < 8; v++)
      for (let k = 0; k < 3; k++)
        expect(normals[3 * v + k], `vertex ${v}, axis ${k}`).toBeCloseTo(((v >> k) & 1 ? 1 : -1) / Math.sqrt(3), 4)
  })
  test('keeps triangles in their order and their corners at their places', () => {
    const creased = creaseNormals(positions, triangles, 40)
    expect(creased.triangles.length).toBe(triangles.length)
    for (let c = 0; c < triangles.length; c++) {
      const [v, w] = [triangles[c], creased.triangles[c]]
      expect([...creased.positions.subarray(3 * w, 3 * w + 3)]).toEqual([...positions.subarray(3 * v, 3 * v + 3)])
      expect(w).toBeGreaterThanOrEqual(creased.firstOf[v])
      expect(w).toBeLessThan(creased.firstOf[v + 1])
    }
  })
})

test.each([
  [38.9, 4],
  [41.1, 6],
])('two panels that meet at %f° have %i vertices under a crease angle of 40°', (degrees, expected) => {
  const fold = (degrees * Math.PI) / 180
  // The shared edge is 0–1; the second panel is turned down by the angle.
  const positions = Float32Array.from([0, 0, 0, 0, 0, -1, -2, 0, 0, 3 * Math.cos(fold), -3 * Math.sin(fold), 0])
  const { positions: split } = creaseNormals(positions, Uint32Array.from([0, 1, 2, 1, 0, 3]), 40)
  expect(split.length / 3).toBe(expected)
})

test('a fine ball is nowhere creased, and its normals become radial as its edges shrink', () => {
  const errors = (depth: number) => {
    const [positions, triangles] = asArrays(icosphere(depth, 1))
    const { normals, positions: same } = creaseNormals(positions, triangles, 40)
    expect(same.length).toBe(positions.length)
    let worst = 0
    let squares = 0
    for (let i = 0; i < normals.length; i += 3) {
      const error = Math.hypot(...[0, 1, 2].map(k => normals[i + k] - positions[i + k]))
      worst = Math.max(worst, error)
      squares += error * error
    }
    return { worst, rms: Math.sqrt((3 * squares) / normals.length) }
  }
  const [coarse, fine] = [errors(2), errors(4)]
  expect(fine.worst).toBeLessThan(0.005)
  // Two halvings of the edge. Where the subdivision is lopsided, along the icosahedron's own edges, the error is of
  // first order (4 times less); on average it falls faster than that.
  expect(coarse.worst / fine.worst).toBeGreaterThan(3.8)
  expect(coarse.rms / fine.rms).toBeGreaterThan(5)
})

test('a cylinder: radial on its side, axial on its caps, whatever fan the caps are made of', () => {
  const n = 24
  const ring = (y: number) =>
    Array.from({ length: n }, (_, i) => [Math.cos((2 * Math.PI * i) / n), y, -Math.sin((2 * Math.PI * i) / n)])
  const positions = Float32Array.from([...ring(0), ...ring(2)].flat())
  const triangles: number[] = []
  for (let i = 0; i < n; i++) {
    const j = (i + 1) % n
    triangles.push(i, j, n + j, i, n + j, n + i)
    if (i > 0 && j > 0) triangles.push(n, n + i, n + j, 0, j, i)
  }
  const creased = creaseNormals(positions, Uint32Array.from(triangles), 40)
  expect(creased.positions.length / 3).toBe(4 * n)
  for (let v = 0; v < creased.normals.length; v += 3) {
    const [x, y, z] = creased.normals.subarray(v, v + 3)
    if (Math.abs(y) > 0.5) expect(Math.abs(y)).toBeCloseTo(1, 6)
    else {
      expect(x).toBeCloseTo(creased.positions[v], 4)
      expect(z).toBeCloseTo(creased.positions[v + 2], 4)
    }
  }
})

test('a normal never has length 0, not even where a leaf is folded onto itself', () => {
  const positions = Float32Array.from([0, 0, 0, 1, 0, 0, 0, 1, 0])
  const { normals } = creaseNormals(positions, Uint32Array.from([0, 1, 2, 0, 2, 1]), 180)
  for (let v = 0; v < normals.length; v += 3) expect(Math.hypot(...normals.subarray(v, v + 3))).toBeCloseTo(1, 6)
})
