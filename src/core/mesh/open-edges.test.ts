import { describe, expect, test } from 'vitest'
import { openEdges } from './open-edges.ts'

/** A fan around vertex 0: n triangles, closed to a disc when `closed`. */
const fan = (n: number, closed: boolean) =>
  Uint32Array.from(Array.from({ length: closed ? n : n - 1 }, (_, i) => [0, i + 1, ((i + 1) % n) + 1]).flat())

describe('open edges, counted by hand', () => {
  test.each([
    ['one triangle', Uint32Array.from([0, 1, 2]), 3],
    ['a tetrahedron', Uint32Array.from([0, 2, 1, 0, 1, 3, 1, 2, 3, 2, 0, 3]), 0],
    ['a tetrahedron without its floor', Uint32Array.from([0, 1, 3, 1, 2, 3, 2, 0, 3]), 3],
    // Both triangles run 1→2: the sides disagree, which counts twice; four outer edges.
    ['two triangles that disagree', Uint32Array.from([0, 1, 2, 3, 1, 2]), 6],
    ['a disc of 9 triangles: its rim', fan(9, true), 9],
    ['a fan of 8 triangles: rim and two spokes', fan(9, false), 10],
    // More edges at one vertex than are compared one by one.
    ['a disc of 5000 triangles: its rim', fan(5000, true), 5000],
  ])('%s', (_, triangles, expected) => {
    expect(openEdges(triangles, Math.max(...triangles) + 1)).toBe(expected)
  })

  test('two closed sheets through one edge cancel', () => {
    // Four triangles meet at 0–1, two each way.
    const quads = Uint32Array.from([0, 1, 2, 1, 0, 3, 0, 1, 4, 1, 0, 5])
    expect(openEdges(quads, 6)).toBe(8)
  })
})
