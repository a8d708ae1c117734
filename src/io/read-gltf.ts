import { WebIO } from '@gltf-transform/core'
import { EXTMeshoptCompression, KHRMeshQuantization } from '@gltf-transform/extensions'
import { MeshoptDecoder } from 'meshoptimizer'
import type { FileMesh, FilePiece } from '../core/mesh/file-mesh.ts'
import { damaged, type ReaderContext } from './reader-context.ts'

/** GLB: every mesh node is a piece, at its place in the world. */
export async function readGltf(bytes: Uint8Array, context: ReaderContext): Promise<FileMesh> {
  await MeshoptDecoder.ready
  const io = new WebIO()
    .registerExtensions([KHRMeshQuantization, EXTMeshoptCompression])
    .registerDependencies({ 'meshopt.decoder': MeshoptDecoder })
  const document = await io.readBinary(bytes).catch((thrown: Error) => damaged(context, thrown.message))
  const positions: number[] = []
  const triangles: number[] = []
  const pieces: FilePiece[] = []
  for (const node of document.getRoot().listNodes()) {
    const m = node.getWorldMatrix()
    const firstTriangle = triangles.length / 3
    for (const primitive of node.getMesh()?.listPrimitives() ?? []) {
      const at = primitive.getAttribute('POSITION')
      if (!at) continue
      const base = positions.length / 3
      const p: number[] = []
      for (let i = 0; i < at.getCount(); i++) {
        const [x, y, z] = at.getElement(i, p)
        for (let k = 0; k < 3; k++) positions.push(m[k] * x + m[4 + k] * y + m[8 + k] * z + m[12 + k])
      }
      const indices = primitive.getIndices()
      const count = indices?.getCount() ?? at.getCount()
      for (let i = 0; i < count; i++) triangles.push(base + (indices ? indices.getScalar(i) : i))
    }
    if (triangles.length / 3 > firstTriangle)
      pieces.push({ name: node.getName(), firstTriangle, triangleCount: triangles.length / 3 - firstTriangle })
  }
  return {
    format: 'gltf',
    positions: Float32Array.from(positions),
    triangles: Uint32Array.from(triangles),
    pieces,
    statedUnit: 'm',
    statedUp: '+y',
    notes: [],
  }
}
