import type { Figure } from '../mesh/figure.ts'
import { finish, type Steps } from '../steps.ts'

/**
 * Which parts are closed surfaces, every edge run through once each way. A closed part's back never shows past its
 * front, so only its front is drawn.
 *
 * No table of edges: each directed edge p→q adds f(p, q) of a function with f(p, q) = −f(q, p), so the sum over a
 * closed part is exactly 0 in integers, and any other part's is 0 once in 2³². Corners are told apart by their
 * coordinates, because a vertex on a crease stands once a side.
 * @returns one flag a part
 */
export function* closedPartsSteps({ positions, triangles, parts }: Figure): Steps<boolean[]> {
  const bits = new Uint32Array(positions.buffer, positions.byteOffset, positions.length)
  const key = new Int32Array(positions.length / 3)
  for (let v = 0; v < key.length; v++) {
    let h = 0
    for (let i = 3 * v; i < 3 * v + 3; i++) {
      // −0 and 0 are the same place.
      h = mixed(h ^ (positions[i] === 0 ? 0 : bits[i]))
    }
    key[v] = h
  }
  const closed: boolean[] = []
  for (const { firstTriangle, triangleCount } of parts) {
    yield firstTriangle / (triangles.length / 3)
    let sum = 0
    for (let t = 3 * firstTriangle, end = 3 * (firstTriangle + triangleCount); t < end; t += 3) {
      const a = key[triangles[t]]
      const b = key[triangles[t + 1]]
      const c = key[triangles[t + 2]]
      sum = (sum + signed(a, b) + signed(b, c) + signed(c, a)) | 0
    }
    closed.push(sum === 0 && triangleCount > 0)
  }
  return closed
}

export const closedParts = (figure: Figure): boolean[] => finish(closedPartsSteps(figure))

const signed = (p: number, q: number): number => Math.imul(Math.imul(p, q), (p - q) | 0)

/** Finaliser of MurmurHash3 (Appleby, public domain). */
function mixed(h: number): number {
  h = (h + 0x9e3779b9) | 0
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b)
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35)
  return h ^ (h >>> 16)
}
