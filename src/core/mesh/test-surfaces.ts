import type { FileMesh, FilePiece } from './file-mesh.ts'

/** Measures of surfaces and small solids by formula, for tests. */
export interface Surface {
  readonly positions: Float32Array
  readonly triangles: Uint32Array
}

/** Sum of the triangles' areas. */
export function areaOf({ positions: p, triangles }: Surface): number {
  let sum = 0
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [3 * triangles[t], 3 * triangles[t + 1], 3 * triangles[t + 2]]
    const u = [0, 1, 2].map(k => p[b + k] - p[a + k])
    const v = [0, 1, 2].map(k => p[c + k] - p[a + k])
    sum += Math.hypot(u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]) / 2
  }
  return sum
}

/** V − E + F: 2 for a closed surface like a ball, 0 for a torus. */
export function eulerCharacteristic({ positions, triangles }: Surface): number {
  const edges = new Set<string>()
  for (let t = 0; t < triangles.length; t += 3)
    for (let k = 0; k < 3; k++) {
      const [a, b] = [triangles[t + k], triangles[t + ((k + 1) % 3)]]
      edges.add(a < b ? `${a} ${b}` : `${b} ${a}`)
    }
  return positions.length / 3 - edges.size + triangles.length / 3
}

/** The longest edge. */
export function longestEdge({ positions: p, triangles }: Surface): number {
  let longest = 0
  for (let t = 0; t < triangles.length; t += 3)
    for (let k = 0; k < 3; k++) {
      const [a, b] = [3 * triangles[t + k], 3 * triangles[t + ((k + 1) % 3)]]
      longest = Math.max(longest, Math.hypot(p[a] - p[b], p[a + 1] - p[b + 1], p[a + 2] - p[b + 2]))
    }
  return longest
}

/** As an STL has it: every triangle with corners of its own. */
export function loose({
  positions,
  triangles,
}: {
  positions: ArrayLike<number>
  triangles: ArrayLike<number>
}): Surface {
  const out = new Float32Array(3 * triangles.length)
  for (let c = 0; c < triangles.length; c++)
    for (let k = 0; k < 3; k++) out[3 * c + k] = positions[3 * triangles[c] + k]
  return { positions: out, triangles: Uint32Array.from({ length: triangles.length }, (_, i) => i) }
}

/** A block from `low` to `high`, its faces cut along one diagonal each, counter-clockwise seen from outside. */
export function block(low: readonly number[], high: readonly number[]): Surface {
  const positions = Float32Array.from({ length: 24 }, (_, i) => (((i / 3) >> (i % 3)) & 1 ? high[i % 3] : low[i % 3]))
  // biome-ignore format: a table
  const triangles = Uint32Array.from([0, 2, 3, 0, 3, 1, 4, 5, 7, 4, 7, 6, 0, 1, 5, 0, 5, 4, 2, 6, 7, 2, 7, 3, 0, 4, 6, 0, 6, 2, 1, 3, 7, 1, 7, 5])
  return { positions, triangles }
}

/** Surfaces behind one another as a file's mesh; named pieces, or one piece when `names` is null. */
export function fileMesh(surfaces: readonly Surface[], names: readonly string[] | null = null): FileMesh {
  const positions: number[] = []
  const triangles: number[] = []
  const pieces: FilePiece[] = []
  surfaces.forEach((surface, i) => {
    const base = positions.length / 3
    pieces.push({
      name: names?.[i] ?? '',
      firstTriangle: triangles.length / 3,
      triangleCount: surface.triangles.length / 3,
    })
    for (const v of surface.triangles) triangles.push(base + v)
    for (const x of surface.positions) positions.push(x)
  })
  return {
    format: 'stl',
    positions: Float32Array.from(positions),
    triangles: Uint32Array.from(triangles),
    pieces: names ? pieces : [{ name: '', firstTriangle: 0, triangleCount: triangles.length / 3 }],
    statedUnit: null,
    statedUp: null,
    notes: [],
  }
}
