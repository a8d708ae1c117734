import { connectedPieces } from './connected-pieces.ts'
import { contentHash } from './content-hash.ts'
import { dropDegenerate } from './drop-degenerate.ts'
import type { Part } from './figure.ts'
import type { Axis, FileFormat, FileMesh, FilePiece, IntakeNote, LengthUnit } from './file-mesh.ts'
import { openEdges } from './open-edges.ts'
import { weldVertices } from './weld-vertices.ts'

/**
 * A file's triangles once they are a surface: welded, without empty triangles, divided into parts. Still in the file's
 * unit and axes, so that it is made once a file and kept while height, axes and refinement change.
 *
 *   positions  3·V  float32  file's unit and axes; a part's vertices contiguous
 *   triangles  3·T  uint32   sorted so that parts are contiguous
 */
export interface WeldedMesh {
  readonly format: FileFormat
  readonly positions: Float32Array
  readonly triangles: Uint32Array
  readonly parts: readonly Part[]
  /** [minX, minY, minZ, maxX, maxY, maxZ] in the file's unit and axes. */
  readonly box: readonly [number, number, number, number, number, number]
  readonly statedUnit: LengthUnit | null
  readonly statedUp: Axis | null
  readonly notes: readonly IntakeNote[]
  /** Fingerprint of positions and triangles. */
  readonly contentHash: string
}

/** More parts than anyone switches by hand; the smallest are joined into the last. */
export const MOST_PARTS = 64

/**
 * Parts are the file's own pieces where it has more than one, else what hangs together; by falling area, the smallest
 * joined beyond `mostParts`. Vertices of different parts are never welded.
 *
 * A closed mesh whose enclosed volume is negative is turned inside out, and says so.
 * @param mesh checked by a reader: finite, indices in range, at least one triangle with area
 */
export function weldFileMesh(mesh: FileMesh, mostParts: number = MOST_PARTS): WeldedMesh {
  const notes: IntakeNote[] = [...mesh.notes]
  const weld = mesh.welded ? { ...mesh, removed: 0 } : weldVertices(mesh.positions, mesh.triangles, mesh.pieces)
  if (weld.removed > 0) notes.push({ kind: 'welded', count: weld.removed })
  const whole = dropDegenerate(weld.positions, weld.triangles, mesh.pieces)
  if (whole.dropped > 0) notes.push({ kind: 'degenerate-dropped', count: whole.dropped })

  const groups = whole.pieces.length > 1 ? namedGroups(whole) : connectedGroups(whole, weld.positions.length / 3)
  const { positions, triangles, parts } = sortedIntoParts(weld.positions, whole.triangles, groups, mostParts)

  const open = openEdges(triangles, positions.length / 3)
  if (open > 0) notes.push({ kind: 'open-edges', count: open })
  else if (enclosedVolume(positions, triangles) < 0) {
    for (let t = 0; t < triangles.length; t += 3) {
      const b = triangles[t + 1]
      triangles[t + 1] = triangles[t + 2]
      triangles[t + 2] = b
    }
    notes.push({ kind: 'turned-inside-out', count: triangles.length / 3 })
  }
  return {
    format: mesh.format,
    positions,
    triangles,
    parts,
    box: boxOf(positions),
    statedUnit: mesh.statedUnit,
    statedUp: mesh.statedUp,
    notes,
    contentHash: contentHash([positions, triangles]),
  }
}

/** Which group every triangle belongs to, and what each is called (null: by its rank). */
interface Groups {
  readonly groupOf: Uint32Array
  readonly names: readonly (string | null)[]
}

function namedGroups({ triangles, pieces }: { triangles: Uint32Array; pieces: readonly FilePiece[] }): Groups {
  const groupOf = new Uint32Array(triangles.length / 3)
  pieces.forEach((piece, i) => {
    groupOf.fill(i, piece.firstTriangle, piece.firstTriangle + piece.triangleCount)
  })
  return { groupOf, names: pieces.map(piece => piece.name.trim() || null) }
}

function connectedGroups({ triangles }: { triangles: Uint32Array }, vertices: number): Groups {
  const { pieceOf, count } = connectedPieces(triangles, vertices)
  return { groupOf: pieceOf, names: new Array<null>(count).fill(null) }
}

function sortedIntoParts(
  positions: Float32Array,
  triangles: Uint32Array,
  { groupOf, names }: Groups,
  mostParts: number,
): { positions: Float32Array; triangles: Uint32Array; parts: Part[] } {
  const groups = names.length
  const areas = new Float64Array(groups)
  for (let t = 0; t < groupOf.length; t++) areas[groupOf[t]] += doubledArea(positions, triangles, 3 * t)
  // Equal areas keep the file's order, so that ids stay the same for the same file.
  const ranked = Array.from({ length: groups }, (_, g) => g).sort((g, h) => areas[h] - areas[g] || g - h)
  const joined = groups > mostParts
  const partsWanted = joined ? mostParts : groups
  const partOf = new Uint32Array(groups)
  ranked.forEach((g, rank) => {
    partOf[g] = Math.min(rank, partsWanted - 1)
  })

  const triangleCounts = new Uint32Array(partsWanted)
  for (let t = 0; t < groupOf.length; t++) triangleCounts[partOf[groupOf[t]]]++
  const firstTriangle = new Uint32Array(partsWanted)
  for (let p = 1; p < partsWanted; p++) firstTriangle[p] = firstTriangle[p - 1] + triangleCounts[p - 1]
  const sorted = new Uint32Array(triangles.length)
  const next = firstTriangle.slice()
  for (let t = 0; t < groupOf.length; t++) {
    const to = 3 * next[partOf[groupOf[t]]]++
    sorted[to] = triangles[3 * t]
    sorted[to + 1] = triangles[3 * t + 1]
    sorted[to + 2] = triangles[3 * t + 2]
  }

  // Number the vertices anew in order of first use. No vertex is in two groups, so none is in two parts.
  const numberOf = new Uint32Array(positions.length / 3)
  const moved = new Float32Array(positions.length)
  const ids = new Set<string>()
  const parts: Part[] = []
  let n = 0
  for (let p = 0; p < partsWanted; p++) {
    const firstVertex = n
    for (let c = 3 * firstTriangle[p], end = c + 3 * triangleCounts[p]; c < end; c++) {
      const v = sorted[c]
      if (numberOf[v] === 0) {
        moved[3 * n] = positions[3 * v]
        moved[3 * n + 1] = positions[3 * v + 1]
        moved[3 * n + 2] = positions[3 * v + 2]
        numberOf[v] = ++n
      }
      sorted[c] = numberOf[v] - 1
    }
    const rest = joined && p === partsWanted - 1
    const name = rest ? 'small pieces' : (names[ranked[p]] ?? `piece ${p + 1}`)
    parts.push({
      id: freeId(name, p, ids),
      name,
      firstTriangle: firstTriangle[p],
      triangleCount: triangleCounts[p],
      firstVertex,
      vertexCount: n - firstVertex,
    })
  }
  return { positions: moved.slice(0, 3 * n), triangles: sorted, parts }
}

/** [a-z0-9_]+, unique: the name's letters and digits, or its rank where it has none in the Latin alphabet. */
function freeId(name: string, rank: number, taken: Set<string>): string {
  const plain = name
    .normalize('NFKD')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '_')
    .replace(/^_+|_+$/g, '')
    .slice(0, 40)
  const wanted = plain || `piece_${rank + 1}`
  let id = wanted
  for (let i = 2; taken.has(id); i++) id = `${wanted}_${i}`
  taken.add(id)
  return id
}

function doubledArea(p: Float32Array, triangles: Uint32Array, corner: number): number {
  const a = 3 * triangles[corner]
  const b = 3 * triangles[corner + 1]
  const c = 3 * triangles[corner + 2]
  const ux = p[b] - p[a]
  const uy = p[b + 1] - p[a + 1]
  const uz = p[b + 2] - p[a + 2]
  const vx = p[c] - p[a]
  const vy = p[c + 1] - p[a + 1]
  const vz = p[c + 2] - p[a + 2]
  const nx = uy * vz - uz * vy
  const ny = uz * vx - ux * vz
  const nz = ux * vy - uy * vx
  return Math.sqrt(nx * nx + ny * ny + nz * nz)
}

/** By the divergence theorem; means something for closed surfaces only. Taken about the first vertex, not the origin. */
export function enclosedVolume(p: Float32Array, triangles: Uint32Array): number {
  const [ox, oy, oz] = p
  let sixfold = 0
  for (let t = 0; t < triangles.length; t += 3) {
    const a = 3 * triangles[t]
    const b = 3 * triangles[t + 1]
    const c = 3 * triangles[t + 2]
    const ax = p[a] - ox
    const ay = p[a + 1] - oy
    const az = p[a + 2] - oz
    const bx = p[b] - ox
    const by = p[b + 1] - oy
    const bz = p[b + 2] - oz
    const cx = p[c] - ox
    const cy = p[c + 1] - oy
    const cz = p[c + 2] - oz
    sixfold += ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx)
  }
  return sixfold / 6
}

/** [minX, minY, minZ, maxX, maxY, maxZ] of at least one vertex. */
export function boxOf(positions: Float32Array): [number, number, number, number, number, number] {
  let [x0, y0, z0] = positions
  let [x1, y1, z1] = positions
  for (let i = 3; i < positions.length; i += 3) {
    const x = positions[i]
    const y = positions[i + 1]
    const z = positions[i + 2]
    if (x < x0) x0 = x
    else if (x > x1) x1 = x
    if (y < y0) y0 = y
    else if (y > y1) y1 = y
    if (z < z0) z0 = z
    else if (z > z1) z1 = z
  }
  return [x0, y0, z0, x1, y1, z1]
}
