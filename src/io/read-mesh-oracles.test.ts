import { zipSync } from 'fflate'
import type { BufferGeometry } from 'three'
import { OBJLoader } from 'three/addons/loaders/OBJLoader.js'
import { PLYLoader } from 'three/addons/loaders/PLYLoader.js'
import { STLLoader } from 'three/addons/loaders/STLLoader.js'
import { afterEach, describe, expect, test, vi } from 'vitest'
import { asBinaryPly, asBinaryStl, asObj, asTextPly, asTextStl, type PlainMesh } from '../../tests/mesh-texts.ts'
import type { FileMesh } from '../core/mesh/file-mesh.ts'
import { ProblemError } from '../core/problem.ts'
import { icosphere } from '../core/spray/test-figures.ts'
import { readMesh } from './read-mesh.ts'

/** three's own loaders as independent readers, on files that they read rightly. */

const text = (t: string) => new TextEncoder().encode(t)
const read = (name: string, bytes: Uint8Array) => readMesh(name, bytes, new Map())

/** Corners of all triangles in order. */
const cornersOf = ({ positions, triangles }: FileMesh) =>
  Array.from({ length: 3 * triangles.length }, (_, i) => positions[3 * triangles[(i / 3) | 0] + (i % 3)])
const cornersOfThree = (geometry: BufferGeometry) => [
  // Some of three's attributes are still doubles.
  ...Float32Array.from((geometry.index ? geometry.toNonIndexed() : geometry).getAttribute('position').array),
]
/** Triangles as a set: a polygon may be cut from another corner. */
const asSet = (corners: readonly number[]) =>
  Array.from({ length: corners.length / 9 }, (_, t) => {
    const three = [0, 1, 2].map(k => corners.slice(9 * t + 3 * k, 9 * t + 3 * k + 3).join(' '))
    const first = three.indexOf([...three].sort()[0])
    return [0, 1, 2].map(k => three[(first + k) % 3]).join(' | ')
  }).sort()

const ball = icosphere(2, 1.7, [0.3, -2, 11])
const MESH: PlainMesh = {
  positions: Array.from({ length: ball.positions.length / 3 }, (_, v) => [...ball.positions.slice(3 * v, 3 * v + 3)]),
  triangles: Array.from({ length: ball.triangles.length / 3 }, (_, t) => [...ball.triangles.slice(3 * t, 3 * t + 3)]),
}

describe('the same corners as three, in the same order', () => {
  test.each([
    ['binary STL', asBinaryStl(MESH)],
    ['text STL', asTextStl(MESH)],
    [
      'text STL, spread and shouted',
      text(new TextDecoder().decode(asTextStl(MESH)).toUpperCase().replaceAll(' ', '\t ')),
    ],
  ])('%s', async (_, bytes) => {
    // three wants its words in lower case.
    const lower = bytes[0] === 0x53 ? text(new TextDecoder().decode(bytes).toLowerCase()) : bytes
    expect(cornersOf(await read('a.stl', bytes))).toEqual(cornersOfThree(new STLLoader().parse(lower.slice().buffer)))
  })
  test('binary STL at an odd address of a larger buffer', async () => {
    const whole = asBinaryStl(MESH)
    const larger = new Uint8Array(whole.length + 8)
    larger.set(whole, 3)
    const odd = larger.subarray(3, 3 + whole.length)
    expect(cornersOf(await read('a.stl', odd))).toEqual(cornersOfThree(new STLLoader().parse(whole.slice().buffer)))
  })
  test.each([
    ['text', asTextPly(MESH)],
    ['little-endian', asBinaryPly(MESH, true)],
    ['big-endian', asBinaryPly(MESH, false)],
  ])('PLY, %s', async (_, bytes) => {
    expect(cornersOf(await read('a.ply', bytes))).toEqual(cornersOfThree(new PLYLoader().parse(bytes.slice().buffer)))
  })
  test('PLY with lists and numbers of every kind beside what is needed', async () => {
    const rows = MESH.positions.map(([x, y, z], v) => `${v % 7} ${x} ${z} 0.5 ${y}`).join('\n')
    const faces = MESH.triangles.map((t, i) => `${i % 3} 3 ${t.join(' ')}`).join('\n')
    const bytes = text(
      `ply\nformat ascii 1.0\ncomment x\nelement vertex ${MESH.positions.length}\nproperty uchar flag\nproperty double x\nproperty float z\nproperty float quality\nproperty float y\nelement face ${MESH.triangles.length}\nproperty short group\nproperty list uchar uint vertex_index\nend_header\n${rows}\n${faces}\n`,
    )
    expect(cornersOf(await read('a.ply', bytes))).toEqual(cornersOfThree(new PLYLoader().parse(bytes.slice().buffer)))
  })
  test('OBJ with slashes, negative numbers, continued lines, quads, comments and two groups', async () => {
    const file = `# made for a test
mtllib none.mtl
g first
v 0 0 0 1.0
v 2 0 0.5
v 2 3 0.5 0.1 0.2 0.3
v 0 3 0
vt 0 0
vn 0 0 1
f 1/1/1 2/1/1 3//1 4
usemtl x
g second
v 5 5 5\r
v 6 5 \\
 5.25
v 5 7 5
f -3 -2 -1 # the newest three
f -1/1 -2/1 -4/1
`
    const mesh = await read('a.obj', text(file))
    // three reads a comment behind a face as more corners.
    const theirs = new OBJLoader().parse(file.replace(' # the newest three', ''))
    const corners = theirs.children.flatMap(child =>
      cornersOfThree((child as unknown as { geometry: BufferGeometry }).geometry),
    )
    expect(asSet(cornersOf(mesh))).toEqual(asSet(corners))
    expect(mesh.pieces).toEqual([
      { name: 'first', firstTriangle: 0, triangleCount: 2 },
      { name: 'second', firstTriangle: 2, triangleCount: 2 },
    ])
    expect(mesh.notes).toEqual([{ kind: 'polygons-split', count: 1 }])
  })
})

describe('the content decides, not the name', () => {
  test.each([
    ['a binary STL called OBJ', 'a.obj', asBinaryStl(MESH), 'stl'],
    ['a text STL called PLY', 'a.ply', asTextStl(MESH), 'stl'],
    ['an OBJ called STL', 'a.stl', asObj(MESH), 'obj'],
    ['an OBJ without a name', 'figure', asObj(MESH), 'obj'],
    ['a PLY called GLB', 'a.glb', asBinaryPly(MESH, true), 'ply'],
    ['a binary STL that begins like a PLY’s end', 'a.3mf', asBinaryStl(MESH, 'v 1'), 'stl'],
    ['a binary STL that begins with solid', 'a.stl', asBinaryStl(MESH, 'solid facet normal'), 'stl'],
  ])('%s', async (_, name, bytes, format) => {
    const mesh = await read(name, bytes)
    expect(mesh.format).toBe(format)
    expect(mesh.triangles.length).toBe(3 * MESH.triangles.length)
  })
  test('what is no mesh is named by its extension', async () => {
    const refused = await read('holiday.jpg', text('\xff\xd8\xff\xe0 JFIF')).catch(thrown => thrown.problem)
    expect(refused).toEqual({ code: 'file/unsupported', fileName: 'holiday.jpg', extension: 'jpg' })
  })
})

describe('coordinates that are none', () => {
  const broken = (count: number, word: string) => {
    const lines = new TextDecoder().decode(asTextStl(MESH)).split('\n')
    for (let n = 0, i = 0; n < count; i++)
      if (lines[i].startsWith('vertex')) {
        lines[i] = `vertex ${word} 0 0`
        n++
        i += 6
      }
    return text(lines.join('\n'))
  }
  test.each(['nan', 'inf', '-inf', '1e39', '1e30'])(
    'one %s in 320 triangles: that one goes, and is told',
    async word => {
      const mesh = await read('a.stl', broken(1, word))
      expect(mesh.triangles.length).toBe(3 * 319)
      expect(mesh.positions.every(v => Math.abs(v) < 20)).toBe(true)
      expect(mesh.notes).toEqual([{ kind: 'non-finite-dropped', count: 1 }])
    },
  )
  test('in more than one in a hundred: the file is refused', async () => {
    expect(await read('a.stl', broken(10, 'nan')).catch(thrown => thrown.problem)).toEqual({
      code: 'mesh/not-finite',
      fileName: 'a.stl',
      count: 10,
    })
  })
})

const as3mf = ({ positions, triangles }: PlainMesh) =>
  zipSync(
    {
      '_rels/.rels': text(
        '<Relationships><Relationship Target="/a.model" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>',
      ),
      'a.model': text(
        `<model><resources><object id="1"><mesh><vertices>${positions.map(([x, y, z]) => `<vertex x="${x}" y="${y}" z="${z}"/>`).join('')}</vertices><triangles>${triangles.map(([a, b, c]) => `<triangle v1="${a}" v2="${b}" v3="${c}"/>`).join('')}</triangles></mesh></object></resources></model>`,
      ),
    },
    { level: 1 },
  )

describe.each([
  ['a.obj', asObj],
  ['a.ply', asTextPly],
  ['a.stl', asTextStl],
  ['a.3mf', as3mf],
])('progress and cancel, %s', (name, as) => {
  const large = as({
    positions: Array.from({ length: 100_000 }, (_, i) => [i * 0.1, (i % 977) * 0.3, (i % 31) * 0.7]),
    triangles: Array.from({ length: 99_998 }, (_, i) => [i, i + 1, i + 2]),
  })
  /** A clock on which every look is 60 ms later: a breath is always due, on a fast machine too. */
  const hurry = () => {
    let now = 0
    vi.spyOn(performance, 'now').mockImplementation(() => (now += 60))
  }
  afterEach(() => {
    vi.restoreAllMocks()
  })
  test('progress rises from 0 towards 1', async () => {
    const seen: number[] = []
    hurry()
    await readMesh(name, large, new Map(), { onProgress: fraction => seen.push(fraction) })
    expect(seen.length).toBeGreaterThan(0)
    expect(seen).toEqual([...seen].sort((a, b) => a - b))
    expect(Math.min(...seen)).toBeGreaterThanOrEqual(0)
    expect(Math.max(...seen)).toBeLessThanOrEqual(1)
  })
  test('a cancel that arrives while reading ends it, with its own reason and not a Problem', async () => {
    const cancel = new AbortController()
    hurry()
    let breaths = 0
    const onProgress = () => {
      breaths++
      cancel.abort()
    }
    const thrown = await readMesh(name, large, new Map(), { signal: cancel.signal, onProgress }).catch(t => t)
    expect(breaths).toBe(1)
    expect(thrown).not.toBeInstanceOf(ProblemError)
    expect(thrown?.name).toBe('AbortError')
  })
})
