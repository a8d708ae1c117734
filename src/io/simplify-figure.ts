import { MeshoptSimplifier } from 'meshoptimizer/simplifier'
import type { Figure } from '../core/mesh/figure.ts'

/**
 * Fewer triangles over the same vertices, for pictures that must follow the hand: drawn while a torch or the camera
 * moves, never used for spraying or readings.
 *
 * @param triangles how many are wanted; parts are simplified one by one, each by its share
 * @returns 3·T′ uint32 into the figure's own vertices; the figure's own array where it has no more than wanted
 * @remarks Error: at most 1 % of a part's extent, so T′ may stay above what was wanted.
 */
export async function simplifiedTriangles(figure: Figure, triangles: number): Promise<Uint32Array> {
  const all = figure.triangles.length / 3
  if (all <= triangles) return figure.triangles
  await MeshoptSimplifier.ready
  const pieces = figure.parts.map(part => {
    const own = figure.triangles.slice(3 * part.firstTriangle, 3 * (part.firstTriangle + part.triangleCount))
    const wanted = 3 * Math.ceil((part.triangleCount * triangles) / all)
    return MeshoptSimplifier.simplify(own, figure.positions, 3, wanted, MAX_ERROR)[0]
  })
  const joined = new Uint32Array(pieces.reduce((sum, piece) => sum + piece.length, 0))
  let at = 0
  for (const piece of pieces) {
    joined.set(piece, at)
    at += piece.length
  }
  return joined
}

/** Share of the part's extent that the surface may move. */
const MAX_ERROR = 0.01
