import type { FilePiece } from './file-mesh.ts'
import { PlaceTable } from './place-table.ts'

/** Corners that stand at exactly the same place become one vertex; vertices of different pieces never do. */
export interface Weld {
  /** 3·W float32, only places that a triangle uses, in order of first use; a piece's vertices are contiguous. */
  readonly positions: Float32Array
  /** 3·T uint32, same triangles in the same order. */
  readonly triangles: Uint32Array
  /** Distinct used vertices of the input minus vertices of the result: how many copies went. */
  readonly removed: number
}

/**
 * Welds by exact position (see `PlaceTable`).
 *
 * Cost: one pass over the corners; allocates 4·V + 12·W + 12·T bytes and the table (8 to 16 bytes a vertex of the result).
 * @param triangles every entry < V; positions finite
 */
export function weldVertices(
  positions: Float32Array,
  triangles: Uint32Array,
  pieces: readonly Pick<FilePiece, 'firstTriangle' | 'triangleCount'>[],
): Weld {
  const bits = new Int32Array(positions.buffer, positions.byteOffset, positions.length)
  const vertices = positions.length / 3
  /** New number of every old vertex + 1; of the running piece when above its first. */
  const numberOf = new Int32Array(vertices)
  const out = new Uint32Array(triangles.length)
  // A closed surface has half as many vertices as triangles; a loose one three times as many to begin with.
  const places = new PlaceTable(Math.min(vertices, Math.ceil(triangles.length / 5)))
  let used = 0
  for (const { firstTriangle, triangleCount } of pieces) {
    places.startPiece()
    const first = places.count
    for (let c = 3 * firstTriangle, end = 3 * (firstTriangle + triangleCount); c < end; c++) {
      const old = triangles[c]
      const known = numberOf[old]
      if (known > first) {
        out[c] = known - 1
        continue
      }
      used++
      const i = 3 * old
      const number = places.numberOf(bits[i], bits[i + 1], bits[i + 2])
      numberOf[old] = number + 1
      out[c] = number
    }
  }
  return { positions: places.positions(), triangles: out, removed: used - places.count }
}
