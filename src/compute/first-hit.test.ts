import { describe, expect, test } from 'vitest'
import { figureOf, icosphere } from '../core/spray/test-figures.ts'
import { length, normalize, scale, subtract, type Vec3 } from '../core/vec3.ts'
import { firstHit, partOf, type SurfacePoint } from './first-hit.ts'

const CENTRES: readonly Vec3[] = [
  [1.5, 8, -0.5],
  [-3, 2, 1],
]
const RADII = [3, 2]
const figure = figureOf([icosphere(5, RADII[0], CENTRES[0]), icosphere(5, RADII[1], CENTRES[1])])

const placeOf = ({ triangle, shares }: SurfacePoint): Vec3 => {
  const at = [0, 0, 0]
  for (let corner = 0; corner < 3; corner++)
    for (let axis = 0; axis < 3; axis++)
      at[axis] += shares[corner] * figure.positions[3 * figure.triangles[3 * triangle + corner] + axis]
  return at as unknown as Vec3
}

describe('a ray at two balls', () => {
  const eye: Vec3 = [20, 31, 17]
  test.each([0, 1])('meets ball %d where the closed form says', ball => {
    const target: Vec3 = [CENTRES[ball][0] + 0.7, CENTRES[ball][1] - 0.4, CENTRES[ball][2] + 0.3]
    const toward = normalize(subtract(target, eye))
    const hit = firstHit(figure, eye, scale(toward, 0.37))!
    // |eye + s·toward − centre| = r, the smaller root.
    const from = subtract(eye, CENTRES[ball])
    const half = from[0] * toward[0] + from[1] * toward[1] + from[2] * toward[2]
    const s = -half - Math.sqrt(half * half - (length(from) ** 2 - RADII[ball] ** 2))
    const exact: Vec3 = [eye[0] + s * toward[0], eye[1] + s * toward[1], eye[2] + s * toward[2]]
    // Facets of a depth-5 ball lie at most r·(edge/r)²/8 below it: 0.002 mm here, more along a slanting ray.
    expect(length(subtract(placeOf(hit), exact))).toBeLessThan(0.005)
    expect(partOf(figure, hit.triangle).id).toBe(`piece_${ball + 1}`)
    expect(hit.shares[0] + hit.shares[1] + hit.shares[2]).toBeCloseTo(1, 12)
  })
  test('of two in line the nearer one is met', () => {
    const along = subtract(CENTRES[1], CENTRES[0])
    const first = firstHit(figure, subtract(CENTRES[0], scale(along, 3)), along)!
    expect(partOf(figure, first.triangle).id).toBe('piece_1')
    const other = firstHit(figure, subtract(CENTRES[1], scale(along, -3)), scale(along, -1))!
    expect(partOf(figure, other.triangle).id).toBe('piece_2')
  })
  test('that looks away or past meets nothing', () => {
    expect(firstHit(figure, eye, [1, 0.2, 0.1])).toBeNull()
    expect(firstHit(figure, eye, [-1, 3, 0])).toBeNull()
  })
  test('from inside meets the back, where the closed form says', () => {
    const toward = normalize([0.3, -0.5, 0.8])
    const hit = firstHit(figure, CENTRES[0], toward)!
    expect(partOf(figure, hit.triangle).id).toBe('piece_1')
    const exact = [0, 1, 2].map(k => CENTRES[0][k] + RADII[0] * toward[k]) as unknown as Vec3
    expect(length(subtract(placeOf(hit), exact))).toBeLessThan(0.005)
    for (const share of hit.shares) expect(share).toBeGreaterThanOrEqual(0)
  })
})
