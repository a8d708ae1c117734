import { hasArea } from '../core/mesh/drop-degenerate.ts'
import type { FileMesh } from '../core/mesh/file-mesh.ts'
import { fail, ok, type Result } from '../core/problem.ts'
import { SANE_MAGNITUDE } from './intake-limits.ts'

/** Share of triangles with broken coordinates up to which the others are worth loading. */
export const MOST_NON_FINITE = 0.01

/**
 * What every format's reader owes: indices in range, positions finite and of sane magnitude, at least one triangle
 * with area. A reader that broke an index is found out here whatever its own checks.
 *
 * Triangles with a broken corner are left out with a note while they are at most 1 %; a file with more is refused, for
 * what is left would not be the figure. A vertex that no triangle uses does not count.
 */
export function checkFileMesh(mesh: FileMesh, fileName: string): Result<FileMesh> {
  const { positions, triangles } = mesh
  const vertices = Math.floor(positions.length / 3)
  if (triangles.length === 0) return fail({ code: 'mesh/no-triangles', fileName })
  if (triangles.length % 3 !== 0)
    return fail({ code: 'file/damaged', fileName, detail: 'its last triangle is not whole' })
  for (let c = 0; c < triangles.length; c++) {
    if (triangles[c] >= vertices)
      return fail({ code: 'mesh/index-out-of-range', fileName, index: triangles[c], vertices })
  }

  const broken = new Uint8Array(vertices)
  let anyBroken = false
  for (let v = 0; v < vertices; v++) {
    // Not "greater than": NaN must fail too.
    const sane =
      Math.abs(positions[3 * v]) <= SANE_MAGNITUDE &&
      Math.abs(positions[3 * v + 1]) <= SANE_MAGNITUDE &&
      Math.abs(positions[3 * v + 2]) <= SANE_MAGNITUDE
    if (!sane) {
      broken[v] = 1
      anyBroken = true
    }
  }
  let checked = mesh
  if (anyBroken) {
    const goes = (t: number) => broken[triangles[t]] + broken[triangles[t + 1]] + broken[triangles[t + 2]] > 0
    let count = 0
    for (let t = 0; t < triangles.length; t += 3) if (goes(t)) count++
    if (count > (MOST_NON_FINITE * triangles.length) / 3) return fail({ code: 'mesh/not-finite', fileName, count })
    const kept = new Uint32Array(triangles.length - 3 * count)
    let to = 0
    const pieces = mesh.pieces.map(piece => {
      const firstTriangle = to / 3
      for (let t = 3 * piece.firstTriangle, end = t + 3 * piece.triangleCount; t < end; t += 3) {
        if (goes(t)) continue
        kept[to++] = triangles[t]
        kept[to++] = triangles[t + 1]
        kept[to++] = triangles[t + 2]
      }
      return { ...piece, firstTriangle, triangleCount: to / 3 - firstTriangle }
    })
    // No triangle names these vertices any more; their places only must not poison a box.
    const healed = positions.slice()
    for (let v = 0; v < vertices; v++) if (broken[v]) healed.fill(0, 3 * v, 3 * v + 3)
    const notes = count > 0 ? [...mesh.notes, { kind: 'non-finite-dropped' as const, count }] : mesh.notes
    checked = { ...mesh, positions: healed, triangles: kept, pieces: pieces.filter(p => p.triangleCount > 0), notes }
  }
  for (let t = 0; t < checked.triangles.length; t += 3) {
    if (hasArea(checked.positions, checked.triangles, t)) return ok(checked)
  }
  return fail({ code: 'mesh/zero-size', fileName })
}
