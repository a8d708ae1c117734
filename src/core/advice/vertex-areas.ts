import type { Figure } from '../mesh/figure.ts'

/** A third of the area of the triangles around each vertex: V, mm². */
export function vertexAreas({ positions: p, triangles }: Pick<Figure, 'positions' | 'triangles'>): Float32Array {
  const areas = new Float32Array(p.length / 3)
  for (let t = 0; t < triangles.length; t += 3) {
    const a = 3 * triangles[t]
    const b = 3 * triangles[t + 1]
    const c = 3 * triangles[t + 2]
    const ux = p[b] - p[a]
    const uy = p[b + 1] - p[a + 1]
    const uz = p[b + 2] - p[a + 2]
    const vx = p[c] - p[a]
    const vy = p[c + 1] - p[a + 1]
    const vz = p[c + 2] - p[a + 2]
    const third = Math.sqrt((uy * vz - uz * vy) ** 2 + (uz * vx - ux * vz) ** 2 + (ux * vy - uy * vx) ** 2) / 6
    areas[triangles[t]] += third
    areas[triangles[t + 1]] += third
    areas[triangles[t + 2]] += third
  }
  return areas
}
