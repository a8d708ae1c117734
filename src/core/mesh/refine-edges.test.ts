import { describe, expect, test } from 'vitest'
import { openEdges } from './open-edges.ts'
import { REFINEMENT_DEFAULTS } from './placement.ts'
import { prepareFigure } from './prepare-figure.ts'
import { refineEdges, type SurfaceArrays } from './refine-edges.ts'
import { areaOf, block, fileMesh, longestEdge, type Surface } from './test-surfaces.ts'
import { enclosedVolume, weldFileMesh } from './weld-file-mesh.ts'
import { weldVertices } from './weld-vertices.ts'

const PLACEMENT = { up: '+z', front: '-y', heightMm: 9, unit: null } as const
/** A block of 3 × 5 × 9 mm: creased, so every edge stands twice; and a smaller one beside it. */
const MESH = weldFileMesh(fileMesh([block([1, -2, 0], [4, 3, 9]), block([6, 0, 0], [7, 1.5, 2.25])]))
const figureOf = (edgeMm: number, vertexBudget = 1e6) =>
  prepareFigure(MESH, PLACEMENT, { edgeMmAt32: (edgeMm * 32) / 9, vertexBudget })
const welded = ({ positions, triangles }: Surface) =>
  weldVertices(positions, triangles, [{ firstTriangle: 0, triangleCount: triangles.length / 3 }])

describe('edges of two blocks, refined', () => {
  const edgeMm = 0.4
  const { figure, notes } = figureOf(edgeMm)
  test('none is longer than asked for', () => {
    expect(longestEdge(figure)).toBeLessThanOrEqual(edgeMm * (1 + 1e-6))
    expect(notes.find(n => n.kind === 'refinement-capped')).toBeUndefined()
    expect(notes.find(n => n.kind === 'edges-refined')?.count).toBeGreaterThan(1000)
  })
  test('area and volume stay: flat stays flat', () => {
    const area = 2 * (3 * 5 + 5 * 9 + 9 * 3) + 2 * (1.5 + 1.5 * 2.25 + 2.25)
    expect(areaOf(figure) / area).toBeCloseTo(1, 6)
    expect(enclosedVolume(figure.positions, figure.triangles) / (135 + 1.5 * 2.25)).toBeCloseTo(1, 6)
  })
  test('no cracks: welded again it is closed, across every crease', () => {
    const again = welded(figure)
    expect(openEdges(again.triangles, again.positions.length / 3)).toBe(0)
  })
  test('normals stay those of the faces, exactly unit', () => {
    for (let v = 0; v < figure.normals.length; v += 3)
      expect([...figure.normals.subarray(v, v + 3)].map(Math.abs).sort()).toEqual([0, 0, 1])
  })
  test('parts stay contiguous ranges that share no vertex and cover everything', () => {
    let [triangle, vertex] = [0, 0]
    for (const part of figure.parts) {
      expect([part.firstTriangle, part.firstVertex]).toEqual([triangle, vertex])
      triangle += part.triangleCount
      vertex += part.vertexCount
      const corners = figure.triangles.subarray(3 * part.firstTriangle, 3 * triangle)
      expect(Math.min(...corners)).toBe(part.firstVertex)
      expect(Math.max(...corners)).toBe(vertex - 1)
    }
    expect([3 * triangle, 3 * vertex]).toEqual([figure.triangles.length, figure.positions.length])
  })
})

describe('a budget', () => {
  test('is kept, spent on the longest edges, without cracks, and what is missing is told', () => {
    const { figure, notes } = figureOf(0.1, 5000)
    expect(figure.positions.length / 3).toBeLessThanOrEqual(5000)
    expect(figure.positions.length / 3).toBeGreaterThan(2000)
    expect(notes.find(n => n.kind === 'refinement-capped')?.count).toBeGreaterThan(0)
    const again = welded(figure)
    expect(openEdges(again.triangles, again.positions.length / 3)).toBe(0)
    // N vertices on area A: edges of about √(A / N). A tenth longer than the longest of twice the budget is not left.
    const twice = longestEdge(figureOf(0.1, 10_000).figure)
    expect(longestEdge(figure)).toBeLessThan(2.2 * twice)
  })
  test('already spent: nothing is split', () => {
    const { figure } = figureOf(0.1, 10)
    expect(figure.positions.length / 3).toBe(48)
  })
})

test('a curved normal is interpolated: a quarter of a cylinder stays smooth to the eye', () => {
  const s = Math.SQRT1_2
  const surface: SurfaceArrays = {
    positions: Float32Array.from([0, 0, 0, 1, 0, 0, 0, 3, 0]),
    normals: Float32Array.from([-s, 0, s, s, 0, s, -s, 0, s]),
    triangles: Uint32Array.from([0, 1, 2]),
    parts: [{ id: 'a', name: 'a', firstTriangle: 0, triangleCount: 1, firstVertex: 0, vertexCount: 3 }],
  }
  const { positions, normals } = refineEdges(surface, 0.6, 1000)
  const middle = positions.findIndex((_, i) => i % 3 === 0 && positions[i] === 0.5 && positions[i + 1] === 0)
  expect([...normals.subarray(middle, middle + 3)]).toEqual([0, 0, 1])
})

test('the picture does not depend on the height: refinement scales with the figure', () => {
  const counts = [9, 90].map(
    heightMm => prepareFigure(MESH, { ...PLACEMENT, heightMm }, REFINEMENT_DEFAULTS).figure.triangles.length,
  )
  expect(counts[1]).toBe(counts[0])
})

test.each([0, -1, Number.NaN])('an edge of %f mm is an error of ours', edgeMm => {
  expect(() => refineEdges({ ...figureOf(1).figure }, edgeMm, 100)).toThrow()
})
