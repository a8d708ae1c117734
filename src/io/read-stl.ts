import type { FileMesh } from '../core/mesh/file-mesh.ts'
import { PlaceTable } from '../core/mesh/place-table.ts'
import { asText, ByteScanner, lineOf, NotANumber } from './byte-scanner.ts'
import { GrowingFloats } from './growing-array.ts'
import { damaged, type ReaderContext, within } from './reader-context.ts'

/**
 * STL, binary or ASCII. Binary when 84 + 50·n is the file's length, whatever it begins with; else ASCII when the text
 * begins with a word of the format; else binary when n triangles fit (bytes after them are ignored).
 *
 * Stored normals are not read: they follow from the corners.
 */
export async function readStl(bytes: Uint8Array, context: ReaderContext): Promise<FileMesh> {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  const declared = bytes.length >= HEADER ? view.getUint32(80, true) : 0
  const fits = bytes.length >= HEADER && HEADER + RECORD * declared <= bytes.length
  const { positions, triangles, copies } = isExactBinaryStl(bytes)
    ? await binaryTriangles(view, declared, context)
    : looksLikeText(bytes)
      ? await textTriangles(bytes, context)
      : fits
        ? await binaryTriangles(view, declared, context)
        : cutShort(bytes.length, declared, context)
  return {
    format: 'stl',
    positions,
    triangles,
    pieces: [{ name: '', firstTriangle: 0, triangleCount: triangles.length / 3 }],
    statedUnit: null,
    statedUp: null,
    ...(copies === null ? {} : { welded: true }),
    notes: copies ? [{ kind: 'welded', count: copies }] : [],
  }
}

interface StlTriangles {
  readonly positions: Float32Array
  readonly triangles: Uint32Array
  /** Corners that stood where an earlier one does and became one with it; null where that was not looked for. */
  readonly copies: number | null
}

const HEADER = 84
const RECORD = 50

function cutShort(length: number, declared: number, context: ReaderContext): never {
  if (length < HEADER) damaged(context, `a binary STL has at least ${HEADER} bytes, this one ${length}`)
  damaged(context, `it announces ${declared} triangles but ends after ${Math.floor((length - HEADER) / RECORD)}`)
}

/**
 * Corners are welded as they are read: of the nine million of a large file, one in six is a new place, and the other
 * five never take memory.
 */
async function binaryTriangles(view: DataView, count: number, context: ReaderContext): Promise<StlTriangles> {
  within(context, 'triangles', count)
  const triangles = new Uint32Array(3 * count)
  const places = new PlaceTable(Math.ceil(count / 2) + 2)
  const slice = 1 << 15
  // A corner's three floats start at even addresses only, so they are put together from two 16-bit halves each.
  const halves =
    LITTLE_ENDIAN && view.byteOffset % 2 === 0
      ? new Uint16Array(view.buffer, view.byteOffset, view.byteLength >> 1)
      : null
  for (let t = 0; t < count; ) {
    const end = Math.min(count, t + slice)
    for (; t < end; t++) {
      const from = HEADER + RECORD * t + 12
      for (let k = 0; k < 3; k++) {
        const at = from + 12 * k
        if (halves) {
          const h = at >> 1
          triangles[3 * t + k] = places.numberOf(
            halves[h] | (halves[h + 1] << 16),
            halves[h + 2] | (halves[h + 3] << 16),
            halves[h + 4] | (halves[h + 5] << 16),
          )
        } else {
          triangles[3 * t + k] = places.numberOf(
            view.getInt32(at, true),
            view.getInt32(at + 4, true),
            view.getInt32(at + 8, true),
          )
        }
      }
    }
    if (context.pace.due()) await context.pace.breathe(t / count)
  }
  return { positions: places.positions(), triangles, copies: 3 * count - places.count }
}

const LITTLE_ENDIAN = new Uint8Array(new Uint32Array([1]).buffer)[0] === 1

/** Does the count at byte 80 explain the file's length to the byte? No text does that by chance. */
export function isExactBinaryStl(bytes: Uint8Array): boolean {
  if (bytes.length < HEADER + RECORD) return false
  const declared = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength).getUint32(80, true)
  return HEADER + RECORD * declared === bytes.length
}

/** The first word is one of the format's, or a comment before it, and no zero byte is near. */
function looksLikeText(bytes: Uint8Array): boolean {
  const from = bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf ? 3 : 0
  const start = asText(bytes, from, Math.min(bytes.length, 1024))
  if (start.includes('\0') && !/^\s*solid[^\n\r]*[\n\r]\s*(facet|endsolid)\b/i.test(start)) return false
  return /^\s*(solid|facet|[#;/])/i.test(start)
}

const HASH = 35

async function textTriangles(bytes: Uint8Array, context: ReaderContext): Promise<StlTriangles> {
  const scan = new ByteScanner(bytes)
  const corners = new GrowingFloats()
  let inFacet = 0
  let words = 0
  try {
    while (scan.skipSpace()) {
      if ((++words & 0x3fff) === 0 && context.pace.due()) await context.pace.breathe(scan.at / bytes.length)
      if (scan.takes('vertex')) {
        const xyz: number[] = []
        for (let k = 0; k < 3; k++) {
          if (!scan.skipSpace()) damaged(context, 'it ends within a vertex')
          xyz.push(scan.number())
        }
        corners.push3(xyz[0], xyz[1], xyz[2])
        inFacet++
      } else if (scan.takes('facet') || scan.takes('endfacet')) {
        if (inFacet % 3 !== 0) damaged(context, `line ${lineOf(bytes, scan.at)}: a facet without three corners`)
        inFacet = 0
        within(context, 'triangles', corners.length / 9)
      } else if (scan.takes('solid') || scan.takes('endsolid') || bytes[scan.at] === HASH) {
        // A name or a comment may hold any word.
        scan.skipLine()
      } else {
        // 'outer loop', 'endloop', and the stored normal, which is not needed and often wrong.
        scan.skipWord()
      }
    }
  } catch (thrown) {
    if (thrown instanceof NotANumber) damaged(context, `line ${lineOf(bytes, scan.at)}: ${thrown.message}`)
    throw thrown
  }
  if (inFacet % 3 !== 0) damaged(context, 'it ends within a facet')
  const positions = corners.taken()
  return { positions, triangles: Uint32Array.from({ length: positions.length / 3 }, (_, i) => i), copies: null }
}
