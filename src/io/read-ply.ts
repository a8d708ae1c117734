import type { FileMesh, IntakeNote } from '../core/mesh/file-mesh.ts'
import { splitPolygon } from '../core/mesh/split-polygon.ts'
import { asText, ByteScanner, lineOf, NotANumber } from './byte-scanner.ts'
import { GrowingFloats, GrowingIndices } from './growing-array.ts'
import { damaged, type ReaderContext, within } from './reader-context.ts'

/**
 * PLY: ASCII, binary little- or big-endian. Read are `vertex` x y z, `face` vertex_indices (or vertex_index), and
 * `tristrips`; every other element and property is stepped over. Header counts are held against the bytes that follow
 * before anything is allocated.
 */
export async function readPly(bytes: Uint8Array, context: ReaderContext): Promise<FileMesh> {
  const { encoding, elements, bodyAt } = headerOf(bytes, context)
  const source = encoding === 'ascii' ? textSource(bytes, bodyAt) : binarySource(bytes, bodyAt, encoding === 'little')
  const positions = new GrowingFloats()
  const triangles = new GrowingIndices()
  let split = 0
  let flat = 0
  const emit = (a: number, b: number, c: number) => triangles.push3(a, b, c)
  // Splitting a polygon looks at its corners: a stray index must not get that far. It is found out afterwards.
  const known = (index: number) => index >= 0 && 3 * index < positions.length
  // Nothing but a whole number names a vertex, and one beyond 32 bits would wrap round to another. −1 parts strips.
  const vertexNumber = (value: number): number => {
    if (!Number.isInteger(value)) damaged(context, `${value} is no vertex number`)
    return value < -1 || value > 0xffff_ffff ? 0xffff_ffff : value
  }

  try {
    for (const element of elements) {
      const at = (name: string) => element.properties.findIndex(p => p.name === name)
      const [x, y, z] = [at('x'), at('y'), at('z')]
      const isVertex = element.name === 'vertex' && x >= 0 && y >= 0 && z >= 0
      const corners = Math.max(at('vertex_indices'), at('vertex_index'))
      const isFace = element.name === 'face' && corners >= 0 && element.properties[corners].count !== null
      const isStrip = element.name === 'tristrips' && corners >= 0 && element.properties[corners].count !== null
      const properties = element.properties.map(({ type, count }) => ({
        type,
        read: source.reader(type),
        readCount: count === null ? null : source.reader(count),
      }))
      const scalars = new Array<number>(properties.length).fill(0)
      const list: number[] = []
      for (let row = 0; row < element.count; row++) {
        if ((row & 0xff) === 0) {
          within(context, 'triangles', triangles.length / 3)
          within(context, 'vertices', positions.length / 3)
          if (context.pace.due()) await context.pace.breathe(source.at() / bytes.length)
        }
        list.length = 0
        for (let p = 0; p < properties.length; p++) {
          const { type, read, readCount } = properties[p]
          if (readCount === null) {
            scalars[p] = read()
            continue
          }
          const items = readCount()
          if (!Number.isInteger(items) || items < 0 || !source.holds(items, type))
            damaged(context, `a list in ${element.name} ${row} is longer than the file`)
          if (p === corners && (isFace || isStrip)) for (let i = 0; i < items; i++) list.push(vertexNumber(read()))
          else for (let i = 0; i < items; i++) read()
        }
        if (isVertex) positions.push3(scalars[x], scalars[y], scalars[z])
        else if (isFace) {
          if (list.length < 3) flat++
          else if (list.length === 3 || !list.every(known))
            for (let i = 1; i + 1 < list.length; i++) emit(list[0], list[i], list[i + 1])
          else {
            split++
            splitPolygon(positions.data, list, emit)
          }
        } else if (isStrip) addStrip(list, emit)
      }
    }
  } catch (thrown) {
    if (thrown instanceof NotANumber) damaged(context, `line ${lineOf(bytes, source.at())}: ${thrown.message}`)
    if (thrown instanceof RangeError) damaged(context, 'it ends before all that its header announces')
    throw thrown
  }
  const notes: IntakeNote[] = []
  if (split > 0) notes.push({ kind: 'polygons-split', count: split })
  if (flat > 0) notes.push({ kind: 'lines-and-points-ignored', count: flat })
  return {
    format: 'ply',
    positions: positions.taken(),
    triangles: triangles.taken(),
    pieces: [{ name: '', firstTriangle: 0, triangleCount: triangles.length / 3 }],
    statedUnit: null,
    statedUp: null,
    notes,
  }
}

/** Strips stand behind one another, parted by −1; every second triangle is turned. */
function addStrip(list: readonly number[], emit: (a: number, b: number, c: number) => void): void {
  let start = 0
  for (let i = 0; i <= list.length; i++) {
    if (i < list.length && list[i] >= 0) continue
    for (let k = start; k + 2 < i; k++) {
      const turned = (k - start) % 2 === 1
      const [a, b, c] = [list[k], list[k + 1], list[k + 2]]
      if (a !== b && b !== c && a !== c) turned ? emit(b, a, c) : emit(a, b, c)
    }
    start = i + 1
  }
}

type NumberType = 'int8' | 'uint8' | 'int16' | 'uint16' | 'int32' | 'uint32' | 'float32' | 'float64'

const TYPES = new Map<string | undefined, NumberType>(
  Object.entries({
    char: 'int8',
    int8: 'int8',
    uchar: 'uint8',
    uint8: 'uint8',
    short: 'int16',
    int16: 'int16',
    ushort: 'uint16',
    uint16: 'uint16',
    int: 'int32',
    int32: 'int32',
    uint: 'uint32',
    uint32: 'uint32',
    float: 'float32',
    float32: 'float32',
    double: 'float64',
    float64: 'float64',
  }),
)

const SIZE: Readonly<Record<NumberType, number>> = {
  int8: 1,
  uint8: 1,
  int16: 2,
  uint16: 2,
  int32: 4,
  uint32: 4,
  float32: 4,
  float64: 8,
}

interface Property {
  readonly name: string
  readonly type: NumberType
  /** Type of a list's length; null for a single number. */
  readonly count: NumberType | null
}

interface Element {
  readonly name: string
  readonly count: number
  readonly properties: Property[]
}

interface Header {
  readonly encoding: 'ascii' | 'little' | 'big'
  readonly elements: readonly Element[]
  readonly bodyAt: number
}

const ENCODINGS = new Map<string | undefined, Header['encoding']>([
  ['ascii', 'ascii'],
  ['binary_little_endian', 'little'],
  ['binary_big_endian', 'big'],
])

/** Lines a header may have: far more than any real one, far fewer than a hostile one. */
const MOST_LINES = 4096

function headerOf(bytes: Uint8Array, context: ReaderContext): Header {
  let encoding: Header['encoding'] | null = null
  const elements: Element[] = []
  const numberType = (word: string | undefined): NumberType =>
    TYPES.get(word) ?? damaged(context, `its header names a number type ${word ?? 'that is missing'}`)
  const scan = new ByteScanner(bytes)
  for (let line = 0; line < MOST_LINES; line++) {
    const from = scan.at
    scan.skipLine()
    if (scan.at === from) damaged(context, 'its header has no end')
    const words = asText(bytes, from, Math.min(scan.at, from + 1024))
      .trim()
      .split(/\s+/)
    switch (words[0]) {
      case 'ply':
      case 'comment':
      case 'obj_info':
      case '':
        break
      case 'format':
        encoding = ENCODINGS.get(words[1]) ?? damaged(context, `its encoding ${words[1]} is unknown`)
        break
      case 'element': {
        const count = Number(words[2])
        if (!/^\d+$/.test(words[2] ?? '')) damaged(context, `its header counts ${words[2] ?? 'nothing'} of ${words[1]}`)
        elements.push({ name: words[1], count, properties: [] })
        break
      }
      case 'property': {
        const element = elements.at(-1)
        if (!element) return damaged(context, 'its header has a property before any element')
        if (words[1] === 'list')
          element.properties.push({ name: words[4] ?? '', count: numberType(words[2]), type: numberType(words[3]) })
        else element.properties.push({ name: words[2] ?? '', type: numberType(words[1]), count: null })
        break
      }
      case 'end_header': {
        if (encoding === null) return damaged(context, 'its header does not say how it is encoded')
        checkCounts(elements, encoding, bytes.length - scan.at, context)
        return { encoding, elements, bodyAt: scan.at }
      }
      default:
        damaged(context, `its header has a line that begins with ${words[0].slice(0, 40)}`)
    }
  }
  return damaged(context, 'its header has no end')
}

/** The least that the announced elements can take, against what there is. */
function checkCounts(
  elements: readonly Element[],
  encoding: Header['encoding'],
  left: number,
  context: ReaderContext,
): void {
  let least = 0
  for (const { name, count, properties } of elements) {
    if (properties.length === 0 && count > 0)
      damaged(context, `its header announces ${count} of ${name} that hold nothing`)
    const row = properties.reduce((sum, p) => sum + (encoding === 'ascii' ? 2 : SIZE[p.count ?? p.type]), 0)
    least += count * row
  }
  // The last number of a text needs no blank behind it.
  if (least > left + 1) damaged(context, `its header announces at least ${least} bytes, ${left} follow`)
}

interface NumberSource {
  /** What reads the next number of a type: throws RangeError at the end, NotANumber for a word that is none. */
  reader(type: NumberType): () => number
  /** Can so many numbers still follow? */
  holds(count: number, type: NumberType): boolean
  /** Bytes read so far. */
  at(): number
}

function textSource(bytes: Uint8Array, from: number): NumberSource {
  const scan = new ByteScanner(bytes, from)
  const read = () => {
    while (scan.skipSpace()) {
      // The format knows comments in the header only; some programs go on commenting.
      if (!scan.takes('comment') && !scan.takes('obj_info')) return scan.number()
      scan.skipLine()
    }
    throw new RangeError('end of file')
  }
  return {
    reader: () => read,
    holds: count => 2 * count <= bytes.length - scan.at + 1,
    at: () => scan.at,
  }
}

function binarySource(bytes: Uint8Array, from: number, little: boolean): NumberSource {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  let at = from
  // A function for each type, so that no number is read through a choice.
  const stepped = (size: number, get: (here: number) => number) => () => {
    const here = at
    at += size
    return get(here)
  }
  const readers: Readonly<Record<NumberType, () => number>> = {
    int8: stepped(1, here => view.getInt8(here)),
    uint8: stepped(1, here => view.getUint8(here)),
    int16: stepped(2, here => view.getInt16(here, little)),
    uint16: stepped(2, here => view.getUint16(here, little)),
    int32: stepped(4, here => view.getInt32(here, little)),
    uint32: stepped(4, here => view.getUint32(here, little)),
    float32: stepped(4, here => view.getFloat32(here, little)),
    float64: stepped(8, here => view.getFloat64(here, little)),
  }
  return {
    reader: type => readers[type],
    holds: (count, type) => count * SIZE[type] <= bytes.length - at,
    at: () => at,
  }
}
