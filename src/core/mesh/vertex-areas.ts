import type { Figure } from './figure.ts'

/** The surface that each vertex stands for: a third of the area of the triangles around it. V floats, mm². */
export function vertexAreas({ positions, triangles }: Pick<Figure, 'positions' | 'triangles'>): Float64Array {
  const areas = new Float64Array(positions.length / 3)
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [3 * triangles[t], 3 * triangles[t + 1], 3 * triangles[t + 2]]
    const ux = positions[b] - positions[a]
    const uy = positions[b + 1] - positions[a + 1]
    const uz = positions[b + 2] - positions[a + 2]
    const vx = positions[c] - positions[a]
    const vy = positions[c + 1] - positions[a + 1]
    const vz = positions[c + 2] - positions[a + 2]
    const third = Math.hypot(uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx) / 6
    for (const corner of [a, b, c]) areas[corner / 3] += third
  }
  return areas
}
