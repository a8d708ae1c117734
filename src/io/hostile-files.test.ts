import { Document, type JSONDocument, NodeIO } from '@gltf-transform/core'
import { EXTMeshoptCompression, KHRMeshQuantization } from '@gltf-transform/extensions'
import fc from 'fast-check'
import { zipSync } from 'fflate'
import { MeshoptEncoder } from 'meshoptimizer/encoder'
import { describe, expect, test } from 'vitest'
import { asGltf, type PlainMesh } from '../../tests/mesh-texts.ts'
import { ProblemError } from '../core/problem.ts'
import { readMesh } from './read-mesh.ts'

/**
 * Files that announce more than they hold, name what is not there, or cost more than they are worth. Kinds after the
 * probes in which other loaders hung, took gigabytes or wrapped numbers; the limits are wide against a slow machine.
 */

/** A crooked tetrahedron: no two numbers alike. */
const MESH: PlainMesh = {
  positions: [
    [0.25, 0.5, -1],
    [3, 0.125, 0.75],
    [-0.5, 2, 0.375],
    [0.625, 0.875, 4],
  ],
  triangles: [
    [0, 2, 1],
    [0, 1, 3],
    [1, 2, 3],
    [2, 0, 3],
  ],
}

const text = (t: string) => new TextEncoder().encode(t)
const read = (name: string, bytes: Uint8Array) => readMesh(name, bytes, new Map())

/** The refusal's code, found within 5 s; null when it loads. */
async function refusalOf(name: string, bytes: Uint8Array): Promise<string | null> {
  const started = performance.now()
  const code = await read(name, bytes).then(
    () => null,
    thrown => (thrown instanceof ProblemError ? thrown.problem.code : Promise.reject(thrown)),
  )
  expect(performance.now() - started, 'milliseconds').toBeLessThan(5000)
  return code
}

// biome-ignore lint/suspicious/noExplicitAny: the tests break the file on purpose
type Json = any
const gltf = (edit: (json: Json) => void) => {
  const json = JSON.parse(new TextDecoder().decode(asGltf(MESH)))
  edit(json)
  return text(JSON.stringify(json))
}
const packed = (json: Json, more: object) => {
  json.extensionsUsed = ['EXT_meshopt_compression']
  json.bufferViews[0].extensions = {
    EXT_meshopt_compression: { buffer: 0, byteLength: 48, byteStride: 12, count: 4, mode: 'ATTRIBUTES', ...more },
  }
}
const sparse = (count: unknown, byteOffset = 0) => ({
  count,
  indices: { bufferView: 1, componentType: 5125, byteOffset },
  values: { bufferView: 0 },
})

describe('glTF', () => {
  test.each<[string, (json: Json) => void, string]>([
    [
      'two thousand million replaced numbers',
      json => {
        json.accessors[0].sparse = sparse(2e9)
      },
      'file/damaged',
    ],
    [
      'replaced numbers past the end',
      json => {
        json.accessors[0].sparse = sparse(3, 4000)
      },
      'file/damaged',
    ],
    [
      'a stride of 0, by which twelve bytes are 30 million vertices',
      json => {
        json.bufferViews[0].byteStride = 0
        json.accessors[0].count = 30e6
      },
      'file/damaged',
    ],
    [
      'a stride that is a word',
      json => {
        json.bufferViews[0].byteStride = 'x'
        json.accessors[0].count = 30e6
      },
      'file/damaged',
    ],
    [
      'an offset before the beginning',
      json => {
        json.accessors[0].byteOffset = -1e6
        json.accessors[0].count = 80_000
      },
      'file/damaged',
    ],
    [
      'more replaced numbers than numbers',
      json => {
        json.accessors[0].count = 3
        json.accessors[0].sparse = sparse(4)
      },
      'file/damaged',
    ],
    ['packed bytes past the end', json => packed(json, { byteOffset: 1e6 }), 'file/damaged'],
    [
      '300,000 nodes',
      json => {
        json.nodes = Array.from({ length: 300_000 }, () => ({ mesh: 0 }))
      },
      'file/too-large',
    ],
    [
      'a thousand accessors over the same megabyte and a half',
      json => {
        const data = Buffer.alloc(1_500_000)
        json.buffers.push({ byteLength: data.length, uri: `data:;base64,${data.toString('base64')}` })
        json.bufferViews.push({ buffer: 1, byteLength: data.length })
        for (let i = 0; i < 1000; i++) {
          json.accessors.push({ bufferView: 2, componentType: 5126, count: 125_000, type: 'VEC3' })
          json.meshes[0].primitives.push({ attributes: { POSITION: 2 + i } })
        }
      },
      'file/too-large',
    ],
    [
      'indices that are no whole numbers',
      json => {
        json.accessors[1].componentType = 5126
      },
      'file/damaged',
    ],
    [
      'a kind of primitive that does not exist',
      json => {
        json.meshes[0].primitives[0].mode = 99
      },
      'file/damaged',
    ],
    [
      'a mesh called length',
      json => {
        json.nodes[0].mesh = 'length'
      },
      'file/damaged',
    ],
    [
      'a number type called constructor',
      json => {
        json.accessors[0].type = 'constructor'
      },
      'file/damaged',
    ],
    [
      'a matrix that is a word',
      json => {
        json.nodes[0].matrix = 'turned'
      },
      'file/damaged',
    ],
    [
      'a scene of nodes that are missing',
      json => {
        json.scenes[0].nodes = ['x', null, -1]
      },
      'file/damaged',
    ],
  ])('%s: refused', async (_, edit, code) => {
    expect(await refusalOf('a.gltf', gltf(edit))).toBe(code)
  })

  test('48 packed bytes that are to become 1.8 GB: refused before anything is made for them', async () => {
    const bytes = gltf(json => {
      packed(json, { byteStride: 256, count: 7e6 })
      json.buffers.push({ byteLength: 256 * 7e6, extensions: { EXT_meshopt_compression: { fallback: true } } })
      json.bufferViews[0].buffer = 1
      json.bufferViews[0].byteLength = 256 * 7e6
    })
    // The decoder refuses them too, but only with the memory taken: the words tell which of the two spoke.
    const problem = await read('a.gltf', bytes).catch(thrown => thrown.problem)
    expect(problem).toMatchObject({ code: 'file/damaged', detail: expect.stringContaining('more than it can hold') })
  })

  test('what is sound among these is read: strides, replaced numbers', async () => {
    const old = Buffer.from(JSON.parse(new TextDecoder().decode(asGltf(MESH))).buffers[0].uri.split(',')[1], 'base64')
    const wide = Buffer.alloc(4 * 20)
    MESH.positions.flat().forEach((value, i) => {
      wide.writeFloatLE(value, 4 + 20 * Math.floor(i / 3) + 4 * (i % 3))
    })
    const places = Buffer.from([2, 0, 0, 0])
    const values = Buffer.from(Float32Array.from([7, 8, 9]).buffer)
    const all = Buffer.concat([wide, old.subarray(48), places, values])
    const mesh = await read(
      'a.gltf',
      gltf(json => {
        json.buffers = [{ byteLength: all.length, uri: `data:;base64,${all.toString('base64')}` }]
        json.bufferViews = [
          { buffer: 0, byteLength: 80, byteStride: 20 },
          { buffer: 0, byteOffset: 80, byteLength: 48 },
          { buffer: 0, byteOffset: 128, byteLength: 4 },
          { buffer: 0, byteOffset: 132, byteLength: 12 },
        ]
        json.accessors[0].byteOffset = 4
        json.accessors[0].sparse = {
          count: 1,
          indices: { bufferView: 2, componentType: 5121 },
          values: { bufferView: 3 },
        }
      }),
    )
    expect([...mesh.positions]).toEqual([...MESH.positions[0], ...MESH.positions[1], 7, 8, 9, ...MESH.positions[3]])
  })

  test.each([
    // glTF 2.0, 3.7.2.1: strip p_i = {v_i, v_i+(1+i%2), v_i+(2−i%2)}, fan p_i = {v_i+1, v_i+2, v_0}.
    [
      'strip',
      5,
      [
        [0, 1, 2],
        [1, 3, 2],
        [2, 3, 4],
      ],
    ],
    [
      'fan',
      6,
      [
        [1, 2, 0],
        [2, 3, 0],
        [3, 4, 0],
      ],
    ],
  ])('a %s is what the specification says', async (_, mode, expected) => {
    const corners = [0, 1, 2, 3, 4].map(i => [Math.cos(i) + i * 0.3, Math.sin(2 * i) - i, 0.1 * i * i])
    const data = Buffer.from(Float32Array.from(corners.flat()).buffer)
    const mesh = await read(
      'a.gltf',
      gltf(json => {
        json.buffers = [{ byteLength: data.length, uri: `data:;base64,${data.toString('base64')}` }]
        json.bufferViews = [{ buffer: 0, byteLength: data.length }]
        json.accessors = [{ bufferView: 0, componentType: 5126, count: 5, type: 'VEC3' }]
        json.meshes[0].primitives = [{ attributes: { POSITION: 0 }, mode }]
      }),
    )
    // A triangle may begin at any of its corners, but not turn.
    const turned = (t: readonly number[]) => {
      const first = t.indexOf(Math.min(...t))
      return [t[first], t[(first + 1) % 3], t[(first + 2) % 3]]
    }
    const got = Array.from({ length: mesh.triangles.length / 3 }, (_, t) => [...mesh.triangles.slice(3 * t, 3 * t + 3)])
    expect(got.map(turned)).toEqual(expected.map(turned))
  })

  test('quantised and packed by another program, it is the same surface', async () => {
    await MeshoptEncoder.ready
    const document = new Document()
    const buffer = document.createBuffer()
    // Sixteenths of a unit as 16-bit numbers, put back by the node: exact.
    const places = document
      .createAccessor()
      .setType('VEC3')
      .setArray(Int16Array.from(MESH.positions.flat(), v => 16 * v))
      .setBuffer(buffer)
    const corners = document
      .createAccessor()
      .setType('SCALAR')
      .setArray(Uint16Array.from(MESH.triangles.flat()))
      .setBuffer(buffer)
    const primitive = document.createPrimitive().setAttribute('POSITION', places).setIndices(corners)
    const node = document
      .createNode('small')
      .setMesh(document.createMesh().addPrimitive(primitive))
      .setScale([1 / 16, 1 / 16, 1 / 16])
    document.getRoot().setDefaultScene(document.createScene().addChild(node))
    document.createExtension(KHRMeshQuantization).setRequired(true)
    document
      .createExtension(EXTMeshoptCompression)
      .setRequired(true)
      .setEncoderOptions({ method: EXTMeshoptCompression.EncoderMethod.QUANTIZE })
    const glb = await new NodeIO()
      .registerExtensions([KHRMeshQuantization, EXTMeshoptCompression])
      .registerDependencies({ 'meshopt.encoder': MeshoptEncoder })
      .writeBinary(document)
    expect(new TextDecoder().decode(glb)).toContain('"mode":"ATTRIBUTES"')
    const mesh = await read('a.glb', glb)
    expect([...mesh.positions]).toEqual(MESH.positions.flat())
    expect(mesh.triangles.length).toBe(12)
    expect(mesh.pieces[0].name).toBe('small')
  })
})

const model = (body: string) => `<?xml version="1.0"?><model unit="inch" xmlns="x">${body}</model>`
const MESH_XML = `<mesh><vertices>${MESH.positions
  .map(([x, y, z]) => `<vertex x="${x}" y="${y}" z="${z}"/>`)
  .join('')}</vertices><triangles>${MESH.triangles
  .map(([a, b, c]) => `<triangle v1="${a}" v2="${b}" v3="${c}"/>`)
  .join('')}</triangles></mesh>`
const WHOLE = model(`<resources><object id="1">${MESH_XML}</object></resources><build><item objectid="1"/></build>`)
const RELATIONSHIPS =
  '<Relationships><Relationship Target="/3D/a.model" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>'
const pack = (xml: string | Uint8Array) =>
  zipSync({ '_rels/.rels': text(RELATIONSHIPS), '3D/a.model': typeof xml === 'string' ? text(xml) : xml }, { level: 1 })

describe('3MF', () => {
  test('the model that the others are broken from is sound', async () => {
    expect((await read('a.3mf', pack(WHOLE))).triangles.length).toBe(12)
  })
  const levels = (wide: number, deep: number) =>
    model(
      `<resources><object id="0">${MESH_XML}</object>${Array.from(
        { length: deep },
        (_, i) =>
          `<object id="${i + 1}"><components>${`<component objectid="${i}"/>`.repeat(wide)}</components></object>`,
      ).join('')}</resources><build><item objectid="${deep}"/></build>`,
    )
  test.each<[string, () => string | Uint8Array, string]>([
    ['two million references in 100 objects', () => levels(20_000, 100), 'file/too-large'],
    ['few references, many times over', () => levels(900, 100), 'file/too-large'],
    [
      '300,000 objects',
      () => model(Array.from({ length: 300_000 }, (_, i) => `<object id="${i}"/>`).join('')),
      'file/too-large',
    ],
    ['a million tags inside one another', () => '<a>'.repeat(1e6), 'file/too-large'],
    ['a unit of 60 million blanks', () => `<model unit="${' '.repeat(6e7)}"/>`, 'file/damaged'],
    ['a text of 60 million letters', () => `<model>${'x'.repeat(6e7)}</model>`, 'file/damaged'],
    ['a unit called constructor', () => WHOLE.replace('inch', 'constructor'), 'file/damaged'],
    ['a coordinate in base 16', () => WHOLE.replace('x="3"', 'x="0x10"'), 'file/damaged'],
    ['a coordinate of nothing', () => WHOLE.replace('x="3"', 'x=""'), 'file/damaged'],
  ])('%s: refused', async (_, xml, code) => {
    expect(await refusalOf('a.3mf', pack(xml()))).toBe(code)
  })
  test('a complaint that quotes the file quotes 200 characters', async () => {
    const thrown = await read('a.3mf', pack(WHOLE.replace('inch', 'inch'.repeat(10_000)))).catch(t => t.problem)
    expect(thrown.detail.length).toBeLessThanOrEqual(200)
  })
})

describe('numbers that would wrap round to a vertex the file does not mean', () => {
  const obj = (face: string) => text(`v 0 0 0\nv 1 0 0\nv 0 1 0.5\n${face}\n`)
  const ply = (face: string, listOf = 'uchar int') =>
    text(
      `ply\nformat ascii 1.0\nelement vertex 3\nproperty float x\nproperty float y\nproperty float z\nelement face 1\nproperty list ${listOf} vertex_indices\nend_header\n0 0 0\n1 0 0\n0 1 0.5\n${face}\n`,
    )
  test.each([
    ['OBJ, 2³² + 1', 'a.obj', obj('f 4294967297 4294967298 4294967299'), 'mesh/index-out-of-range'],
    ['OBJ, before the first', 'a.obj', obj('f -4294967299 -4294967298 -4294967297'), 'mesh/index-out-of-range'],
    ['OBJ, one before the first', 'a.obj', obj('f -4 -2 -1'), 'mesh/index-out-of-range'],
    ['PLY, 2³²', 'a.ply', ply('3 4294967296 1 2'), 'mesh/index-out-of-range'],
    ['PLY, −2³²', 'a.ply', ply('3 -4294967296 1 2'), 'mesh/index-out-of-range'],
    ['PLY, nan', 'a.ply', ply('3 nan 1 2'), 'file/damaged'],
    ['PLY, a half', 'a.ply', ply('3 0.5 1 2'), 'file/damaged'],
    ['PLY, three and a half corners', 'a.ply', ply('3.5 0 1 2 1', 'float int'), 'file/damaged'],
    ['PLY, a type called constructor', 'a.ply', ply('3 0 1 2', 'uchar constructor'), 'file/damaged'],
  ])('%s: refused', async (_, name, bytes, code) => {
    expect(await refusalOf(name, bytes)).toBe(code)
  })
  test('the same faces with sound numbers are read', async () => {
    expect((await read('a.obj', obj('f -3 -2 -1'))).triangles.length).toBe(3)
    expect((await read('a.ply', ply('3 0 1 2'))).triangles.length).toBe(3)
  })
})

test('a read that is cancelled before it begins does not begin', async () => {
  const thrown = await readMesh('a.gltf', asGltf(MESH), new Map(), { signal: AbortSignal.abort() }).catch(t => t)
  expect(thrown?.name).toBe('AbortError')
})

/** Random bytes hardly ever get past the parser; these are broken where they still make sense to it. */
describe('broken in their meaning, not their spelling: a mesh that holds or a Problem', () => {
  const holdsOrRefuses = async (name: string, bytes: Uint8Array) => {
    const started = performance.now()
    try {
      const { positions, triangles, statedUnit } = await read(name, bytes)
      expect(positions.every(Number.isFinite)).toBe(true)
      expect(triangles.every(v => v < positions.length / 3)).toBe(true)
      expect(['string', 'object']).toContain(typeof statedUnit)
    } catch (thrown) {
      if (!(thrown instanceof ProblemError)) throw thrown
    }
    expect(performance.now() - started, 'milliseconds').toBeLessThan(5000)
  }
  const ODD = [
    null,
    true,
    -1,
    0,
    0.5,
    1,
    2,
    3,
    7,
    1e9,
    2e9,
    1e300,
    -2147483648,
    '',
    'x',
    '__proto__',
    'constructor',
    [],
    [0],
    [[]],
    {},
  ]
  const withSkinAndSparse = () => {
    const json = JSON.parse(new TextDecoder().decode(asGltf(MESH)))
    json.accessors[0].sparse = sparse(1)
    json.extensionsUsed = ['EXT_meshopt_compression', 'KHR_mesh_quantization']
    json.bufferViews.push({
      buffer: 0,
      byteLength: 48,
      extensions: {
        EXT_meshopt_compression: { buffer: 0, byteLength: 48, byteStride: 12, count: 4, mode: 'ATTRIBUTES' },
      },
    })
    json.accessors.push({ bufferView: 0, componentType: 5121, count: 4, type: 'VEC4' })
    json.meshes[0].primitives[0].attributes = { POSITION: 0, JOINTS_0: 2, WEIGHTS_0: 2 }
    json.skins = [{ joints: [1], inverseBindMatrices: 2 }]
    json.nodes = [
      { mesh: 0, skin: 0, translation: [1, 2, 3] },
      { children: [2], rotation: [0, 0, 0, 1] },
      { matrix: [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1] },
    ]
    json.scenes[0].nodes = [0, 1]
    return json as JSONDocument['json']
  }
  const pathsOf = (value: Json, path: (string | number)[] = []): (string | number)[][] =>
    typeof value !== 'object' || value === null
      ? [path]
      : [path, ...Object.keys(value).flatMap(key => pathsOf(value[key], [...path, key]))]
  const paths = pathsOf(withSkinAndSparse()).filter(path => path.length > 0)

  test('glTF: any one or two of its values', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.tuple(fc.constantFrom(...paths), fc.constantFrom(...ODD)), { minLength: 1, maxLength: 2 }),
        async edits => {
          const json: Json = withSkinAndSparse()
          for (const [path, odd] of edits) {
            let at = json
            for (const key of path.slice(0, -1)) at = at?.[key]
            if (typeof at === 'object' && at !== null) at[path[path.length - 1]] = odd
          }
          await holdsOrRefuses('a.gltf', text(JSON.stringify(json)))
        },
      ),
      { numRuns: 1500, seed: 20_261_125 },
    )
  })
  test('3MF: any of its names and values', async () => {
    const full = model(
      `<resources><object id="1" name="a">${MESH_XML}</object><object id="2"><components><component objectid="1" transform="1 0 0 0 1 0 0 0 1 5 0 0"/></components></object></resources><build><item objectid="2" p:path="/3D/a.model" transform="2 0 0 0 1 0 0 0 1 0 7 0"/></build>`,
    )
    const words = [...full.matchAll(/[\w./-]+/g)].map(match => [match.index, match[0].length] as const)
    const odd = [
      '',
      '0',
      '2',
      '-1',
      '1e9',
      '99999999999',
      '0.5',
      'NaN',
      'Infinity',
      'constructor',
      '__proto__',
      'object',
      'mesh',
      'vertex',
      'component',
      'item',
      '"',
      '>',
      '<',
      '/>',
    ]
    await fc.assert(
      fc.asyncProperty(fc.constantFrom(...words), fc.constantFrom(...odd), async ([at, length], word) => {
        await holdsOrRefuses('a.3mf', pack(full.slice(0, at) + word + full.slice(at + length)))
      }),
      { numRuns: 600, seed: 20_261_125 },
    )
  })
})
