import { Document, WebIO } from '@gltf-transform/core'
import type { Figure, Part } from '../core/mesh/figure.ts'

/**
 * The figure with its colours as one binary glTF 2.0 file: metres, +y up, +z the front, one node and mesh a part, with
 * the part's name. COLOR_0 is linear (sRGB primaries, as glTF asks), three floats a vertex, cut to 0…1; the material is
 * white and matt, so that a viewer multiplies the colours by its light and nothing else.
 * @param linearRgb 3·V
 */
export async function writeGlb(figure: Figure, linearRgb: Float32Array): Promise<Uint8Array> {
  const document = new Document()
  document.getRoot().getAsset().generator = 'Greycoat'
  const buffer = document.createBuffer()
  const scene = document.createScene('figure')
  document.getRoot().setDefaultScene(scene)
  const material = document
    .createMaterial('paint')
    .setMetallicFactor(0)
    .setRoughnessFactor(1)
    // Open shells show their inside here too.
    .setDoubleSided(true)

  for (const part of figure.parts) {
    const attribute = (array: Float32Array) =>
      document.createAccessor().setBuffer(buffer).setType('VEC3').setArray(array)
    const primitive = document
      .createPrimitive()
      .setMaterial(material)
      .setIndices(document.createAccessor().setBuffer(buffer).setType('SCALAR').setArray(indicesOf(figure, part)))
      .setAttribute('POSITION', attribute(verticesOf(part, figure.positions).map(mm => mm / 1000)))
      .setAttribute('NORMAL', attribute(verticesOf(part, figure.normals).slice()))
      .setAttribute('COLOR_0', attribute(verticesOf(part, linearRgb).map(c => Math.min(1, Math.max(0, c)))))
    const mesh = document.createMesh(part.name).addPrimitive(primitive)
    scene.addChild(document.createNode(part.name).setMesh(mesh))
  }
  return new WebIO().writeBinary(document)
}

const verticesOf = ({ firstVertex, vertexCount }: Part, array: Float32Array): Float32Array =>
  array.subarray(3 * firstVertex, 3 * (firstVertex + vertexCount))

/** Two bytes an index where that is enough; 65,535 itself is kept free, as glTF demands. */
function indicesOf({ triangles }: Figure, part: Part): Uint16Array<ArrayBuffer> | Uint32Array<ArrayBuffer> {
  const own = triangles.subarray(3 * part.firstTriangle, 3 * (part.firstTriangle + part.triangleCount))
  const indices = part.vertexCount < 65_536 ? new Uint16Array(own.length) : new Uint32Array(own.length)
  for (let i = 0; i < own.length; i++) indices[i] = own[i] - part.firstVertex
  return indices
}
