import { Inflate } from 'fflate'
import { SaxesParser } from 'saxes'
import type { FileMesh, FilePiece, IntakeNote, LengthUnit } from '../core/mesh/file-mesh.ts'
import { ProblemError } from '../core/problem.ts'
import { GrowingFloats, GrowingIndices } from './growing-array.ts'
import { damaged, type ReaderContext, within } from './reader-context.ts'

/**
 * 3MF (3MF Consortium, core specification 1.3; production extension 1.1): geometry of the build's items, or of every
 * object where nothing is to be built. +z up.
 *
 * Only relationship parts and the model parts they lead to are inflated, and inflated bytes are counted as they come:
 * the sizes a zip states are its author's. Components are expanded with a running total.
 */
export async function read3mf(bytes: Uint8Array, context: ReaderContext): Promise<FileMesh> {
  const zip = directoryOf(bytes, context)
  const budget: Budget = { left: context.limits.inflatedBytes, named: 0 }
  const start = await startPart(zip, budget, context)
  // The secure content extension keeps its keys in such a part; what it locks cannot be read here.
  const locked = [...zip.keys()].some(name => name.endsWith('/keystore.xml'))
  const models = new Map<string, Model>()
  const open = async (path: string): Promise<Model> => {
    const known = models.get(path)
    if (known) return known
    const entry = zip.get(path.toLowerCase())
    if (!entry) return damaged(context, `its model part ${path} is missing`)
    const model = await readModel(entry, budget, context).catch(thrown => {
      if (locked && !context.pace.cancelled())
        throw new ProblemError({ code: 'file/encrypted', fileName: context.fileName })
      throw thrown
    })
    models.set(path, model)
    return model
  }
  const root = await open(start)
  // Production extension: objects may stand in other model parts, named by path.
  const waiting = [...pathsIn(root)]
  for (let next = waiting.pop(); next !== undefined; next = waiting.pop()) {
    if (models.has(next)) continue
    waiting.push(...pathsIn(await open(next)))
  }
  return expand(start, models, context)
}

// ── zip ────────────────────────────────────────────────────────────────────────────────────────────────────────────

/** Shared by all parts of the package. */
interface Budget {
  /** Bytes that may still be inflated. */
  left: number
  /** Objects, components and items met. */
  named: number
}

interface ZipEntry {
  readonly name: string
  readonly data: Uint8Array
  readonly stored: boolean
}

const END_OF_DIRECTORY = 0x06054b50
const DIRECTORY_ENTRY = 0x02014b50
const LOCAL_HEADER = 0x04034b50
const ZIP64_END = 0x06064b50
const ZIP64_LOCATOR = 0x07064b50
const ZIP64_FIELD = 1
const FULL = 0xffffffff

/** 64 bits, as far as a number holds them; files here are far shorter. */
const long = (view: DataView, at: number): number => view.getUint32(at, true) + 2 ** 32 * view.getUint32(at + 4, true)

/** The central directory, which is what other readers go by; names in lower case, as OPC compares them. Source: PKWARE APPNOTE 6.3. */
function directoryOf(bytes: Uint8Array, context: ReaderContext): Map<string, ZipEntry> {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  let end = bytes.length - 22
  while (end >= 0 && end > bytes.length - 65_558 && view.getUint32(end, true) !== END_OF_DIRECTORY) end--
  if (end < 0 || view.getUint32(end, true) !== END_OF_DIRECTORY) return damaged(context, 'its zip directory is missing')
  const entries = new Map<string, ZipEntry>()
  let count = view.getUint16(end + 10, true)
  let at = view.getUint32(end + 16, true)
  // Zip64: the real numbers stand in a record of their own.
  if (end >= 20 && view.getUint32(end - 20, true) === ZIP64_LOCATOR) {
    const record = long(view, end - 12)
    if (record + 56 <= bytes.length && view.getUint32(record, true) === ZIP64_END) {
      count = long(view, record + 32)
      at = long(view, record + 48)
    }
  }
  within(context, 'pieces', count)
  for (let i = 0; i < count; i++) {
    if (at + 46 > bytes.length || view.getUint32(at, true) !== DIRECTORY_ENTRY)
      return damaged(context, 'its zip directory is broken')
    const flags = view.getUint16(at + 8, true)
    const method = view.getUint16(at + 10, true)
    let size = view.getUint32(at + 20, true)
    const nameLength = view.getUint16(at + 28, true)
    let local = view.getUint32(at + 42, true)
    const name = new TextDecoder().decode(bytes.subarray(at + 46, at + 46 + nameLength))
    const extra = at + 46 + nameLength
    const extraEnd = Math.min(bytes.length, extra + view.getUint16(at + 30, true))
    for (let e = extra; e + 4 <= extraEnd; e += 4 + view.getUint16(e + 2, true)) {
      if (view.getUint16(e, true) !== ZIP64_FIELD) continue
      // Only the numbers that did not fit stand here, in this order.
      let from = e + 4
      if (view.getUint32(at + 24, true) === FULL) from += 8
      if (size === FULL && from + 8 <= extraEnd) {
        size = long(view, from)
        from += 8
      }
      if (local === FULL && from + 8 <= extraEnd) local = long(view, from)
    }
    at = extra + view.getUint16(at + 30, true) + view.getUint16(at + 32, true)
    if (flags & 1) throw new ProblemError({ code: 'file/encrypted', fileName: context.fileName })
    if (local + 30 > bytes.length || view.getUint32(local, true) !== LOCAL_HEADER)
      return damaged(context, `its zip entry ${name} is broken`)
    const from = local + 30 + view.getUint16(local + 26, true) + view.getUint16(local + 28, true)
    if (from + size > bytes.length) return damaged(context, `its zip entry ${name} is cut short`)
    const key = `/${name.replace(/^\/+/, '')}`.toLowerCase()
    if (entries.has(key)) return damaged(context, `its zip holds ${name} twice`)
    if (method === 0 || method === 8)
      entries.set(key, { name, data: bytes.subarray(from, from + size), stored: method === 0 })
  }
  return entries
}

/** Feeds an entry's text to a parser, piece by piece, and breathes between the pieces. */
async function inflateText(
  entry: ZipEntry,
  budget: Budget,
  context: ReaderContext,
  take: (text: string, last: boolean) => void,
): Promise<void> {
  const decoder = new TextDecoder()
  const took = (chunk: Uint8Array, last: boolean) => {
    budget.left -= chunk.length
    if (budget.left < 0) within(context, 'inflatedBytes', context.limits.inflatedBytes - budget.left)
    take(decoder.decode(chunk, { stream: !last }), last)
  }
  if (entry.stored) {
    const SLICE = 1 << 16
    for (let at = 0; at === 0 || at < entry.data.length; at += SLICE) {
      took(entry.data.subarray(at, at + SLICE), at + SLICE >= entry.data.length)
      if (context.pace.due()) await context.pace.breathe(at / entry.data.length)
    }
    return
  }
  let finished = false
  const inflate = new Inflate((chunk, last) => {
    finished = last
    took(chunk, last)
  })
  // What is deflated may grow a thousandfold: short slices keep memory and the time between breaths small.
  const SLICE = 1 << 14
  for (let at = 0; at < entry.data.length; at += SLICE) {
    inflate.push(entry.data.subarray(at, at + SLICE), at + SLICE >= entry.data.length)
    if (context.pace.due()) await context.pace.breathe(at / entry.data.length)
  }
  if (!finished) damaged(context, `its zip entry ${entry.name} is cut short`)
}

interface XmlHandlers {
  /** `name` without its prefix. */
  opened(name: string, attributes: Record<string, string>): void
  closed?(name: string): void
}

/**
 * Characters that may follow one another without a tag, to the nearest inflated slice: texts and attributes are held in
 * memory until they end.
 */
const LONGEST_RUN = 1 << 24

/**
 * Runs a parser; whatever it or the inflater complains of becomes a sentence. What takes memory without being a mesh
 * is limited: runs without a tag, and tags inside tags.
 */
async function parseXml(
  entry: ZipEntry,
  budget: Budget,
  context: ReaderContext,
  { opened, closed }: XmlHandlers,
): Promise<void> {
  const parser = new SaxesParser({ xmlns: false })
  let depth = 0
  let run = 0
  parser.on('opentag', ({ name, attributes }) => {
    run = 0
    within(context, 'depth', ++depth)
    opened(localName(name), attributes)
  })
  parser.on('closetag', ({ name }) => {
    run = 0
    depth--
    closed?.(localName(name))
  })
  parser.on('error', error => {
    throw error
  })
  parser.on('doctype', () => damaged(context, `${entry.name} has a document type, which 3MF forbids`))
  try {
    await inflateText(entry, budget, context, (text, last) => {
      run += text.length
      if (run > LONGEST_RUN) damaged(context, `${entry.name} goes on for ${run} characters without a tag`)
      parser.write(text)
      if (last) parser.close()
    })
  } catch (thrown) {
    if (thrown instanceof ProblemError || context.pace.cancelled()) throw thrown
    damaged(context, `${entry.name}: ${thrown instanceof Error ? thrown.message : thrown}`)
  }
}

const MODEL_RELATIONSHIP = /\/3dmodel$/i

async function startPart(zip: Map<string, ZipEntry>, budget: Budget, context: ReaderContext): Promise<string> {
  const entry = zip.get('/_rels/.rels')
  if (!entry) return damaged(context, 'it has no relationships: it is no 3MF package')
  let target: string | null = null
  await parseXml(entry, budget, context, {
    opened(name, attributes) {
      if (name === 'Relationship' && MODEL_RELATIONSHIP.test(attributes.Type ?? ''))
        target ??= attributes.Target ?? null
    },
  })
  if (target === null) return damaged(context, 'its relationships name no model')
  return absolute(target)
}

const localName = (name: string) => name.slice(name.indexOf(':') + 1)
const absolute = (path: string) => `/${path.replace(/^\/+/, '')}`

// ── model ──────────────────────────────────────────────────────────────────────────────────────────────────────────

/** Twelve numbers of a row-vector affine map: x' = x·m0 + y·m3 + z·m6 + m9. */
type Affine = readonly number[]
const IDENTITY: Affine = [1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0]

interface Reference {
  readonly path: string | null
  readonly objectId: string
  readonly transform: Affine
}

interface ModelObject {
  readonly name: string
  readonly positions: Float32Array
  readonly triangles: Uint32Array
  readonly components: readonly Reference[]
}

interface Model {
  readonly unit: LengthUnit
  readonly objects: ReadonlyMap<string, ModelObject>
  readonly items: readonly Reference[]
  readonly beams: number
}

/** A Map: the word is the file's, and every plain object has a `constructor`. */
const UNITS = new Map<string, LengthUnit>([
  ['micron', 'µm'],
  ['millimeter', 'mm'],
  ['centimeter', 'cm'],
  ['meter', 'm'],
  ['inch', 'in'],
  ['foot', 'ft'],
])

function pathsIn(model: Model): string[] {
  const references = [...model.items, ...[...model.objects.values()].flatMap(o => o.components)]
  return references.flatMap(r => (r.path === null ? [] : [r.path]))
}

async function readModel(entry: ZipEntry, budget: Budget, context: ReaderContext): Promise<Model> {
  let unit: LengthUnit = 'mm'
  let beams = 0
  const objects = new Map<string, ModelObject>()
  const items: Reference[] = []
  let current: {
    id: string
    name: string
    positions: GrowingFloats
    triangles: GrowingIndices
    components: Reference[]
  } | null = null

  const opened = (name: string, a: Record<string, string>) => {
    switch (name) {
      case 'model':
        unit = a.unit === undefined ? 'mm' : (UNITS.get(a.unit) ?? damaged(context, `${a.unit} is no unit of 3MF`))
        break
      case 'object':
        within(context, 'pieces', ++budget.named)
        if (objects.has(a.id)) damaged(context, `object ${a.id} stands twice`)
        current = {
          id: a.id ?? damaged(context, 'an object has no id'),
          name: a.name ?? '',
          positions: new GrowingFloats(256),
          triangles: new GrowingIndices(256),
          components: [],
        }
        break
      case 'vertex':
        if (current) current.positions.push3(number(a.x, context), number(a.y, context), number(a.z, context))
        break
      case 'triangle':
        if (!current) break
        current.triangles.push3(index(a.v1, context), index(a.v2, context), index(a.v3, context))
        if ((current.triangles.length & 0x3ffff) === 0) within(context, 'triangles', current.triangles.length / 3)
        break
      case 'beam':
        beams++
        break
      case 'component':
        within(context, 'pieces', ++budget.named)
        current?.components.push(reference(a, context))
        break
      case 'item':
        within(context, 'pieces', ++budget.named)
        items.push(reference(a, context))
        break
    }
  }
  const closed = (name: string) => {
    if (name !== 'object' || !current) return
    const { id, name: objectName, components } = current
    const positions = current.positions.taken()
    const triangles = current.triangles.taken()
    for (const v of triangles) {
      if (3 * v >= positions.length)
        throw new ProblemError({
          code: 'mesh/index-out-of-range',
          fileName: context.fileName,
          index: v,
          vertices: positions.length / 3,
        })
    }
    objects.set(id, { name: objectName, positions, triangles, components })
    current = null
  }
  await parseXml(entry, budget, context, { opened, closed })
  return { unit, objects, items, beams }
}

function number(text: string | undefined, context: ReaderContext): number {
  const value = Number(text)
  // Number() takes 0x10 too, and nothing for 0.
  if (text === undefined || Number.isNaN(value) || !/^\s*[-+]?(\d|\.|Inf)/.test(text) || /[xob]/i.test(text))
    damaged(context, `${text ?? 'nothing'} is no coordinate`)
  return value
}

function index(text: string | undefined, context: ReaderContext): number {
  if (text === undefined || !/^\s*\+?\d+\s*$/.test(text)) damaged(context, `${text ?? 'nothing'} is no vertex number`)
  return Math.min(Number(text), 0xffffffff)
}

function reference(a: Record<string, string>, context: ReaderContext): Reference {
  const path = a['p:path'] ?? Object.entries(a).find(([key]) => key.endsWith(':path'))?.[1]
  const transform = a.transform?.trim().split(/\s+/).map(Number) ?? IDENTITY
  if (transform.length !== 12 || transform.some(v => !Number.isFinite(v)))
    damaged(context, 'a transform is not twelve numbers')
  return {
    path: path === undefined ? null : absolute(path),
    objectId: a.objectid ?? damaged(context, 'a reference names no object'),
    transform,
  }
}

/** First `a`, then `b`. */
function then(a: Affine, b: Affine): Affine {
  const out: number[] = []
  for (let row = 0; row < 4; row++)
    for (let c = 0; c < 3; c++)
      out.push(a[3 * row] * b[c] + a[3 * row + 1] * b[3 + c] + a[3 * row + 2] * b[6 + c] + (row === 3 ? b[9 + c] : 0))
  return out
}

interface Placed {
  readonly reference: Reference
  readonly path: string
  readonly transform: Affine
  readonly ancestors: readonly string[]
}

function expand(start: string, models: ReadonlyMap<string, Model>, context: ReaderContext): FileMesh {
  const root = models.get(start)
  if (!root) throw new Error('the start part was not read')
  const items: readonly Reference[] =
    root.items.length > 0
      ? root.items
      : [...root.objects.keys()].map(objectId => ({ path: null, objectId, transform: IDENTITY }))
  const positions = new GrowingFloats()
  const triangles = new GrowingIndices()
  const pieces: FilePiece[] = []
  const waiting: Placed[] = items
    .map(reference => ({ reference, path: reference.path ?? start, transform: reference.transform, ancestors: [] }))
    .reverse()
  let visited = 0
  for (let next = waiting.pop(); next; next = waiting.pop()) {
    const { reference: ref, path, transform, ancestors } = next
    within(context, 'pieces', ++visited)
    const object = models.get(path)?.objects.get(ref.objectId)
    if (!object) damaged(context, `object ${ref.objectId} is missing`)
    const key = `${path}#${ref.objectId}`
    if (ancestors.includes(key)) damaged(context, `object ${ref.objectId} holds itself`)
    within(context, 'depth', ancestors.length)
    for (const component of [...object.components].reverse()) {
      waiting.push({
        reference: component,
        path: component.path ?? path,
        transform: then(component.transform, transform),
        ancestors: [...ancestors, key],
      })
    }
    if (object.triangles.length === 0) continue
    within(context, 'triangles', (triangles.length + object.triangles.length) / 3)
    within(context, 'vertices', (positions.length + object.positions.length) / 3)
    pieces.push({ name: object.name, firstTriangle: triangles.length / 3, triangleCount: object.triangles.length / 3 })
    addPlaced(object, transform, positions, triangles)
  }
  const beams = [...models.values()].reduce((sum, model) => sum + model.beams, 0)
  const notes: IntakeNote[] = beams > 0 ? [{ kind: 'unsupported-ignored', count: beams }] : []
  return {
    format: '3mf',
    positions: positions.taken(),
    triangles: triangles.taken(),
    pieces,
    statedUnit: root.unit,
    statedUp: '+z',
    notes,
  }
}

function addPlaced(
  { positions: p, triangles: t }: ModelObject,
  m: Affine,
  positions: GrowingFloats,
  triangles: GrowingIndices,
): void {
  const base = positions.length / 3
  for (let i = 0; i < p.length; i += 3) {
    positions.push3(
      p[i] * m[0] + p[i + 1] * m[3] + p[i + 2] * m[6] + m[9],
      p[i] * m[1] + p[i + 1] * m[4] + p[i + 2] * m[7] + m[10],
      p[i] * m[2] + p[i + 1] * m[5] + p[i + 2] * m[8] + m[11],
    )
  }
  const mirrored =
    m[0] * (m[4] * m[8] - m[5] * m[7]) - m[1] * (m[3] * m[8] - m[5] * m[6]) + m[2] * (m[3] * m[7] - m[4] * m[6]) < 0
  for (let i = 0; i < t.length; i += 3) {
    if (mirrored) triangles.push3(base + t[i], base + t[i + 2], base + t[i + 1])
    else triangles.push3(base + t[i], base + t[i + 1], base + t[i + 2])
  }
}
