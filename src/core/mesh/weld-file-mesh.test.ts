import { describe, expect, test } from 'vitest'
import { block, fileMesh, loose, type Surface } from './test-surfaces.ts'
import { enclosedVolume, weldFileMesh } from './weld-file-mesh.ts'

const cube = (size: number, at: number) => block([at, 0, 0], [at + size, size, size])

describe('parts', () => {
  test('what hangs together, by falling area, with contiguous ranges', () => {
    const mesh = weldFileMesh(fileMesh([cube(1, 0), cube(3, 10), cube(2, 20)].map(loose)))
    expect(mesh.parts.map(p => [p.id, p.name, p.firstTriangle, p.triangleCount, p.firstVertex, p.vertexCount])).toEqual(
      [
        ['piece_1', 'piece 1', 0, 12, 0, 8],
        ['piece_2', 'piece 2', 12, 12, 8, 8],
        ['piece_3', 'piece 3', 24, 12, 16, 8],
      ],
    )
    // The largest stands first: 10 … 13 along x.
    const xs = mesh.positions.subarray(0, 24).filter((_, i) => i % 3 === 0)
    expect([Math.min(...xs), Math.max(...xs)]).toEqual([10, 13])
    expect(mesh.notes).toEqual([{ kind: 'welded', count: 3 * (36 - 8) }])
  })
  test('the file’s own division comes before what hangs together; ids are plain and unique', () => {
    const surfaces = [cube(1, 0), cube(2, 10), cube(3, 20), cube(1.5, 30)]
    const mesh = weldFileMesh(fileMesh(surfaces, ['Tête à gauche', 'Sword.001', 'Sword 001', '冠']))
    expect(mesh.parts.map(p => p.name)).toEqual(['Sword 001', 'Sword.001', '冠', 'Tête à gauche'])
    expect(mesh.parts.map(p => p.id)).toEqual(['sword_001', 'sword_001_2', 'piece_3', 'te_te_a_gauche'])
    for (const { id } of mesh.parts) expect(id).toMatch(/^[a-z0-9_]+$/)
  })
  test('beyond the most that anyone switches, the smallest become one', () => {
    const mesh = weldFileMesh(fileMesh(Array.from({ length: 9 }, (_, i) => cube(1 + i, 20 * i))), 4)
    expect(mesh.parts.map(p => [p.name, p.triangleCount])).toEqual([
      ['piece 1', 12],
      ['piece 2', 12],
      ['piece 3', 12],
      ['small pieces', 72],
    ])
  })
})

test('a closed mesh seen from inside is turned, and says so; an open one is not judged', () => {
  const solid = cube(2, 5)
  const inside: Surface = { ...solid, triangles: solid.triangles.toReversed() }
  const turned = weldFileMesh(fileMesh([inside]))
  expect(enclosedVolume(turned.positions, turned.triangles)).toBeCloseTo(8, 5)
  expect(turned.notes).toContainEqual({ kind: 'turned-inside-out', count: 12 })
  const open = weldFileMesh(fileMesh([{ ...inside, triangles: inside.triangles.slice(0, 30) }]))
  expect(open.notes).toEqual([{ kind: 'open-edges', count: 4 }])
})

test('triangles without area go and are counted: twice the same corner, or three on a line', () => {
  const solid = cube(2, 5)
  const line = {
    positions: Float32Array.from([0, 0, 0, 1, 2, 3, 2, 4, 6]),
    triangles: Uint32Array.from([0, 1, 2, 0, 0, 1]),
  }
  const mesh = weldFileMesh(fileMesh([solid, line]))
  expect(mesh.triangles.length).toBe(36)
  expect(mesh.notes).toContainEqual({ kind: 'degenerate-dropped', count: 2 })
  expect(mesh.positions.length / 3).toBe(8)
})

test('the fingerprint knows a moved vertex and a swapped corner', () => {
  const solid = cube(2, 5)
  const moved = { ...solid, positions: solid.positions.with(4, 1e-30) }
  const hashes = [solid, moved, cube(2, 5)].map(s => weldFileMesh(fileMesh([s])).contentHash)
  expect(hashes[0]).toMatch(/^[0-9a-f]{16}$/)
  expect(hashes[1]).not.toBe(hashes[0])
  expect(hashes[2]).toBe(hashes[0])
})
