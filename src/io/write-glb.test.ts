import { NodeIO } from '@gltf-transform/core'
import { describe, expect, test } from 'vitest'
import { figureOf, icosphere, sheet } from '../core/spray/test-figures.ts'
import { writeGlb } from './write-glb.ts'

const base = figureOf([icosphere(2, 8, [0, 8, 1]), sheet(3, 2, (u, v) => [20 + 10 * u, 12 * v, -u])])
const figure = { ...base, parts: base.parts.map((part, i) => ({ ...part, name: ['Helm „links“', 'shield'][i] })) }
const rgb = Float32Array.from({ length: figure.positions.length }, (_, i) => ((i * 37) % 101) / 100)

const read = async (linearRgb: Float32Array) => new NodeIO().readBinary(await writeGlb(figure, linearRgb))

describe('read back by glTF-Transform', () => {
  test('one node a part, by name, in order', async () => {
    const root = (await read(rgb)).getRoot()
    expect(root.listNodes().map(node => node.getName())).toEqual(['Helm „links“', 'shield'])
    expect(root.getDefaultScene()?.listChildren()).toHaveLength(2)
    expect(root.getAsset().version).toBe('2.0')
  })

  test('metres, normals, linear colours and triangles of every part', async () => {
    const document = await read(rgb)
    document
      .getRoot()
      .listNodes()
      .forEach((node, i) => {
        const part = figure.parts[i]
        const [primitive] = node.getMesh()?.listPrimitives() ?? []
        const range = [3 * part.firstVertex, 3 * (part.firstVertex + part.vertexCount)] as const
        const array = (name: string) => [...(primitive.getAttribute(name)?.getArray() ?? [])]
        const apart = (got: number[], wanted: number[]) => Math.max(...wanted.map((w, k) => Math.abs(w - got[k])))
        const mm = [...figure.positions.slice(...range)]
        expect(array('POSITION')).toHaveLength(mm.length)
        expect(
          apart(
            array('POSITION'),
            mm.map(x => x * 0.001),
          ),
        ).toBeLessThan(1e-8)
        expect(array('NORMAL')).toEqual([...figure.normals.slice(...range)])
        expect(array('COLOR_0')).toEqual([...rgb.slice(...range)])
        const corners = [...(primitive.getIndices()?.getArray() ?? [])].map(v => v + part.firstVertex)
        expect(corners).toEqual([
          ...figure.triangles.slice(3 * part.firstTriangle, 3 * (part.firstTriangle + part.triangleCount)),
        ])
      })
  })

  test('colours outside of sRGB are cut off, not wrapped', async () => {
    const wild = rgb.map((_, i) => [-0.2, 1.3, 0.5][i % 3])
    const [mesh] = (await read(wild)).getRoot().listMeshes()
    expect([...(mesh.listPrimitives()[0].getAttribute('COLOR_0')?.getArray() ?? [])].slice(0, 3)).toEqual([0, 1, 0.5])
  })

  test('a part of more vertices than two bytes count', async () => {
    const large = figureOf([sheet(300, 300, (u, v) => [u, v, 0])])
    const bytes = await writeGlb(large, new Float32Array(large.positions.length))
    const [mesh] = (await new NodeIO().readBinary(bytes)).getRoot().listMeshes()
    const indices = mesh.listPrimitives()[0].getIndices()
    expect(indices?.getArray()).toBeInstanceOf(Uint32Array)
    expect([...(indices?.getArray() ?? [])].slice(-3)).toEqual([...large.triangles.slice(-3)])
  })
})

test('the first bytes are those of a glTF 2 container, and the length it states is its own', async () => {
  // glTF 2.0, §4.4: magic 'glTF', version 2, total length.
  const bytes = await writeGlb(figure, rgb)
  const view = new DataView(bytes.buffer, bytes.byteOffset)
  expect([view.getUint32(0, true), view.getUint32(4, true), view.getUint32(8, true)]).toEqual([
    0x46546c67,
    2,
    bytes.byteLength,
  ])
})
