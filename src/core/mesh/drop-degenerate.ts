import type { FilePiece } from './file-mesh.ts'

/**
 * Leaves out triangles without area: two corners the same vertex, or three corners exactly on one line (the float64
 * cross product of the float32 edges is zero). Slivers that are merely thin stay, so that closed surfaces stay closed.
 * @returns the same arrays when nothing went
 */
export function dropDegenerate<P extends Pick<FilePiece, 'firstTriangle' | 'triangleCount'>>(
  positions: Float32Array,
  triangles: Uint32Array,
  pieces: readonly P[],
): { readonly triangles: Uint32Array; readonly pieces: readonly P[]; readonly dropped: number } {
  let dropped = 0
  for (let t = 0; t < triangles.length; t += 3) if (!hasArea(positions, triangles, t)) dropped++
  if (dropped === 0) return { triangles, pieces, dropped }
  const kept = new Uint32Array(triangles.length - 3 * dropped)
  let to = 0
  const left = pieces.map(piece => {
    const firstTriangle = to / 3
    for (let t = 3 * piece.firstTriangle, end = t + 3 * piece.triangleCount; t < end; t += 3) {
      if (!hasArea(positions, triangles, t)) continue
      kept[to++] = triangles[t]
      kept[to++] = triangles[t + 1]
      kept[to++] = triangles[t + 2]
    }
    return { ...piece, firstTriangle, triangleCount: to / 3 - firstTriangle }
  })
  return { triangles: kept, pieces: left.filter(piece => piece.triangleCount > 0), dropped }
}

/** @param corner index of the triangle's first corner in `triangles`; positions finite */
export function hasArea(positions: Float32Array, triangles: Uint32Array, corner: number): boolean {
  const a = 3 * triangles[corner]
  const b = 3 * triangles[corner + 1]
  const c = 3 * triangles[corner + 2]
  if (a === b || b === c || c === a) return false
  const ux = positions[b] - positions[a]
  const uy = positions[b + 1] - positions[a + 1]
  const uz = positions[b + 2] - positions[a + 2]
  const vx = positions[c] - positions[a]
  const vy = positions[c + 1] - positions[a + 1]
  const vz = positions[c + 2] - positions[a + 2]
  return uy * vz - uz * vy !== 0 || uz * vx - ux * vz !== 0 || ux * vy - uy * vx !== 0
}
