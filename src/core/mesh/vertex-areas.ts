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
    const third = Math.sqrt((uy * vz - uz * vy) ** 2 + (uz * vx - ux * vz) ** 2 + (ux * vy - uy * vx) ** 2) / 6
    areas[triangles[t]] += third
    areas[triangles[t + 1]] += third
    areas[triangles[t + 2]] += third
  }
  return areas
}
