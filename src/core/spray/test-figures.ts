import type { Figure } from '../mesh/figure.ts'
import { cross, normalize, subtract, type Vec3 } from '../vec3.ts'

/** Figures by formula, for tests and benches. Each piece becomes a part. */
export interface TestPiece {
  readonly positions: readonly number[] | Float32Array
  /** Absent: area-weighted over the triangles around each vertex. */
  readonly normals?: readonly number[] | Float32Array
  readonly triangles: readonly number[] | Uint32Array
}

export function figureOf(pieces: readonly TestPiece[]): Figure {
  const vertices = pieces.reduce((sum, p) => sum + p.positions.length / 3, 0)
  const corners = pieces.reduce((sum, p) => sum + p.triangles.length, 0)
  const positions = new Float32Array(3 * vertices)
  const normals = new Float32Array(3 * vertices)
  const triangles = new Uint32Array(corners)
  const box: [number, number, number, number, number, number] = [1e9, 1e9, 1e9, -1e9, -1e9, -1e9]
  let firstVertex = 0
  let firstCorner = 0
  const parts = pieces.map((piece, i) => {
    positions.set(piece.positions, 3 * firstVertex)
    normals.set(piece.normals ?? smoothNormals(piece), 3 * firstVertex)
    for (let c = 0; c < piece.triangles.length; c++) triangles[firstCorner + c] = piece.triangles[c] + firstVertex
    const part = {
      id: `piece_${i + 1}`,
      name: `piece ${i + 1}`,
      firstVertex,
      vertexCount: piece.positions.length / 3,
      firstTriangle: firstCorner / 3,
      triangleCount: piece.triangles.length / 3,
    }
    firstVertex += part.vertexCount
    firstCorner += piece.triangles.length
    return part
  })
  for (let i = 0; i < positions.length; i++) {
    box[i % 3] = Math.min(box[i % 3], positions[i])
    box[(i % 3) + 3] = Math.max(box[(i % 3) + 3], positions[i])
  }
  return { id: 'test', positions, normals, triangles, parts, box, heightMm: box[4] - box[1] }
}

export function smoothNormals({ positions, triangles }: TestPiece): Float32Array {
  const normals = new Float32Array(positions.length)
  const at = (v: number): Vec3 => [positions[3 * v], positions[3 * v + 1], positions[3 * v + 2]]
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [triangles[t], triangles[t + 1], triangles[t + 2]]
    const n = cross(subtract(at(b), at(a)), subtract(at(c), at(a)))
    for (const v of [a, b, c]) for (let k = 0; k < 3; k++) normals[3 * v + k] += n[k]
  }
  for (let v = 0; v < normals.length / 3; v++) {
    normals.set(normalize([normals[3 * v], normals[3 * v + 1], normals[3 * v + 2]]), 3 * v)
  }
  return normals
}

/**
 * A sheet of (n+1)·(m+1) vertices: place(u, v), 0 ≤ u, v ≤ 1, triangles counter-clockwise in (u, v).
 * @param normal of each place; absent: from the triangles
 */
export function sheet(
  n: number,
  m: number,
  place: (u: number, v: number) => Vec3,
  normal?: (u: number, v: number) => Vec3,
): TestPiece {
  const positions: number[] = []
  const normals: number[] = []
  const triangles: number[] = []
  for (let j = 0; j <= m; j++) {
    for (let i = 0; i <= n; i++) {
      positions.push(...place(i / n, j / m))
      if (normal) normals.push(...normal(i / n, j / m))
    }
  }
  for (let j = 0; j < m; j++) {
    for (let i = 0; i < n; i++) {
      const a = j * (n + 1) + i
      const b = a + n + 1
      triangles.push(a, a + 1, b + 1, a, b + 1, b)
    }
  }
  return normal ? { positions, normals, triangles } : { positions, triangles }
}

/** Level square of half-side `half` at height y, looking up. */
export const floorSheet = (half: number, n: number, y = 0, middle: readonly [number, number] = [0, 0]): TestPiece =>
  sheet(
    n,
    n,
    (u, v) => [middle[0] + half * (2 * u - 1), y, middle[1] - half * (2 * v - 1)],
    () => [0, 1, 0],
  )

/** Subdivided icosahedron of 10·4^depth + 2 vertices, normals radial. */
export function icosphere(depth: number, radius: number, centre: Vec3 = [0, 0, 0]): TestPiece {
  const g = (1 + Math.sqrt(5)) / 2
  // biome-ignore format: a table
  const corners: Vec3[] = [[-1, g, 0], [1, g, 0], [-1, -g, 0], [1, -g, 0], [0, -1, g], [0, 1, g], [0, -1, -g], [0, 1, -g], [g, 0, -1], [g, 0, 1], [-g, 0, -1], [-g, 0, 1]]
  // biome-ignore format: a table
  let faces = [0, 11, 5, 0, 5, 1, 0, 1, 7, 0, 7, 10, 0, 10, 11, 1, 5, 9, 5, 11, 4, 11, 10, 2, 10, 7, 6, 7, 1, 8, 3, 9, 4, 3, 4, 2, 3, 2, 6, 3, 6, 8, 3, 8, 9, 4, 9, 5, 2, 4, 11, 6, 2, 10, 8, 6, 7, 9, 8, 1]
  const unit = corners.map(normalize)
  for (let d = 0; d < depth; d++) {
    const middles = new Map<number, number>()
    const middle = (a: number, b: number) => {
      const key = Math.min(a, b) * 1e7 + Math.max(a, b)
      let found = middles.get(key)
      if (found === undefined) {
        found = unit.length
        unit.push(normalize([unit[a][0] + unit[b][0], unit[a][1] + unit[b][1], unit[a][2] + unit[b][2]]))
        middles.set(key, found)
      }
      return found
    }
    const finer: number[] = []
    for (let f = 0; f < faces.length; f += 3) {
      const [a, b, c] = [faces[f], faces[f + 1], faces[f + 2]]
      const ab = middle(a, b)
      const bc = middle(b, c)
      const ca = middle(c, a)
      finer.push(a, ab, ca, b, bc, ab, c, ca, bc, ab, bc, ca)
    }
    faces = finer
  }
  const positions = unit.flatMap(p => [centre[0] + radius * p[0], centre[1] + radius * p[1], centre[2] + radius * p[2]])
  return { positions, normals: unit.flat(), triangles: faces }
}

/** Level disc (a fan of rings), both sides. */
export function disc(radius: number, rings: number, sectors: number, centre: Vec3): TestPiece {
  const positions: number[] = []
  for (let r = 0; r <= rings; r++) {
    for (let s = 0; s < sectors; s++) {
      const a = (2 * Math.PI * s) / sectors
      positions.push(
        centre[0] + ((radius * r) / rings) * Math.sin(a),
        centre[1],
        centre[2] + ((radius * r) / rings) * Math.cos(a),
      )
    }
  }
  const triangles: number[] = []
  for (let r = 0; r < rings; r++) {
    for (let s = 0; s < sectors; s++) {
      const a = r * sectors + s
      const b = r * sectors + ((s + 1) % sectors)
      triangles.push(a, a + sectors, b + sectors, a, b + sectors, b)
    }
  }
  return { positions, normals: Array.from({ length: positions.length }, (_, i) => (i % 3 === 1 ? 1 : 0)), triangles }
}
