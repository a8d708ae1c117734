import { Accessor, type Document, type JSONDocument, Primitive, WebIO } from '@gltf-transform/core'
import { EXTMeshoptCompression, KHRMeshQuantization } from '@gltf-transform/extensions'
import { MeshoptDecoder } from 'meshoptimizer'
import type { FileMesh, FilePiece, IntakeNote } from '../core/mesh/file-mesh.ts'
import { ProblemError } from '../core/problem.ts'
import { GrowingFloats, GrowingIndices } from './growing-array.ts'
import { damaged, type ReaderContext, within } from './reader-context.ts'

/**
 * GLB or glTF 2.0: every node with a mesh is a piece, at its place in the world. Metres, +y up.
 *
 * Only geometry is read: materials, textures, animations, cameras, skins and extras are cut away before parsing, so
 * that nothing missing among them is a reason to refuse. Nothing is ever fetched: a URI is data, or the name of a file
 * that was handed over with this one.
 */
export async function readGltf(bytes: Uint8Array, context: ReaderContext): Promise<FileMesh> {
  const { json, binary } = unpack(bytes, context)
  checkVersion(json, context)
  checkExtensions(json, context)
  const resources = resourcesOf(json, binary, context)
  checkSizes(json, resources, context)
  checkNodes(json, context)
  await MeshoptDecoder.ready
  const io = new WebIO()
    .registerExtensions([KHRMeshQuantization, EXTMeshoptCompression])
    .registerDependencies({ 'meshopt.decoder': MeshoptDecoder })
  let document: Document
  try {
    document = await io.readJSON({ json, resources } as unknown as JSONDocument)
  } catch (thrown) {
    return damaged(context, thrown instanceof Error ? thrown.message : String(thrown))
  }
  return meshOf(document, context)
}

/** The parts of the file's JSON that are looked at before the library sees it. All of it may be missing or wrong. */
interface GltfJson {
  asset?: { version?: string }
  scene?: number
  scenes?: { nodes?: number[] }[]
  nodes?: { name?: string; mesh?: number; children?: number[]; [key: string]: unknown }[]
  meshes?: { primitives?: { attributes?: Record<string, number>; [key: string]: unknown }[]; [key: string]: unknown }[]
  accessors?: {
    count?: number
    bufferView?: number
    byteOffset?: number
    componentType?: number
    type?: string
    sparse?: unknown
  }[]
  bufferViews?: {
    buffer?: number
    byteOffset?: number
    byteLength?: number
    byteStride?: number
    extensions?: unknown
  }[]
  buffers?: { uri?: string; byteLength?: number; extensions?: unknown }[]
  extensionsRequired?: string[]
  extensionsUsed?: string[]
  [key: string]: unknown
}

const GLB_MAGIC = 0x46546c67
const JSON_CHUNK = 0x4e4f534a
const BINARY_CHUNK = 0x004e4942
/** Name under which the library knows a GLB's own buffer. */
const OWN_BUFFER = '@glb.bin'

function unpack(bytes: Uint8Array, context: ReaderContext): { json: GltfJson; binary: Uint8Array | null } {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  if (bytes.length < 12 || view.getUint32(0, true) !== GLB_MAGIC) return { json: parsed(bytes, context), binary: null }
  const version = view.getUint32(4, true)
  if (version !== 2) damaged(context, `it is a GLB of version ${version}; version 2 can be read`)
  let json: GltfJson | null = null
  let binary: Uint8Array | null = null
  for (let at = 12; at + 8 <= bytes.length; ) {
    const length = view.getUint32(at, true)
    const type = view.getUint32(at + 4, true)
    if (at + 8 + length > bytes.length) damaged(context, 'it ends within a chunk')
    const chunk = bytes.subarray(at + 8, at + 8 + length)
    if (type === JSON_CHUNK && json === null) json = parsed(chunk, context)
    else if (type === BINARY_CHUNK && binary === null) binary = chunk
    at += 8 + length + ((4 - (length % 4)) % 4)
  }
  if (json === null) return damaged(context, 'it has no JSON chunk')
  return { json, binary }
}

function parsed(bytes: Uint8Array, context: ReaderContext): GltfJson {
  let json: unknown
  try {
    json = JSON.parse(new TextDecoder().decode(bytes))
  } catch {
    return damaged(context, 'its JSON cannot be read')
  }
  if (typeof json !== 'object' || json === null || Array.isArray(json)) return damaged(context, 'its JSON is no object')
  return onlyGeometry(json as GltfJson, context)
}

/** A new JSON with meshes, nodes and what they need, and nothing else. */
function onlyGeometry(json: GltfJson, context: ReaderContext): GltfJson {
  const list = <T>(value: T[] | undefined, name: string): T[] => {
    if (value === undefined) return []
    if (!Array.isArray(value) || value.some(v => typeof v !== 'object' || v === null))
      damaged(context, `its ${name} are no list`)
    return value
  }
  const meshes = list(json.meshes, 'meshes').map(mesh => ({
    primitives: list(mesh.primitives, 'primitives').map(({ attributes, indices, mode, extensions }) => {
      const draco = (extensions as Record<string, unknown> | undefined)?.KHR_draco_mesh_compression
      if (draco !== undefined && !hasAccessorData(json, attributes?.POSITION)) {
        throw new ProblemError({
          code: 'file/extension-missing',
          fileName: context.fileName,
          extension: 'KHR_draco_mesh_compression',
        })
      }
      return {
        attributes: attributes?.POSITION === undefined ? {} : { POSITION: attributes.POSITION },
        ...(indices === undefined ? {} : { indices }),
        ...(mode === undefined ? {} : { mode }),
      }
    }),
  }))
  const nodes = list(json.nodes, 'nodes').map(({ name, mesh, children, matrix, translation, rotation, scale }) => ({
    ...(typeof name === 'string' ? { name } : {}),
    ...(mesh === undefined ? {} : { mesh }),
    ...(children === undefined ? {} : { children }),
    ...(matrix === undefined ? {} : { matrix }),
    ...(translation === undefined ? {} : { translation }),
    ...(rotation === undefined ? {} : { rotation }),
    ...(scale === undefined ? {} : { scale }),
  }))
  // Accessors that no position or index names are emptied, so that broken ones among them do not matter.
  const needed = new Set<unknown>(
    meshes.flatMap(m => m.primitives.flatMap(p => [p.attributes.POSITION, (p as { indices?: unknown }).indices])),
  )
  const accessors = list(json.accessors, 'accessors').map((accessor, i) =>
    needed.has(i) ? accessor : { componentType: 5126, count: 1, type: 'SCALAR' },
  )
  return {
    asset: { version: typeof json.asset?.version === 'string' ? json.asset.version : '' },
    ...(json.scene === undefined ? {} : { scene: json.scene }),
    scenes: list(json.scenes, 'scenes').map(({ nodes: roots }) => (roots ? { nodes: roots } : {})),
    nodes,
    meshes,
    accessors,
    bufferViews: list(json.bufferViews, 'buffer views'),
    buffers: list(json.buffers, 'buffers'),
    ...(Array.isArray(json.extensionsRequired) ? { extensionsRequired: json.extensionsRequired } : {}),
    ...(Array.isArray(json.extensionsUsed) ? { extensionsUsed: json.extensionsUsed } : {}),
  }
}

const hasAccessorData = (json: GltfJson, index: number | undefined) =>
  index !== undefined && json.accessors?.[index]?.bufferView !== undefined

function checkVersion({ asset }: GltfJson, context: ReaderContext): void {
  const version = asset?.version ?? ''
  if (!/^2\.\d+$/.test(version))
    damaged(
      context,
      version ? `it is glTF ${version}; version 2 can be read` : 'it does not say which glTF version it is',
    )
}

/** Of what changes geometry we read these; all others concern what is cut away. */
const GEOMETRY_EXTENSIONS_READ = new Set([
  'KHR_mesh_quantization',
  'EXT_meshopt_compression',
  'KHR_draco_mesh_compression',
])

function checkExtensions(json: GltfJson, { fileName }: ReaderContext): void {
  const changesGeometry = (name: string) => /mesh|compression|instancing|buffer/i.test(name)
  for (const extension of json.extensionsRequired ?? []) {
    if (typeof extension === 'string' && changesGeometry(extension) && !GEOMETRY_EXTENSIONS_READ.has(extension))
      throw new ProblemError({ code: 'file/extension-missing', fileName, extension })
  }
  const known = (names: string[] | undefined) =>
    names?.filter(n => n === 'KHR_mesh_quantization' || n === 'EXT_meshopt_compression')
  json.extensionsRequired = known(json.extensionsRequired) ?? []
  json.extensionsUsed = known(json.extensionsUsed) ?? []
}

/** Bytes of every buffer, by the name the library will ask for. */
function resourcesOf(json: GltfJson, binary: Uint8Array | null, context: ReaderContext): Record<string, Uint8Array> {
  const resources: Record<string, Uint8Array> = Object.create(null)
  json.buffers?.forEach((buffer, i) => {
    const isFallback = (buffer.extensions as Record<string, { fallback?: boolean }> | undefined)
      ?.EXT_meshopt_compression?.fallback
    if (isFallback) return
    const name = `buffer-${i}`
    if (buffer.uri === undefined) {
      if (i !== 0 || binary === null) return
      resources[OWN_BUFFER] = copyOf(binary)
      return
    }
    const data = dataOf(buffer.uri, context)
    if (data === null)
      throw new ProblemError({ code: 'file/needs', fileName: context.fileName, missing: baseName(buffer.uri) })
    buffer.uri = name
    resources[name] = copyOf(data)
  })
  return resources
}

/** The library makes views at offsets of the whole buffer: it needs one of its own. */
const copyOf = (bytes: Uint8Array) => bytes.slice()

function dataOf(uri: string, context: ReaderContext): Uint8Array | null {
  if (typeof uri !== 'string') return damaged(context, 'a buffer has no name')
  const data = /^data:[^,]*?(;base64)?,/i.exec(uri)
  if (data) {
    try {
      const text = uri.slice(data[0].length)
      return Uint8Array.from(data[1] ? atob(text) : decodeURIComponent(text), c => c.charCodeAt(0))
    } catch {
      return damaged(context, 'the data inside a buffer is not base64')
    }
  }
  const wanted = baseName(uri)
  for (const [name, bytes] of context.sideFiles) if (baseName(name) === wanted) return bytes
  return null
}

function baseName(uri: string): string {
  let name = uri
  try {
    name = decodeURIComponent(uri)
  } catch {
    // A stray % is part of the name.
  }
  return name.split(/[\\/]/).at(-1) ?? name
}

const COMPONENT_BYTES: Record<number, number> = { 5120: 1, 5121: 1, 5122: 2, 5123: 2, 5125: 4, 5126: 4 }

/** Declared sizes against bytes, before anything is allocated for them. */
function checkSizes(json: GltfJson, resources: Record<string, Uint8Array>, context: ReaderContext): void {
  const whole = (n: unknown): n is number => typeof n === 'number' && Number.isInteger(n) && n >= 0
  const bufferBytes = (index: number): number => {
    const buffer = json.buffers?.[index]
    if (!buffer) return damaged(context, `buffer ${index} is missing`)
    if (buffer.uri !== undefined) return resources[buffer.uri]?.length ?? 0
    if ((buffer.extensions as Record<string, unknown> | undefined)?.EXT_meshopt_compression)
      return buffer.byteLength ?? 0
    return resources[OWN_BUFFER]?.length ?? 0
  }
  json.bufferViews?.forEach((view, i) => {
    if (!whole(view.buffer) || !whole(view.byteLength) || !whole(view.byteOffset ?? 0))
      damaged(context, `buffer view ${i} has no size`)
    if ((view.byteOffset ?? 0) + (view.byteLength ?? 0) > bufferBytes(view.buffer as number))
      damaged(context, `buffer view ${i} reaches past the end of its buffer`)
  })
  for (const [i, accessor] of (json.accessors ?? []).entries()) {
    if (!whole(accessor.count)) damaged(context, `accessor ${i} has no count`)
    within(context, 'vertices', accessor.count as number)
    if (accessor.bufferView === undefined) continue
    const view = json.bufferViews?.[accessor.bufferView]
    if (!view) damaged(context, `accessor ${i} names a buffer view that is missing`)
    const size = COMPONENT_BYTES[accessor.componentType ?? 0]
    if (!size) damaged(context, `accessor ${i} has an unknown number type`)
    const wide = accessor.type === 'SCALAR' ? 1 : accessor.type === 'VEC3' ? 3 : 0
    if (wide === 0) damaged(context, `accessor ${i} is neither positions nor indices`)
    if ((view.extensions as Record<string, unknown> | undefined)?.EXT_meshopt_compression) continue
    const stride = view.byteStride ?? size * wide
    const needs = (accessor.byteOffset ?? 0) + (accessor.count as number) * stride - (stride - size * wide)
    if ((accessor.count as number) > 0 && needs > (view.byteLength ?? 0))
      damaged(context, `accessor ${i} reaches past its buffer view`)
  }
  // Accessors without bytes are legal zeros: let no file ask for gigabytes of nothing.
  const empty = (json.accessors ?? []).reduce((sum, a) => sum + (a.bufferView === undefined ? (a.count ?? 0) : 0), 0)
  within(
    { ...context, limits: { ...context.limits, vertices: Math.min(context.limits.vertices, 4_000_000) } },
    'vertices',
    empty,
  )
}

/** Every node has one parent at most, and none is its own ancestor. Without recursion: depth is the file's to choose. */
function checkNodes(json: GltfJson, context: ReaderContext): void {
  const nodes = json.nodes ?? []
  const parents = new Int32Array(nodes.length).fill(-1)
  nodes.forEach((node, i) => {
    for (const child of Array.isArray(node.children) ? node.children : []) {
      if (!Number.isInteger(child) || child < 0 || child >= nodes.length)
        damaged(context, `node ${i} has a child that is missing`)
      if (parents[child] >= 0) damaged(context, `node ${child} has two parents`)
      parents[child] = i
    }
    if (node.mesh !== undefined && !json.meshes?.[node.mesh]) damaged(context, `node ${i} names a mesh that is missing`)
  })
  const known = new Uint8Array(nodes.length)
  for (let start = 0; start < nodes.length; start++) {
    const path: number[] = []
    let at = start
    while (at >= 0 && known[at] === 0) {
      known[at] = 1
      path.push(at)
      at = parents[at]
    }
    if (at >= 0 && known[at] === 1) damaged(context, `node ${at} is its own ancestor`)
    for (const node of path) known[node] = 2
  }
  for (const [i, mesh] of (json.meshes ?? []).entries()) {
    for (const { attributes, indices } of mesh.primitives ?? []) {
      for (const accessor of [attributes?.POSITION, indices]) {
        if (accessor !== undefined && !json.accessors?.[accessor as number])
          damaged(context, `mesh ${i} names an accessor that is missing`)
      }
    }
  }
}

type Matrix = readonly number[]
const IDENTITY: Matrix = [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1]

/** Column-major product a·b. */
function times(a: Matrix, b: Matrix): Matrix {
  const out = new Array<number>(16).fill(0)
  for (let c = 0; c < 4; c++)
    for (let r = 0; r < 4; r++) for (let k = 0; k < 4; k++) out[4 * c + r] += a[4 * k + r] * b[4 * c + k]
  return out
}

async function meshOf(document: Document, context: ReaderContext): Promise<FileMesh> {
  const positions = new GrowingFloats()
  const triangles = new GrowingIndices()
  const pieces: FilePiece[] = []
  let strays = 0
  const root = document.getRoot()
  const scene = root.getDefaultScene() ?? root.listScenes()[0]
  const roots = scene ? scene.listChildren() : root.listNodes().filter(node => node.getParentNode() === null)
  const waiting = roots.map(node => ({ node, parent: IDENTITY })).reverse()
  const total = root.listNodes().length
  for (let next = waiting.pop(), done = 0; next; next = waiting.pop(), done++) {
    const { node, parent } = next
    const world = times(parent, node.getMatrix())
    for (const child of node.listChildren().reverse()) waiting.push({ node: child, parent: world })
    const firstTriangle = triangles.length / 3
    for (const primitive of node.getMesh()?.listPrimitives() ?? [])
      strays += addPrimitive(primitive, world, positions, triangles, context)
    const triangleCount = triangles.length / 3 - firstTriangle
    if (triangleCount > 0) pieces.push({ name: node.getName(), firstTriangle, triangleCount })
    within(context, 'triangles', triangles.length / 3)
    within(context, 'vertices', positions.length / 3)
    if (context.pace.due()) await context.pace.breathe(done / Math.max(1, total))
  }
  within(context, 'pieces', pieces.length)
  const notes: IntakeNote[] = strays > 0 ? [{ kind: 'lines-and-points-ignored', count: strays }] : []
  return {
    format: 'gltf',
    positions: positions.taken(),
    triangles: triangles.taken(),
    pieces,
    statedUnit: 'm',
    statedUp: '+y',
    notes,
  }
}

/** @returns 1 when the primitive is lines or points, which are left out */
function addPrimitive(
  primitive: Primitive,
  m: Matrix,
  positions: GrowingFloats,
  triangles: GrowingIndices,
  context: ReaderContext,
): number {
  const mode = primitive.getMode()
  if (mode < Primitive.Mode.TRIANGLES) return 1
  const at = primitive.getAttribute('POSITION')
  if (!at) return 0
  if (at.getType() !== Accessor.Type.VEC3) damaged(context, 'its positions are not x, y, z')
  const base = positions.length / 3
  const p: number[] = [0, 0, 0]
  for (let i = 0, count = at.getCount(); i < count; i++) {
    at.getElement(i, p)
    positions.push3(
      m[0] * p[0] + m[4] * p[1] + m[8] * p[2] + m[12],
      m[1] * p[0] + m[5] * p[1] + m[9] * p[2] + m[13],
      m[2] * p[0] + m[6] * p[1] + m[10] * p[2] + m[14],
    )
  }
  const indices = primitive.getIndices()
  const count = indices ? indices.getCount() : at.getCount()
  const corner = (i: number): number => {
    const index = indices ? indices.getScalar(i) : i
    if (!(index < at.getCount())) {
      throw new ProblemError({
        code: 'mesh/index-out-of-range',
        fileName: context.fileName,
        index,
        vertices: at.getCount(),
      })
    }
    return base + index
  }
  // A mirrored node shows its triangles from behind: turn them.
  const mirrored =
    m[0] * (m[5] * m[10] - m[6] * m[9]) - m[4] * (m[1] * m[10] - m[2] * m[9]) + m[8] * (m[1] * m[6] - m[2] * m[5]) < 0
  const add = (a: number, b: number, c: number) => (mirrored ? triangles.push3(a, c, b) : triangles.push3(a, b, c))
  if (mode === Primitive.Mode.TRIANGLES) {
    if (count % 3 !== 0) damaged(context, 'its last triangle is not whole')
    for (let i = 0; i + 2 < count; i += 3) add(corner(i), corner(i + 1), corner(i + 2))
  } else if (mode === Primitive.Mode.TRIANGLE_STRIP) {
    for (let i = 0; i + 2 < count; i++) add(corner(i), corner(i + 1 + (i % 2)), corner(i + 2 - (i % 2)))
  } else {
    for (let i = 1; i + 1 < count; i++) add(corner(0), corner(i), corner(i + 1))
  }
  return 0
}
