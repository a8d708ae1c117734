import type { FilePiece } from './file-mesh.ts'

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
 * Welds by exact position: float32 bits are compared, −0 counts as 0. No tolerance, so nothing thin ever collapses.
 *
 * One open-addressing table of vertex numbers, at most half full; a key is three words mixed to 32 bits.
 * Cost: one pass over the corners; allocates 4·V + 12·W + 12·T bytes and the table (8 to 16 bytes a vertex of the result).
 * @param triangles every entry < V; positions finite
 */
export function weldVertices(
  positions: Float32Array,
  triangles: Uint32Array,
  pieces: readonly Pick<FilePiece, 'firstTriangle' | 'triangleCount'>[],
): Weld {
  const bits = new Int32Array(positions.buffer, positions.byteOffset, positions.length)
  const count = positions.length / 3
  /** New number of every old vertex + 1; valid for the running piece when above its first. */
  const numberOf = new Int32Array(count)
  const out = new Uint32Array(triangles.length)
  let capacity = Math.max(16, Math.ceil(count / 5))
  let kept = new Int32Array(3 * capacity)
  let tableBits = 32 - Math.clz32(2 * capacity - 1)
  let table = new Int32Array(2 ** tableBits)
  let mask = table.length - 1
  let n = 0
  let used = 0
  for (const { firstTriangle, triangleCount } of pieces) {
    const first = n
    for (let c = 3 * firstTriangle, end = 3 * (firstTriangle + triangleCount); c < end; c++) {
      const old = triangles[c]
      const known = numberOf[old]
      if (known > first) {
        out[c] = known - 1
        continue
      }
      used++
      const i = 3 * old
      // −0 has the sign bit alone.
      const x = bits[i] === SIGN ? 0 : bits[i]
      const y = bits[i + 1] === SIGN ? 0 : bits[i + 1]
      const z = bits[i + 2] === SIGN ? 0 : bits[i + 2]
      // The piece is part of the key, or a place that many pieces share would make one long chain.
      let slot = mixed(x ^ first, y, z) & mask
      let found = -1
      for (let entry = table[slot]; entry !== 0; entry = table[slot]) {
        const k = 3 * (entry - 1)
        if (entry > first && kept[k] === x && kept[k + 1] === y && kept[k + 2] === z) {
          found = entry - 1
          break
        }
        slot = (slot + 1) & mask
      }
      if (found < 0) {
        found = n++
        if (n > capacity) {
          capacity *= 2
          const larger = new Int32Array(3 * capacity)
          larger.set(kept)
          kept = larger
        }
        kept[3 * found] = x
        kept[3 * found + 1] = y
        kept[3 * found + 2] = z
        table[slot] = n
        if (2 * n > table.length) {
          tableBits++
          table = new Int32Array(2 ** tableBits)
          mask = table.length - 1
          // Earlier pieces' vertices are never looked for again.
          for (let v = first; v < n; v++) {
            let s = mixed(kept[3 * v] ^ first, kept[3 * v + 1], kept[3 * v + 2]) & mask
            while (table[s] !== 0) s = (s + 1) & mask
            table[s] = v + 1
          }
        }
      }
      numberOf[old] = found + 1
      out[c] = found
    }
  }
  const welded = kept.slice(0, 3 * n)
  return { positions: new Float32Array(welded.buffer), triangles: out, removed: used - n }
}

const SIGN = -2147483648

function mixed(x: number, y: number, z: number): number {
  let h = Math.imul(x, 0x9e3779b1) ^ Math.imul((y << 15) | (y >>> 17), 0x85ebca77)
  h ^= Math.imul((z << 7) | (z >>> 25), 0xc2b2ae3d)
  h = Math.imul(h ^ (h >>> 15), 0x2c1b3c6d)
  return h ^ (h >>> 13)
}
