import type { FileMesh, FilePiece, IntakeNote } from '../core/mesh/file-mesh.ts'
import { splitPolygon } from '../core/mesh/split-polygon.ts'
import { ProblemError } from '../core/problem.ts'
import { ByteScanner, lineOf, NotANumber } from './byte-scanner.ts'
import { GrowingFloats, GrowingIndices } from './growing-array.ts'
import { damaged, type ReaderContext, within } from './reader-context.ts'

/**
 * Wavefront OBJ: positions and faces. Texture coordinates, normals, colours and materials are stepped over; lines,
 * points and curves are counted and left out. Indices may be negative (from the newest vertex back) or refer to
 * vertices that come later. A line that ends in \ goes on in the next.
 *
 * Pieces are the objects (`o`); where there are none, the groups (`g`). A name that comes again goes on with its piece.
 */
export async function readObj(bytes: Uint8Array, context: ReaderContext): Promise<FileMesh> {
  const scan = new ByteScanner(bytes)
  const positions = new GrowingFloats()
  const triangles = new GrowingIndices()
  const objects = new PieceStarts()
  const groups = new PieceStarts()
  const corners: number[] = []
  let split = 0
  let flat = 0
  let unsupported = 0
  const emit = (a: number, b: number, c: number) => triangles.push3(a, b, c)
  if (bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf) scan.at = 3

  /** Blanks and continued lines. */
  const more = (): boolean => {
    while (scan.skipBlanks()) {
      if (bytes[scan.at] !== BACKSLASH) return true
      const next = bytes[scan.at + 1]
      if (next !== 10 && next !== 13) return true
      scan.skipLine()
    }
    return false
  }

  let lines = 0
  try {
    while (scan.skipSpace()) {
      if ((++lines & 0xff) === 0) {
        within(context, 'triangles', triangles.length / 3)
        within(context, 'vertices', positions.length / 3)
        if (context.pace.due()) await context.pace.breathe(scan.at / bytes.length)
      }
      if (scan.takes('v')) {
        let [x, y, z] = [0, 0, 0]
        for (let k = 0; k < 3; k++) {
          if (!more()) damaged(context, `line ${lineOf(bytes, scan.at)}: a vertex needs three numbers`)
          const value = scan.number()
          if (k === 0) x = value
          else if (k === 1) y = value
          else z = value
        }
        positions.push3(x, y, z)
      } else if (scan.takes('f') || scan.takes('fo')) {
        corners.length = 0
        const known = positions.length / 3
        while (more() && bytes[scan.at] !== HASH) {
          const index = scan.integer()
          if (Number.isNaN(index)) throw new NotANumber(scan.word())
          // Texture and normal indices follow behind slashes.
          scan.skipWord()
          const corner = index > 0 ? index - 1 : known + index
          // Beyond 32 bits it would wrap round to a vertex that the file does not mean.
          if (index === 0 || corner < 0 || corner > MOST_VERTICES) outOfRange(index, known, context)
          corners.push(corner)
        }
        if (corners.length < 3) flat++
        else if (corners.length === 3) triangles.push3(corners[0], corners[1], corners[2])
        else {
          split++
          // Corners that are yet to come have no place to judge the shape by.
          if (corners.every(v => v < known)) splitPolygon(positions.data, corners, emit)
          else for (let i = 1; i + 1 < corners.length; i++) emit(corners[0], corners[i], corners[i + 1])
        }
      } else if (scan.takes('o')) objects.start(scan.restOfLine(), triangles.length / 3)
      else if (scan.takes('g')) groups.start(scan.restOfLine(), triangles.length / 3)
      else if (scan.takes('l') || scan.takes('p')) flat++
      else if (scan.takes('curv') || scan.takes('curv2') || scan.takes('surf')) unsupported++
      skipContinuedLine(scan)
    }
  } catch (thrown) {
    if (thrown instanceof NotANumber) damaged(context, `line ${lineOf(bytes, scan.at)}: ${thrown.message}`)
    throw thrown
  }
  within(context, 'triangles', triangles.length / 3)
  within(context, 'vertices', positions.length / 3)
  const division = objects.used(triangles.length / 3) ? objects : groups
  const notes: IntakeNote[] = []
  if (split > 0) notes.push({ kind: 'polygons-split', count: split })
  if (flat > 0) notes.push({ kind: 'lines-and-points-ignored', count: flat })
  if (unsupported > 0) notes.push({ kind: 'unsupported-ignored', count: unsupported })
  const vertices = positions.length / 3
  for (let c = 0; c < triangles.length; c++) {
    if (triangles.data[c] >= vertices) outOfRange(triangles.data[c] + 1, vertices, context)
  }
  return {
    format: 'obj',
    positions: positions.taken(),
    ...division.divide(triangles.taken()),
    statedUnit: null,
    statedUp: null,
    notes,
  }
}

const MOST_VERTICES = 0xffff_fffe
const BACKSLASH = 92
const HASH = 35

function outOfRange(index: number, vertices: number, { fileName }: ReaderContext): never {
  throw new ProblemError({ code: 'mesh/index-out-of-range', fileName, index, vertices })
}

function skipContinuedLine(scan: ByteScanner): void {
  for (;;) {
    const from = scan.at
    scan.skipLine()
    let last = scan.at - 1
    while (last > from && (scan.bytes[last] === 10 || scan.bytes[last] === 13)) last--
    if (scan.at >= scan.end || scan.bytes[last] !== BACKSLASH || last < from) return
  }
}

/** Where pieces begin, by name. */
class PieceStarts {
  readonly #names: string[] = []
  readonly #starts: number[] = []

  start(name: string, triangle: number): void {
    // A name that nothing follows is forgotten: 200,000 of them cost nothing.
    if (this.#starts.at(-1) === triangle) {
      this.#names.pop()
      this.#starts.pop()
    }
    this.#names.push(name)
    this.#starts.push(triangle)
  }

  /** Does any triangle follow a name? */
  used(triangles: number): boolean {
    return this.#starts.length > 0 && this.#starts[0] < triangles
  }

  divide(triangles: Uint32Array): { triangles: Uint32Array; pieces: FilePiece[] } {
    const count = triangles.length / 3
    const runs: { name: string; from: number; to: number }[] = []
    const first = this.#starts[0] ?? count
    if (first > 0) runs.push({ name: '', from: 0, to: Math.min(first, count) })
    this.#starts.forEach((from, i) => {
      const to = this.#starts[i + 1] ?? count
      if (to > from) runs.push({ name: this.#names[i], from, to })
    })
    const byName = new Map<string, { from: number; to: number }[]>()
    for (const run of runs) {
      const known = byName.get(run.name)
      if (known) known.push(run)
      else byName.set(run.name, [run])
    }
    const sorted = byName.size === runs.length ? triangles : new Uint32Array(triangles.length)
    const pieces: FilePiece[] = []
    let to = 0
    for (const [name, list] of byName) {
      const firstTriangle = to
      for (const run of list) {
        if (sorted !== triangles) sorted.set(triangles.subarray(3 * run.from, 3 * run.to), 3 * to)
        to += run.to - run.from
      }
      pieces.push({ name, firstTriangle, triangleCount: to - firstTriangle })
    }
    return { triangles: sorted, pieces }
  }
}
