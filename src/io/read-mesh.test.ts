import fc from 'fast-check'
import { zipSync } from 'fflate'
import { describe, expect, test } from 'vitest'
import {
  asBinaryPly,
  asBinaryStl,
  asGltf,
  asObj,
  asTextPly,
  asTextStl,
  type PlainMesh,
} from '../../tests/mesh-texts.ts'
import { ProblemError } from '../core/problem.ts'
import { readMesh } from './read-mesh.ts'

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

const model = (body: string, unit = 'inch') =>
  `<?xml version="1.0"?><model unit="${unit}" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02">${body}</model>`
const meshXml = ({ positions, triangles }: PlainMesh) =>
  `<mesh><vertices>${positions.map(([x, y, z]) => `<vertex x="${x}" y="${y}" z="${z}"/>`).join('')}</vertices><triangles>${triangles
    .map(([a, b, c]) => `<triangle v1="${a}" v2="${b}" v3="${c}"/>`)
    .join('')}</triangles></mesh>`
const text = (t: string) => new TextEncoder().encode(t)
const RELATIONSHIPS =
  '<Relationships><Relationship Target="/3D/a.model" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>'
const pack = (xml: string, extra: Record<string, Uint8Array> = {}) =>
  zipSync({ '_rels/.rels': text(RELATIONSHIPS), '3D/a.model': text(xml), ...extra })

const read = (name: string, bytes: Uint8Array, side = new Map<string, Uint8Array>()) => readMesh(name, bytes, side)
const refusal = async (name: string, bytes: Uint8Array) => {
  const started = performance.now()
  const problem = await read(name, bytes).then(
    () => null,
    thrown => (thrown instanceof ProblemError ? thrown.problem : Promise.reject(thrown)),
  )
  expect(performance.now() - started, 'milliseconds').toBeLessThan(5000)
  return problem
}

describe('3MF', () => {
  test('an item is scaled, turned and moved as its transform says; the unit is stated', async () => {
    // x' = 2x + 10, y' = −z + 20, z' = y + 30: a row-vector matrix, row by row.
    const xml = model(
      `<resources><object id="7" name="bent">${meshXml(MESH)}</object></resources><build><item objectid="7" transform="2 0 0 0 0 1 0 -1 0 10 20 30"/></build>`,
    )
    const mesh = await read('a.3mf', pack(xml))
    expect(mesh.statedUnit).toBe('in')
    expect(mesh.statedUp).toBe('+z')
    expect(mesh.pieces.map(p => p.name)).toEqual(['bent'])
    const [x, y, z] = MESH.positions[1]
    expect([...mesh.positions.slice(3, 6)]).toEqual([2 * x + 10, -z + 20, y + 30])
  })
  test('components stand where both transforms put them', async () => {
    const xml = model(
      `<resources><object id="1">${meshXml(MESH)}</object><object id="2"><components><component objectid="1" transform="1 0 0 0 1 0 0 0 1 5 0 0"/><component objectid="1"/></components></object></resources><build><item objectid="2" transform="2 0 0 0 1 0 0 0 1 0 7 0"/></build>`,
      'millimeter',
    )
    const mesh = await read('a.3mf', pack(xml))
    expect(mesh.pieces.length).toBe(2)
    const [x, y, z] = MESH.positions[0]
    expect([...mesh.positions.slice(0, 3)]).toEqual([2 * (x + 5), y + 7, z])
  })
  test.each([
    [
      'an object that holds itself',
      model(
        '<resources><object id="1"><components><component objectid="1"/></components></object></resources><build><item objectid="1"/></build>',
      ),
      'file/damaged',
    ],
    [
      'a document type',
      `<!DOCTYPE m [<!ENTITY a "x">]>${model(`<resources><object id="1">${meshXml(MESH)}</object></resources>`)}`,
      'file/damaged',
    ],
    [
      'an index past the vertices',
      model(`<resources><object id="1">${meshXml({ ...MESH, triangles: [[0, 1, 99]] })}</object></resources>`),
      'mesh/index-out-of-range',
    ],
    [
      'an object named __proto__ that is missing',
      model('<resources/><build><item objectid="__proto__"/></build>'),
      'file/damaged',
    ],
  ])('%s is refused', async (_, xml, code) => {
    expect((await refusal('a.3mf', pack(xml)))?.code).toBe(code)
  })
  test('25 levels of doubled components end at the limit, not in the machine', async () => {
    const levels = Array.from(
      { length: 25 },
      (_, i) =>
        `<object id="${i + 2}"><components><component objectid="${i + 1}"/><component objectid="${i + 1}"/></components></object>`,
    ).join('')
    const xml = model(
      `<resources><object id="1">${meshXml(MESH)}</object>${levels}</resources><build><item objectid="26"/></build>`,
    )
    expect((await refusal('a.3mf', pack(xml)))?.code).toBe('file/too-large')
  })
  test('megabytes of nothing beside the model are never inflated', async () => {
    const xml = model(
      `<resources><object id="1">${meshXml(MESH)}</object></resources><build><item objectid="1"/></build>`,
    )
    const mesh = await readMesh('a.3mf', pack(xml, { 'zeros.bin': new Uint8Array(50_000_000) }), new Map(), {
      limits: { inflatedBytes: 100_000 },
    })
    expect(mesh.triangles.length).toBe(12)
  })
  test('a model that inflates past the limit is refused', async () => {
    const xml = model(`<!--${' '.repeat(5_000_000)}--><resources/>`)
    const problem = await readMesh('a.3mf', pack(xml), new Map(), { limits: { inflatedBytes: 1_000_000 } }).catch(
      thrown => thrown.problem,
    )
    expect(problem?.code).toBe('file/too-large')
  })
})

describe('glTF', () => {
  const edited = (edit: (json: Record<string, never>) => void) => {
    const json = JSON.parse(new TextDecoder().decode(asGltf(MESH)))
    edit(json)
    return text(JSON.stringify(json))
  }
  // biome-ignore lint/suspicious/noExplicitAny: the tests break the file on purpose
  type Broken = any
  test('a node stands where its parents put it; a mirrored one is turned right side out', async () => {
    const mesh = await read(
      'a.gltf',
      edited((json: Broken) => {
        json.nodes = [
          { children: [1], translation: [1, 2, 3] },
          { mesh: 0, name: 'child', scale: [-2, 1, 1] },
        ]
      }),
    )
    const [x, y, z] = MESH.positions[1]
    expect([...mesh.positions.slice(3, 6)]).toEqual([1 - 2 * x, y + 2, z + 3])
    expect([...mesh.triangles.slice(0, 3)]).toEqual([MESH.triangles[0][0], MESH.triangles[0][2], MESH.triangles[0][1]])
  })
  test('a buffer in another file is taken from what came with it, by name, and asked for otherwise', async () => {
    const whole = JSON.parse(new TextDecoder().decode(asGltf(MESH)))
    const data = Uint8Array.from(Buffer.from(whole.buffers[0].uri.split(',')[1], 'base64'))
    const apart = edited((json: Broken) => {
      json.buffers[0].uri = 'sub%20folder/data.bin'
    })
    expect(await refusal('a.gltf', apart)).toMatchObject({ code: 'file/needs', missing: 'data.bin' })
    const mesh = await read('a.gltf', apart, new Map([['data.bin', data]]))
    expect(mesh.triangles.length).toBe(12)
  })
  test.each([
    [
      'a buffer on another host',
      (json: Broken) => {
        json.buffers[0].uri = 'http://example.com/x.bin'
      },
      'file/needs',
    ],
    [
      'nodes in a circle',
      (json: Broken) => {
        json.nodes = [{ mesh: 0, children: [1] }, { children: [0] }]
      },
      'file/damaged',
    ],
    [
      'an accessor of 200 million vertices without bytes',
      (json: Broken) => {
        json.accessors[0] = { componentType: 5126, count: 2e8, type: 'VEC3' }
      },
      'file/too-large',
    ],
    [
      'an accessor past its view',
      (json: Broken) => {
        json.accessors[0].count = 5000
      },
      'file/damaged',
    ],
    [
      'an index past the vertices',
      (json: Broken) => {
        json.accessors[0].count = 3
      },
      'mesh/index-out-of-range',
    ],
    [
      'a compression that is not read',
      (json: Broken) => {
        json.extensionsRequired = ['VENDOR_mesh_compression']
      },
      'file/extension-missing',
    ],
  ])('%s is refused', async (_, edit, code) => {
    expect((await refusal('a.gltf', edited(edit)))?.code).toBe(code)
  })
  describe('skins', () => {
    /** Appends float rows to the one buffer and an accessor over them. */
    const withSkin = (json: Broken, skin: { joints: number[]; weights: number[][]; inverse: number[][] }) => {
      const old = Buffer.from(json.buffers[0].uri.split(',')[1], 'base64')
      const joints = Buffer.from(Uint8Array.from(skin.joints.flatMap(j => [j, 1 - j, 0, 0])))
      const weights = Buffer.from(Float32Array.from(skin.weights.flat()).buffer)
      const inverse = Buffer.from(Float32Array.from(skin.inverse.flat()).buffer)
      const all = Buffer.concat([old, joints, weights, inverse])
      json.buffers[0] = { byteLength: all.length, uri: `data:;base64,${all.toString('base64')}` }
      let byteOffset = old.length
      for (const [bytes, componentType, type, count] of [
        [joints, 5121, 'VEC4', 4],
        [weights, 5126, 'VEC4', 4],
        [inverse, 5126, 'MAT4', 2],
      ] as const) {
        json.accessors.push({ bufferView: json.bufferViews.length, componentType, type, count })
        json.bufferViews.push({ buffer: 0, byteOffset, byteLength: bytes.length })
        byteOffset += bytes.length
      }
      json.meshes[0].primitives[0].attributes.JOINTS_0 = 2
      json.meshes[0].primitives[0].attributes.WEIGHTS_0 = 3
      json.skins = [{ joints: [1, 2], inverseBindMatrices: 4 }]
      json.nodes = [
        // The node's own place must not count.
        { mesh: 0, skin: 0, translation: [100, 100, 100] },
        { translation: [1, 0, 0], children: [2] },
        { translation: [0, 2, 0], scale: [3, 3, 3] },
      ]
      json.scenes = [{ nodes: [0, 1] }]
    }
    const move = (x: number, y: number, z: number) => [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, x, y, z, 1]
    const skin = {
      joints: [0, 1, 0, 1],
      weights: [
        [1, 0, 0, 0],
        [1, 0, 0, 0],
        // Weights that add up to 2 count in proportion.
        [0.5, 1.5, 0, 0],
        [0, 0, 0, 0],
      ],
      inverse: [move(-1, 0, 0), move(0, 0, 5)],
    }
    test('vertices follow their joints: world · inverse bind, weighted', async () => {
      const mesh = await read(
        'a.gltf',
        edited(json => withSkin(json, skin)),
      )
      const at = (v: number) => [...mesh.positions.slice(3 * v, 3 * v + 3)]
      // Joint 0: moved by (1, 0, 0) after (−1, 0, 0): stays. Joint 1: 3·(p + (0, 0, 5)) + (1, 2, 0).
      const byJoint1 = ([x, y, z]: readonly number[]) => [3 * x + 1, 3 * y + 2, 3 * (z + 5)]
      expect(at(0)).toEqual(MESH.positions[0])
      expect(at(1)).toEqual(byJoint1(MESH.positions[1]))
      const second = byJoint1(MESH.positions[2])
      expect(at(2)).toEqual(MESH.positions[2].map((v, k) => Math.fround(0.25 * v + 0.75 * second[k])))
      // Held by no joint: the node's own place is the best there is.
      expect(at(3)).toEqual(MESH.positions[3].map(v => Math.fround(v + 100)))
    })
    test('a skin that does not hold is left out, with a note', async () => {
      const mesh = await read(
        'a.gltf',
        edited((json: Broken) => {
          withSkin(json, skin)
          json.skins[0].joints = [1, 77]
        }),
      )
      expect(mesh.positions[0]).toBe(100 + MESH.positions[0][0])
      expect(mesh.notes).toEqual([{ kind: 'unsupported-ignored', count: 1 }])
    })
  })
  test('20,000 nodes deep is only deep', async () => {
    const deep = edited((json: Broken) => {
      json.nodes = Array.from({ length: 20_000 }, (_, i) => (i < 19_999 ? { children: [i + 1] } : { mesh: 0 }))
    })
    const started = performance.now()
    await read('a.gltf', deep).then(
      mesh => expect(mesh.triangles.length).toBe(12),
      thrown => expect(thrown).toBeInstanceOf(ProblemError),
    )
    expect(performance.now() - started).toBeLessThan(5000)
  })
})

describe('hostile text', () => {
  test.each([
    ['facet repeated', 'a.stl', text('facet '.repeat(170_000))],
    ['solid repeated', 'a.stl', text('solid '.repeat(170_000))],
    [
      'a header of two thousand million',
      'a.stl',
      (() => {
        const b = new Uint8Array(200)
        new DataView(b.buffer).setUint32(80, 2e9, true)
        return b
      })(),
    ],
    [
      'a PLY that announces two thousand million of nothing',
      'a.ply',
      text(
        'ply\nformat ascii 1.0\nelement vertex 2000000000\nelement face 1\nproperty list uchar int vertex_indices\nend_header\n',
      ),
    ],
    ['a PLY index past its vertices', 'a.ply', asTextPly({ ...MESH, triangles: [[0, 1, 99]] })],
    ['words among the numbers', 'a.obj', text('v 0 0 nought\nf 1 1 1\n')],
    ['a file of nothing', 'a.stl', new Uint8Array(0)],
    ['a PDF', 'a.pdf', text('%PDF-1.7')],
  ])('%s is refused', async (_, name, bytes) => {
    expect(await refusal(name, bytes)).not.toBeNull()
  })
  test('200,000 objects in one OBJ', async () => {
    const one = 'o x\nv 0 0 0\nv 1 0 0\nv 0 1 0.5\nf -3 -2 -1\n'
    const started = performance.now()
    const mesh = await read('a.obj', text(one.repeat(200_000)))
    expect(mesh.triangles.length).toBe(600_000)
    expect(performance.now() - started).toBeLessThan(5000)
  })
})

describe('cut short or with bits flipped, every format gives a mesh that holds or a Problem', () => {
  const files: readonly (readonly [string, Uint8Array])[] = [
    ['a.obj', asObj(MESH)],
    ['a.ply', asTextPly(MESH)],
    ['b.ply', asBinaryPly(MESH, false)],
    ['a.stl', asBinaryStl(MESH)],
    ['b.stl', asTextStl(MESH)],
    ['a.gltf', asGltf(MESH)],
    [
      'a.3mf',
      pack(model(`<resources><object id="1">${meshXml(MESH)}</object></resources><build><item objectid="1"/></build>`)),
    ],
  ]
  test.each(files)('%s', async (name, whole) => {
    await fc.assert(
      fc.asyncProperty(
        fc.nat(whole.length),
        fc.array(fc.tuple(fc.nat(whole.length - 1), fc.nat(7)), { maxLength: 6 }),
        async (length, flips) => {
          const bytes = whole.slice(0, flips.length % 2 === 0 ? length : whole.length)
          for (const [at, bit] of flips) if (at < bytes.length) bytes[at] ^= 1 << bit
          try {
            const { positions, triangles } = await read(name, bytes)
            expect(positions.every(Number.isFinite)).toBe(true)
            expect(triangles.every(v => v < positions.length / 3)).toBe(true)
          } catch (thrown) {
            if (!(thrown instanceof ProblemError)) throw thrown
          }
        },
      ),
      { numRuns: 150, seed: 20_261_125 },
    )
  })
})
