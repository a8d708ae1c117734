import { Document, NodeIO } from '@gltf-transform/core'
import type { Surface } from './extract-surface.ts'

/** A named surface; becomes one node with one mesh. */
export interface GlbPart {
  readonly name: string
  readonly surface: Surface
}

/**
 * A binary glTF of bare positions and indices: float32 metres, +y up, +z front. No normals: who shows the figure decides which creases to keep.
 *
 * @param scaleToMetres what one unit of the surfaces is, in metres
 */
export async function writeGlb(parts: readonly GlbPart[], scaleToMetres: number): Promise<Uint8Array> {
  const document = new Document()
  document.getRoot().getAsset().generator = 'greycoat make-figures'
  document.getRoot().getAsset().copyright = 'CC0-1.0'
  const buffer = document.createBuffer()
  const scene = document.createScene()
  for (const { name, surface } of parts) {
    const positions = Float32Array.from(surface.positions, v => v * scaleToMetres)
    const indices = positions.length / 3 < 65535 ? Uint16Array.from(surface.triangles) : surface.triangles
    const primitive = document
      .createPrimitive()
      .setAttribute('POSITION', document.createAccessor().setType('VEC3').setArray(positions).setBuffer(buffer))
      .setIndices(document.createAccessor().setType('SCALAR').setArray(Uint32Array.from(indices)).setBuffer(buffer))
    if (indices instanceof Uint16Array) primitive.getIndices()!.setArray(indices)
    scene.addChild(document.createNode(name).setMesh(document.createMesh(name).addPrimitive(primitive)))
  }
  return new NodeIO().writeBinary(document)
}
