import { srgbByte } from '../core/colour/srgb.ts'
import type { Figure } from '../core/mesh/figure.ts'

/** A number at every vertex, and what it is called. */
export type NamedField = readonly [id: string, values: Float32Array]

export interface PlyFields {
  /** One a torch, 1 on a bare surface facing it at its aim point. */
  readonly exposures: readonly NamedField[]
  /** One a coat, dry µm. */
  readonly deposits: readonly NamedField[]
  /** Whatever else there is at a vertex, under its own name. */
  readonly others?: readonly NamedField[]
  /** 3·V, linear sRGB primaries. */
  readonly linearRgb: Float32Array
}

/**
 * Every field of a figure as PLY, binary little-endian, with its faces, in mm. A vertex has x y z nx ny nz, a float
 * exposure_<torch> for each torch, a float deposit_<coat> for each coat in µm, a float for each of the others, and
 * red green blue as sRGB bytes.
 * Names are cut down to [a-z0-9_]; two that would be the same get a number.
 */
export function writeFieldsPly(figure: Figure, { exposures, deposits, others = [], linearRgb }: PlyFields): Uint8Array {
  const { positions, normals, triangles } = figure
  const vertices = positions.length / 3
  const faces = triangles.length / 3
  const fields = [...exposures, ...deposits, ...others].map(([, values]) => values)
  const names = uniqueNames([
    ...exposures.map(([id]) => `exposure_${plainName(id)}`),
    ...deposits.map(([id]) => `deposit_${plainName(id)}`),
    ...others.map(([id]) => plainName(id)),
  ])
  const floats = ['x', 'y', 'z', 'nx', 'ny', 'nz', ...names]
  const header = new TextEncoder().encode(
    [
      'ply',
      'format binary_little_endian 1.0',
      'comment lengths in mm, deposits in um, colours sRGB',
      `element vertex ${vertices}`,
      ...floats.map(name => `property float ${name}`),
      ...['red', 'green', 'blue'].map(name => `property uchar ${name}`),
      `element face ${faces}`,
      'property list uchar int vertex_indices',
      'end_header\n',
    ].join('\n'),
  )
  const bytes = new Uint8Array(header.length + vertices * (4 * floats.length + 3) + faces * 13)
  bytes.set(header)
  const view = new DataView(bytes.buffer)
  let at = header.length
  const float = (value: number) => {
    view.setFloat32(at, value, true)
    at += 4
  }
  for (let v = 0; v < vertices; v++) {
    for (let k = 0; k < 3; k++) float(positions[3 * v + k])
    for (let k = 0; k < 3; k++) float(normals[3 * v + k])
    for (const values of fields) float(values[v])
    for (let k = 0; k < 3; k++) bytes[at++] = srgbByte(linearRgb[3 * v + k])
  }
  for (let t = 0; t < triangles.length; t += 3) {
    bytes[at++] = 3
    for (let k = 0; k < 3; k++) {
      view.setInt32(at, triangles[t + k], true)
      at += 4
    }
  }
  return bytes
}

/** In lower case, accents dropped, everything else but letters and digits as one underscore. */
const plainName = (id: string): string =>
  id
    .normalize('NFKD')
    .replace(/\p{Mark}/gu, '')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '_')
    .replace(/^_|_$/g, '') || 'unnamed'

function uniqueNames(names: readonly string[]): string[] {
  const taken = new Set<string>()
  return names.map(name => {
    let free = name
    for (let n = 2; taken.has(free); n++) free = `${name}_${n}`
    taken.add(free)
    return free
  })
}
