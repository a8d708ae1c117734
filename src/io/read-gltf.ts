import { type Document, type JSONDocument, type Node, Primitive, WebIO } from '@gltf-transform/core'
import { EXTMeshoptCompression, KHRMeshQuantization } from '@gltf-transform/extensions'
import { MeshoptDecoder } from 'meshoptimizer/decoder'
import type { FileMesh, FilePiece, IntakeNote } from '../core/mesh/file-mesh.ts'
import { ProblemError } from '../core/problem.ts'
import { GrowingFloats, GrowingIndices } from './growing-array.ts'
import { damaged, type ReaderContext, within } from './reader-context.ts'

/**
 * GLB or glTF 2.0: every node with a mesh is a piece, at its place in the world. Metres, +y up.
 *
 * Skinned meshes stand as their joints stand in the file, not animated; morph targets are left at rest.
 *
 * Only geometry is read: materials, textures, animations, cameras and extras are cut away before parsing, so that
 * nothing missing among them is a reason to refuse; a broken skin is left out with a note. Nothing is ever fetched: a URI is data, or the name of a file
 * that was handed over with this one.
 */
export async function readGltf(bytes: Uint8Array, context: ReaderContext): Promise<FileMesh> {
  const { json, binary } = unpack(bytes, context)
  checkVersion(json, context)
  checkExtensions(json, context)
  const resources = resourcesOf(json, binary, context)
  const skinsLeftOut = dropBrokenSkins(json, resources)
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
  return meshOf(document, skinsLeftOut, context)
}

/** The parts of the file's JSON that are looked at before the library sees it. All of it may be missing or wrong. */
interface GltfJson {
  asset?: { version?: string }
  scene?: number
  scenes?: { nodes?: number[] }[]
  nodes?: { name?: string; mesh?: number; skin?: number; children?: number[]; [key: string]: unknown }[]
  skins?: { joints?: number[]; inverseBindMatrices?: number }[]
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
        attributes: Object.fromEntries(
          ['POSITION', 'JOINTS_0', 'WEIGHTS_0'].flatMap(name =>
            attributes?.[name] === undefined ? [] : [[name, attributes[name]]],
          ),
        ) as Record<string, number>,
        ...(indices === undefined ? {} : { indices }),
        ...(mode === undefined ? {} : { mode }),
      }
    }),
  }))
  const nodes = list(json.nodes, 'nodes').map(
    ({ name, mesh, skin, children, matrix, translation, rotation, scale }) => ({
      ...(typeof name === 'string' ? { name } : {}),
      ...(mesh === undefined ? {} : { mesh }),
      ...(skin === undefined || mesh === undefined ? {} : { skin }),
      ...(children === undefined ? {} : { children }),
      ...(matrix === undefined ? {} : { matrix: numbers(matrix, 16, 'matrix', context) }),
      ...(translation === undefined ? {} : { translation: numbers(translation, 3, 'translation', context) }),
      ...(rotation === undefined ? {} : { rotation: numbers(rotation, 4, 'rotation', context) }),
      ...(scale === undefined ? {} : { scale: numbers(scale, 3, 'scale', context) }),
    }),
  )
  // Accessors that no position or index names are emptied, so that broken ones among them do not matter.
  const skins = (Array.isArray(json.skins) ? json.skins : []).map(skin => ({
    joints: Array.isArray(skin?.joints) ? skin.joints : [],
    ...(skin?.inverseBindMatrices === undefined ? {} : { inverseBindMatrices: skin.inverseBindMatrices }),
  }))
  const needed = new Set<unknown>([
    ...meshes.flatMap(m =>
      m.primitives.flatMap(p => [...Object.values(p.attributes), (p as { indices?: unknown }).indices]),
    ),
    ...skins.map(skin => skin.inverseBindMatrices),
  ])
  const accessors = list(json.accessors, 'accessors').map((accessor, i) =>
    needed.has(i) ? withOffsets(accessor) : unused(),
  )
  return {
    asset: { version: typeof json.asset?.version === 'string' ? json.asset.version : '' },
    ...(json.scene === undefined ? {} : { scene: json.scene }),
    scenes: list(json.scenes, 'scenes').map(({ nodes: roots }) => (roots ? { nodes: roots } : {})),
    nodes,
    meshes,
    skins,
    accessors,
    bufferViews: list(json.bufferViews, 'buffer views'),
    buffers: list(json.buffers, 'buffers'),
    ...(Array.isArray(json.extensionsRequired) ? { extensionsRequired: json.extensionsRequired } : {}),
    ...(Array.isArray(json.extensionsUsed) ? { extensionsUsed: json.extensionsUsed } : {}),
  }
}

function numbers(value: unknown, count: number, name: string, context: ReaderContext): number[] {
  if (!Array.isArray(value) || value.length !== count || !value.every(Number.isFinite))
    damaged(context, `a node's ${name} is not ${count} numbers`)
  return value as number[]
}

/** Where the file gives sparse parts no offset the library takes the accessor's own; the specification says 0. */
function withOffsets(accessor: NonNullable<GltfJson['accessors']>[number]) {
  const { indices, values, ...rest } = (accessor.sparse ?? {}) as Sparse
  if (!indices || !values) return accessor
  return {
    ...accessor,
    sparse: { ...rest, indices: { byteOffset: 0, ...indices }, values: { byteOffset: 0, ...values } },
  }
}

const unused = () => ({ componentType: 5126, count: 1, type: 'SCALAR' })

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
      const characters = data[1] ? atob(text) : decodeURIComponent(text)
      const bytes = new Uint8Array(characters.length)
      for (let i = 0; i < bytes.length; i++) bytes[i] = characters.charCodeAt(i)
      return bytes
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

/** Maps: the keys are the file's, and every plain object has a `constructor`. */
const COMPONENT_BYTES = new Map<unknown, number>([
  [5120, 1],
  [5121, 1],
  [5122, 2],
  [5123, 2],
  [5125, 4],
  [5126, 4],
])
const COMPONENTS = new Map<unknown, number>([
  ['SCALAR', 1],
  ['VEC3', 3],
  ['VEC4', 4],
  ['MAT4', 16],
])
const INDEX_TYPES: readonly unknown[] = [5121, 5123, 5125]

const whole = (n: unknown): n is number => typeof n === 'number' && Number.isInteger(n) && n >= 0

/** What is wrong with an accessor that has a buffer view: its declared size against the view's, or null. */
function faultOf({ accessors, bufferViews }: GltfJson, index: number): string | null {
  const accessor = accessors?.[index]
  if (!accessor) return `accessor ${index} is missing`
  if (!whole(accessor.count)) return `accessor ${index} has no count`
  const size = COMPONENT_BYTES.get(accessor.componentType)
  if (!size) return `accessor ${index} has an unknown number type`
  const wide = COMPONENTS.get(accessor.type)
  if (!wide) return `accessor ${index} is neither positions nor indices`
  if (accessor.sparse !== undefined) {
    const { count, indices, values } = (accessor.sparse ?? {}) as Sparse
    if (!whole(count) || count > accessor.count || !INDEX_TYPES.includes(indices?.componentType))
      return `accessor ${index} replaces what it does not have`
    const past =
      reachesPast(bufferViews, indices, count, COMPONENT_BYTES.get(indices?.componentType) ?? 0) ||
      reachesPast(bufferViews, values, count, size * wide)
    if (past) return `accessor ${index} replaces numbers by some past a buffer view's end`
  }
  if (accessor.bufferView === undefined) return null
  return reachesPast(bufferViews, accessor, accessor.count, size * wide)
    ? `accessor ${index} reaches past its buffer view`
    : null
}

interface Sparse {
  count?: number
  indices?: { bufferView?: number; byteOffset?: number; componentType?: number }
  values?: { bufferView?: number; byteOffset?: number }
}

/** Do `count` elements of `size` bytes, from an offset in a buffer view, end outside it? */
function reachesPast(
  views: GltfJson['bufferViews'],
  from: { bufferView?: number; byteOffset?: number } | undefined,
  count: number,
  size: number,
): boolean {
  const view = whole(from?.bufferView) ? views?.[from.bufferView] : undefined
  const offset = from?.byteOffset ?? 0
  if (!view || !whole(offset)) return true
  if (count === 0) return false
  const stride = view.byteStride ?? size
  // Shorter than its elements, they would overlap, and a few bytes could stand for millions.
  if (!whole(stride) || stride < size) return true
  return offset + (count - 1) * stride + size > (view.byteLength ?? 0)
}

function viewFaultOf(json: GltfJson, index: number, resources: Record<string, Uint8Array>): string | null {
  const view = json.bufferViews?.[index]
  if (!view || !whole(view.buffer) || !whole(view.byteLength) || !whole(view.byteOffset ?? 0))
    return `buffer view ${index} has no size`
  const buffer = json.buffers?.[view.buffer]
  if (!buffer) return `buffer ${view.buffer} is missing`
  const bytes =
    buffer.uri !== undefined
      ? resources[buffer.uri]?.length
      : (buffer.extensions as Record<string, unknown> | undefined)?.EXT_meshopt_compression
        ? buffer.byteLength
        : resources[OWN_BUFFER]?.length
  if ((view.byteOffset ?? 0) + view.byteLength > (bytes ?? 0))
    return `buffer view ${index} reaches past the end of its buffer`
  const packed = (view.extensions as { EXT_meshopt_compression?: unknown } | undefined)?.EXT_meshopt_compression
  if (!packed) return null
  const { count, byteStride, byteLength, mode, buffer: from, byteOffset = 0 } = packed as Packed
  if (!whole(count) || !whole(byteStride) || !whole(byteLength) || !whole(byteOffset) || byteStride > 256)
    return `packed buffer view ${index} has no size`
  const source = whole(from) ? json.buffers?.[from] : undefined
  const there = source?.uri !== undefined ? resources[source.uri] : from === 0 ? resources[OWN_BUFFER] : undefined
  if (byteOffset + byteLength > (there?.length ?? 0)) return `packed buffer view ${index} reaches past its buffer`
  // The codec spends a byte at least on 256 values of 4 bytes (attributes), or on each index or triangle.
  const most = mode === 'ATTRIBUTES' ? 1024 * byteLength : 3 * byteStride * byteLength
  if (count * byteStride !== view.byteLength || count * byteStride > most)
    return `packed buffer view ${index} announces more than it can hold`
  return null
}

/** EXT_meshopt_compression on a buffer view. */
interface Packed {
  buffer?: number
  byteOffset?: number
  byteLength?: number
  byteStride?: number
  count?: number
  mode?: string
}

/**
 * A figure is worth showing without its bones: skins, joints and weights that do not hold are taken out.
 * @returns how many nodes lost their skin
 */
function dropBrokenSkins(json: GltfJson, resources: Record<string, Uint8Array>): number {
  const sound = (index: number, type: string, count: number): boolean => {
    const accessor = json.accessors?.[index]
    return (
      accessor?.bufferView !== undefined &&
      accessor.type === type &&
      (accessor.count ?? 0) >= count &&
      faultOf(json, index) === null &&
      viewFaultOf(json, accessor.bufferView, resources) === null
    )
  }
  const soundSkin = (json.skins ?? []).map(
    ({ joints = [], inverseBindMatrices: inverse }) =>
      joints.length > 0 &&
      joints.every(joint => whole(joint) && json.nodes?.[joint] !== undefined) &&
      (inverse === undefined || sound(inverse, 'MAT4', joints.length)),
  )
  const keep = new Set<number>()
  json.skins = (json.skins ?? []).map((skin, i) => {
    if (!soundSkin[i]) return { joints: [] }
    if (skin.inverseBindMatrices !== undefined) keep.add(skin.inverseBindMatrices)
    return skin
  })
  let lost = 0
  for (const node of json.nodes ?? []) {
    if (node.skin === undefined || soundSkin[node.skin]) continue
    delete node.skin
    lost++
  }
  for (const { primitives } of json.meshes ?? []) {
    for (const { attributes, indices } of primitives ?? []) {
      if (!attributes) continue
      const vertices = json.accessors?.[attributes.POSITION]?.count ?? 0
      const has = attributes.JOINTS_0 !== undefined && attributes.WEIGHTS_0 !== undefined
      if (!has || !sound(attributes.JOINTS_0, 'VEC4', vertices) || !sound(attributes.WEIGHTS_0, 'VEC4', vertices)) {
        delete attributes.JOINTS_0
        delete attributes.WEIGHTS_0
      }
      for (const index of [...Object.values(attributes), indices]) keep.add(index as number)
    }
  }
  json.accessors = json.accessors?.map((accessor, i) => (keep.has(i) ? accessor : unused())) ?? []
  return lost
}

/** Declared sizes against bytes, before anything is allocated for them. */
function checkSizes(json: GltfJson, resources: Record<string, Uint8Array>, context: ReaderContext): void {
  json.bufferViews?.forEach((_, i) => {
    const fault = viewFaultOf(json, i, resources)
    if (fault) damaged(context, fault)
  })
  json.accessors?.forEach(({ count }, i) => {
    const fault = faultOf(json, i)
    if (fault) damaged(context, fault)
    within(context, 'vertices', count ?? 0)
  })
  // Thousands of accessors may share the same bytes, and each becomes an array of its own.
  const copied = (json.accessors ?? []).reduce(
    (sum, a) => sum + (a.count ?? 0) * (COMPONENTS.get(a.type) ?? 0) * (COMPONENT_BYTES.get(a.componentType) ?? 0),
    0,
  )
  within(context, 'inflatedBytes', copied)
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
  within(context, 'pieces', nodes.length)
  const parents = new Int32Array(nodes.length).fill(-1)
  nodes.forEach((node, i) => {
    for (const child of Array.isArray(node.children) ? node.children : []) {
      if (!Number.isInteger(child) || child < 0 || child >= nodes.length)
        damaged(context, `node ${i} has a child that is missing`)
      if (parents[child] >= 0) damaged(context, `node ${child} has two parents`)
      parents[child] = i
    }
    if (node.mesh !== undefined && !(whole(node.mesh) && json.meshes?.[node.mesh]))
      damaged(context, `node ${i} names a mesh that is missing`)
  })
  for (const [i, { nodes: roots }] of (json.scenes ?? []).entries()) {
    if (roots !== undefined && !(Array.isArray(roots) && roots.every(root => whole(root) && root < nodes.length)))
      damaged(context, `scene ${i} shows a node that is missing`)
  }
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
    for (const { attributes, indices, mode } of mesh.primitives ?? []) {
      if (mode !== undefined && !(whole(mode) && mode <= Primitive.Mode.TRIANGLE_FAN))
        damaged(context, `mesh ${i} is made of something unknown`)
      for (const accessor of [attributes?.POSITION, indices]) {
        if (accessor !== undefined && !(whole(accessor) && json.accessors?.[accessor]))
          damaged(context, `mesh ${i} names an accessor that is missing`)
      }
      const places = whole(attributes?.POSITION) ? json.accessors?.[attributes.POSITION] : undefined
      if (places && places.type !== 'VEC3') damaged(context, `the positions of mesh ${i} are not x, y, z`)
      const numbering = whole(indices) ? json.accessors?.[indices] : undefined
      if (numbering && (numbering.type !== 'SCALAR' || !INDEX_TYPES.includes(numbering.componentType)))
        damaged(context, `the indices of mesh ${i} are no whole numbers`)
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

async function meshOf(document: Document, skinsLeftOut: number, context: ReaderContext): Promise<FileMesh> {
  const positions = new GrowingFloats()
  const triangles = new GrowingIndices()
  const pieces: FilePiece[] = []
  let strays = 0
  const root = document.getRoot()
  // Joints may stand outside the scene that is shown, so every node's place is worked out first.
  const worlds = new Map<Node, Matrix>()
  const placing = root
    .listNodes()
    .filter(node => node.getParentNode() === null)
    .map(node => ({ node, parent: IDENTITY }))
  for (let next = placing.pop(); next; next = placing.pop()) {
    const world = times(next.parent, next.node.getMatrix())
    worlds.set(next.node, world)
    for (const child of next.node.listChildren()) placing.push({ node: child, parent: world })
  }
  const scene = root.getDefaultScene() ?? root.listScenes()[0]
  const roots = scene ? scene.listChildren() : root.listNodes().filter(node => node.getParentNode() === null)
  const waiting = [...roots].reverse()
  const total = root.listNodes().length
  for (let node = waiting.pop(), done = 0; node; node = waiting.pop(), done++) {
    const world = worlds.get(node) ?? IDENTITY
    waiting.push(...node.listChildren().reverse())
    const firstTriangle = triangles.length / 3
    const joints = jointMatrices(node, worlds)
    for (const primitive of node.getMesh()?.listPrimitives() ?? [])
      strays += addPrimitive(primitive, world, joints, positions, triangles, context)
    const triangleCount = triangles.length / 3 - firstTriangle
    if (triangleCount > 0) pieces.push({ name: node.getName(), firstTriangle, triangleCount })
    within(context, 'triangles', triangles.length / 3)
    within(context, 'vertices', positions.length / 3)
    if (context.pace.due()) await context.pace.breathe(done / Math.max(1, total))
  }
  within(context, 'pieces', pieces.length)
  const notes: IntakeNote[] = []
  if (strays > 0) notes.push({ kind: 'lines-and-points-ignored', count: strays })
  if (skinsLeftOut > 0) notes.push({ kind: 'unsupported-ignored', count: skinsLeftOut })
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

/** From bind pose to the world, a matrix a joint; null for a node without skin. */
function jointMatrices(node: Node, worlds: ReadonlyMap<Node, Matrix>): Matrix[] | null {
  const skin = node.getSkin()
  if (!skin) return null
  const inverse = skin.getInverseBindMatrices()
  return skin.listJoints().map((joint, j) => {
    const world = worlds.get(joint) ?? IDENTITY
    return inverse ? times(world, inverse.getElement(j, [])) : world
  })
}

/** Σ weight · matrix over a vertex' joints, weights brought to sum 1; null where no joint holds it. */
function blended(joints: readonly Matrix[], of: readonly number[], weights: readonly number[]): Matrix | null {
  const out = new Array<number>(16).fill(0)
  let sum = 0
  for (let k = 0; k < 4; k++) {
    const matrix = joints[of[k]]
    if (!matrix || !(weights[k] > 0)) continue
    sum += weights[k]
    for (let i = 0; i < 16; i++) out[i] += weights[k] * matrix[i]
  }
  return sum > 0 ? out.map(v => v / sum) : null
}

/** @returns 1 when the primitive is lines or points, which are left out */
function addPrimitive(
  primitive: Primitive,
  world: Matrix,
  joints: readonly Matrix[] | null,
  positions: GrowingFloats,
  triangles: GrowingIndices,
  context: ReaderContext,
): number {
  const mode = primitive.getMode()
  if (mode < Primitive.Mode.TRIANGLES) return 1
  const at = primitive.getAttribute('POSITION')
  if (!at) return 0
  const base = positions.length / 3
  // Before, not after: a mesh may be large, and many nodes may show it.
  within(context, 'vertices', base + at.getCount())
  const p: number[] = [0, 0, 0]
  // A skinned mesh stands where its joints are, whatever its node says (glTF 2.0, 3.7.3.3).
  const jointsOf = joints && primitive.getAttribute('JOINTS_0')
  const weightsOf = joints && primitive.getAttribute('WEIGHTS_0')
  const of: number[] = []
  const weights: number[] = []
  let m = world
  for (let i = 0, count = at.getCount(); i < count; i++) {
    at.getElement(i, p)
    if (joints && jointsOf && weightsOf)
      m = blended(joints, jointsOf.getElement(i, of), weightsOf.getElement(i, weights)) ?? world
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
