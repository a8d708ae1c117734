/** A mesh as text or bytes of a file, for tests that write one format and read it in another. */
export interface PlainMesh {
  /** x y z each. */
  readonly positions: readonly (readonly number[])[]
  /** Three vertex numbers each. */
  readonly triangles: readonly (readonly number[])[]
}

const bytesOf = (text: string): Uint8Array => new TextEncoder().encode(text)

export const asObj = ({ positions, triangles }: PlainMesh): Uint8Array =>
  bytesOf(
    [...positions.map(p => `v ${p.join(' ')}`), ...triangles.map(t => `f ${t.map(v => v + 1).join(' ')}`), ''].join(
      '\n',
    ),
  )

const plyHeader = ({ positions, triangles }: PlainMesh, encoding: string) =>
  `ply\nformat ${encoding} 1.0\nelement vertex ${positions.length}\nproperty float x\nproperty float y\nproperty float z\nelement face ${triangles.length}\nproperty list uchar int vertex_indices\nend_header\n`

export const asTextPly = (mesh: PlainMesh): Uint8Array =>
  bytesOf(
    plyHeader(mesh, 'ascii') +
      mesh.positions.map(p => `${p.join(' ')}\n`).join('') +
      mesh.triangles.map(t => `3 ${t.join(' ')}\n`).join(''),
  )

export function asBinaryPly(mesh: PlainMesh, little: boolean): Uint8Array {
  const head = bytesOf(plyHeader(mesh, little ? 'binary_little_endian' : 'binary_big_endian'))
  const file = new Uint8Array(head.length + 12 * mesh.positions.length + 13 * mesh.triangles.length)
  file.set(head)
  const view = new DataView(file.buffer)
  let at = head.length
  for (const p of mesh.positions)
    for (const value of p) {
      view.setFloat32(at, value, little)
      at += 4
    }
  for (const t of mesh.triangles) {
    view.setUint8(at++, 3)
    for (const v of t) {
      view.setInt32(at, v, little)
      at += 4
    }
  }
  return file
}

export function asBinaryStl({ positions, triangles }: PlainMesh, header = ''): Uint8Array {
  const file = new Uint8Array(84 + 50 * triangles.length)
  file.set(bytesOf(header).subarray(0, 80))
  const view = new DataView(file.buffer)
  view.setUint32(80, triangles.length, true)
  triangles.forEach((t, i) => {
    t.forEach((v, k) => {
      positions[v].forEach((value, c) => {
        view.setFloat32(84 + 50 * i + 12 + 12 * k + 4 * c, value, true)
      })
    })
  })
  return file
}

export const asTextStl = ({ positions, triangles }: PlainMesh): Uint8Array =>
  bytesOf(
    `solid test\n${triangles
      .map(
        t =>
          `facet normal 0 0 0\nouter loop\n${t.map(v => `vertex ${positions[v].join(' ')}\n`).join('')}endloop\nendfacet\n`,
      )
      .join('')}endsolid test\n`,
  )

/** glTF with its one buffer inside, in metres as the format has it. */
export function asGltf({ positions, triangles }: PlainMesh): Uint8Array {
  const buffer = Buffer.alloc(12 * positions.length + 12 * triangles.length)
  positions.flat().forEach((value, i) => {
    buffer.writeFloatLE(value, 4 * i)
  })
  triangles.flat().forEach((v, i) => {
    buffer.writeUInt32LE(v, 12 * positions.length + 4 * i)
  })
  const json = {
    asset: { version: '2.0' },
    scene: 0,
    scenes: [{ nodes: [0] }],
    nodes: [{ mesh: 0, name: 'only' }],
    meshes: [{ primitives: [{ attributes: { POSITION: 0 }, indices: 1 }] }],
    accessors: [
      { bufferView: 0, componentType: 5126, count: positions.length, type: 'VEC3' },
      { bufferView: 1, componentType: 5125, count: 3 * triangles.length, type: 'SCALAR' },
    ],
    bufferViews: [
      { buffer: 0, byteLength: 12 * positions.length },
      { buffer: 0, byteOffset: 12 * positions.length, byteLength: 12 * triangles.length },
    ],
    buffers: [{ byteLength: buffer.length, uri: `data:application/octet-stream;base64,${buffer.toString('base64')}` }],
  }
  return bytesOf(JSON.stringify(json))
}
