import { describe, expect, test } from 'vitest'
import type { Figure } from '../mesh/figure.ts'
import { vertexAreas } from '../mesh/vertex-areas.ts'
import { weldVertices } from '../mesh/weld-vertices.ts'
import { figureOf, icosphere, type TestPiece } from '../spray/test-figures.ts'
import { curvatureIntegrals, saliencyOf } from './saliency.ts'
import { boxOfSheets } from './test-solids.ts'

const integralOver = (figure: Figure): number =>
  curvatureIntegrals(weldVertices(figure.positions, figure.triangles, figure.parts)).reduce((sum, h) => sum + h, 0)

/** ∫H dA = 4πR on a sphere; on a box every edge bends by π/2, counted here as its chord √2 (the vector form). */
describe('mean curvature', () => {
  test('of a sphere', () => {
    expect(integralOver(figureOf([icosphere(4, 7, [0, 7, 0])])) / (4 * Math.PI * 7)).toBeCloseTo(1, 2)
  })
  test('is negative where the surface is hollow', () => {
    const ball = icosphere(4, 7, [0, 7, 0])
    const hollow = { ...ball, triangles: [...ball.triangles].reverse() }
    expect(integralOver(figureOf([hollow])) / (4 * Math.PI * 7)).toBeCloseTo(-1, 2)
  })
  test('of a box lies on its edges: √2/2 a millimetre, joined across creases', () => {
    const box = figureOf([boxOfSheets([0, 3, 0], [10, 6, 30], [40, 40, 40, 40, 40, 40])])
    expect(integralOver(box) / ((4 * (10 + 6 + 30) * Math.SQRT2) / 2)).toBeCloseTo(1, 1)
    expect(vertexAreas(box).reduce((sum, a) => sum + a, 0)).toBeCloseTo(2 * (60 + 300 + 180), 1)
  })
})

describe('saliency', () => {
  /** A ball with one bump towards +x, as fine as `depth` says and as large as `size`. */
  const bumpy = (depth: number, size: number): Figure => {
    const ball = icosphere(depth, 1)
    const positions = Float32Array.from(ball.positions)
    for (let i = 0; i < positions.length; i += 3) {
      const [x, y, z] = positions.subarray(i, i + 3)
      const away = Math.acos(Math.min(1, x)) / 0.12
      const radius = size * (1 + 0.03 * Math.exp(-away * away))
      positions.set([radius * x, radius * (y + 1), radius * z], i)
    }
    return figureOf([{ positions, triangles: ball.triangles } satisfies TestPiece])
  }
  /** Area mean within 0.25 rad of the bump, and well away from it. */
  const near = (figure: Figure): { bump: number; rest: number } => {
    const saliency = saliencyOf(figure)
    const areas = vertexAreas(figure)
    const sums = { bump: [0, 0], rest: [0, 0] }
    for (let v = 0; v < areas.length; v++) {
      const cosine = (2 * figure.positions[3 * v]) / figure.heightMm
      const at = cosine > Math.cos(0.25) ? sums.bump : cosine < 0.5 ? sums.rest : null
      if (!at) continue
      at[0] += areas[v] * saliency[v]
      at[1] += areas[v]
    }
    return { bump: sums.bump[0] / sums.bump[1], rest: sums.rest[0] / sums.rest[1] }
  }

  test('a bump stands out', () => {
    const { bump, rest } = near(bumpy(5, 10))
    expect(bump).toBeGreaterThan(10 * rest)
  })
  test('the same at any size and nearly the same for any mesh', () => {
    const [small, large, fine] = [near(bumpy(5, 10)), near(bumpy(5, 47)), near(bumpy(6, 10))]
    expect(large.bump / small.bump).toBeCloseTo(1, 2)
    expect(Math.abs(fine.bump / small.bump - 1)).toBeLessThan(0.1)
  })
  test('is 1 on average over the surface', () => {
    const figure = bumpy(4, 10)
    const saliency = saliencyOf(figure)
    const areas = vertexAreas(figure)
    const total = areas.reduce((sum, a) => sum + a, 0)
    expect(areas.reduce((sum, a, v) => sum + a * saliency[v], 0) / total).toBeCloseTo(1, 4)
  })
})
