import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { icosphere } from '../spray/test-figures.ts'
import { block, eulerCharacteristic, loose } from './test-surfaces.ts'
import { weldVertices } from './weld-vertices.ts'

const onePiece = (triangles: Uint32Array) => [{ firstTriangle: 0, triangleCount: triangles.length / 3 }]

describe('counts with a closed form', () => {
  test('a subdivided icosahedron has 10·4ⁿ + 2 vertices, and V − E + F = 2', () => {
    const soup = loose(icosphere(4, 3, [5, -2, 1]))
    const welded = weldVertices(soup.positions, soup.triangles, onePiece(soup.triangles))
    expect(welded.positions.length / 3).toBe(10 * 4 ** 4 + 2)
    expect(welded.removed).toBe(soup.positions.length / 3 - welded.positions.length / 3)
    expect(eulerCharacteristic(welded)).toBe(2)
  })
  test('−0 and 0 are one place; the next float is another', () => {
    const next = Math.fround(1 + 2 ** -23)
    const positions = Float32Array.from([0, -0, 1, -0, 0, 1, 0, 0, next, 4, 5, 6, 4, 5, 6, 7, 8, 9])
    const triangles = Uint32Array.from([0, 3, 5, 1, 4, 5, 2, 3, 5])
    const welded = weldVertices(positions, triangles, onePiece(triangles))
    expect([...welded.triangles]).toEqual([0, 1, 2, 0, 1, 2, 3, 1, 2])
  })
  test('vertices that no triangle uses go', () => {
    const { positions, triangles } = weldVertices(
      Float32Array.from([9, 9, 9, 0, 0, 0, 1, 0, 0, 0, 1, 0]),
      Uint32Array.from([1, 2, 3]),
      [{ firstTriangle: 0, triangleCount: 1 }],
    )
    expect([...positions]).toEqual([0, 0, 0, 1, 0, 0, 0, 1, 0])
    expect([...triangles]).toEqual([0, 1, 2])
  })
})

test('two pieces that touch share no vertex, even where the file lets them', () => {
  const { positions, triangles } = block([0, 0, 0], [1, 2, 3])
  const welded = weldVertices(positions, triangles, [
    { firstTriangle: 0, triangleCount: 5 },
    { firstTriangle: 5, triangleCount: 7 },
  ])
  const first = new Set(welded.triangles.subarray(0, 15))
  const second = new Set(welded.triangles.subarray(15))
  expect([...first].filter(v => second.has(v))).toEqual([])
  expect(Math.max(...first)).toBeLessThan(Math.min(...second))
})

test('100,000 pieces at one place take no time beyond their number', () => {
  const positions = Float32Array.from([0, 0, 0, 1, 0, 0, 0, 1, 0])
  const triangles = Uint32Array.from({ length: 300_000 }, (_, i) => i % 3)
  const pieces = Array.from({ length: 100_000 }, (_, i) => ({ firstTriangle: i, triangleCount: 1 }))
  const started = performance.now()
  expect(weldVertices(positions, triangles, pieces).positions.length).toBe(900_000)
  expect(performance.now() - started).toBeLessThan(3000)
})

test('agrees with a Map keyed by text on any soup with many coincidences', () => {
  fc.assert(
    fc.property(fc.array(fc.integer({ min: -2, max: 2 }), { minLength: 9, maxLength: 900 }), numbers => {
      const positions = Float32Array.from(numbers.slice(0, 9 * Math.floor(numbers.length / 9)), v => v / 3)
      const triangles = Uint32Array.from({ length: positions.length / 3 }, (_, i) => i)
      const known = new Map<string, number>()
      const expected = Array.from(triangles, v => {
        const key = [0, 1, 2].map(k => positions[3 * v + k] + 0).join(' ')
        if (!known.has(key)) known.set(key, known.size)
        return known.get(key)
      })
      const welded = weldVertices(positions, triangles, onePiece(triangles))
      expect([...welded.triangles]).toEqual(expected)
      expect(welded.positions.length / 3).toBe(known.size)
    }),
    { seed: 11, numRuns: 200 },
  )
})
