import type { FileMesh } from '../core/mesh/file-mesh.ts'
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
  const positions = isExactBinaryStl(bytes)
    ? await binaryCorners(view, declared, context)
    : looksLikeText(bytes)
      ? await textCorners(bytes, context)
      : fits
        ? await binaryCorners(view, declared, context)
        : cutShort(bytes.length, declared, context)
  const triangles = new Uint32Array(positions.length / 3)
  for (let i = 0; i < triangles.length; i++) triangles[i] = i
  return {
    format: 'stl',
    positions,
    triangles,
    pieces: [{ name: '', firstTriangle: 0, triangleCount: triangles.length / 3 }],
    statedUnit: null,
    statedUp: null,
    notes: [],
  }
}

const HEADER = 84
const RECORD = 50

function cutShort(length: number, declared: number, context: ReaderContext): never {
  if (length < HEADER) damaged(context, `a binary STL has at least ${HEADER} bytes, this one ${length}`)
  damaged(context, `it announces ${declared} triangles but ends after ${Math.floor((length - HEADER) / RECORD)}`)
}

async function binaryCorners(view: DataView, count: number, context: ReaderContext): Promise<Float32Array> {
  within(context, 'triangles', count)
  const positions = new Float32Array(9 * count)
  const slice = 1 << 17
  if (LITTLE_ENDIAN) {
    // A record's twelve floats start at even addresses only, so they are put together from two 16-bit halves.
    const words = new Uint32Array(positions.buffer)
    const aligned = view.byteOffset % 2 === 0
    const bytes = new Uint8Array(view.buffer, view.byteOffset, view.byteLength)
    const halves = aligned
      ? new Uint16Array(view.buffer, view.byteOffset, view.byteLength >> 1)
      : new Uint16Array(bytes.slice(0, 2 * (view.byteLength >> 1)).buffer)
    for (let t = 0; t < count; ) {
      const end = Math.min(count, t + slice)
      for (let h = (HEADER + RECORD * t + 12) >> 1, to = 9 * t; t < end; t++, h += RECORD >> 1, to += 9) {
        words[to] = halves[h] | (halves[h + 1] << 16)
        words[to + 1] = halves[h + 2] | (halves[h + 3] << 16)
        words[to + 2] = halves[h + 4] | (halves[h + 5] << 16)
        words[to + 3] = halves[h + 6] | (halves[h + 7] << 16)
        words[to + 4] = halves[h + 8] | (halves[h + 9] << 16)
        words[to + 5] = halves[h + 10] | (halves[h + 11] << 16)
        words[to + 6] = halves[h + 12] | (halves[h + 13] << 16)
        words[to + 7] = halves[h + 14] | (halves[h + 15] << 16)
        words[to + 8] = halves[h + 16] | (halves[h + 17] << 16)
      }
      if (context.pace.due()) await context.pace.breathe(t / count)
    }
    return positions
  }
  for (let t = 0; t < count; t++) {
    for (let k = 0; k < 9; k++) positions[9 * t + k] = view.getFloat32(HEADER + RECORD * t + 12 + 4 * k, true)
    if (t % slice === 0 && context.pace.due()) await context.pace.breathe(t / count)
  }
  return positions
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

async function textCorners(bytes: Uint8Array, context: ReaderContext): Promise<Float32Array> {
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
  return corners.taken()
}
