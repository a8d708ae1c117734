import { zipSync } from 'fflate'
import { describe, expect, test } from 'vitest'
import { enclosedVolume } from '../core/mesh/weld-file-mesh.ts'
import { readMesh } from './read-mesh.ts'

/** 3MF core specification 1.3 and production extension 1.1: what a package of several parts means. */

const text = (t: string) => new TextEncoder().encode(t)
const RELATIONSHIPS = (target: string) =>
  `<Relationships><Relationship Target="${target}" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>`
const model = (body: string, unit = 'millimeter') =>
  `<?xml version="1.0"?><model unit="${unit}" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02" xmlns:p="http://schemas.microsoft.com/3dmanufacturing/production/2015/06">${body}</model>`
/** Corner at the origin, legs 2, 3 and 5 along x, y and z: volume 2·3·5/6 = 5. */
const TETRAHEDRON =
  '<mesh><vertices><vertex x="0" y="0" z="0"/><vertex x="2" y="0" z="0"/><vertex x="0" y="3" z="0"/><vertex x="0" y="0" z="5"/></vertices><triangles><triangle v1="0" v2="2" v3="1"/><triangle v1="0" v2="1" v3="3"/><triangle v1="0" v2="3" v3="2"/><triangle v1="1" v2="2" v3="3"/></triangles></mesh>'
const whole = (build: string) => model(`<resources><object id="1">${TETRAHEDRON}</object></resources>${build}`)
const pack = (parts: Record<string, string>, start = '/3D/root.model') =>
  zipSync({
    '_rels/.rels': text(RELATIONSHIPS(start)),
    ...Object.fromEntries(Object.entries(parts).map(([name, xml]) => [name, text(xml)])),
  })
const read = (bytes: Uint8Array) => readMesh('a.3mf', bytes, new Map())
const refusal = (bytes: Uint8Array) =>
  read(bytes).then(
    () => null,
    thrown => thrown.problem?.code,
  )

describe('parts of the package', () => {
  const leaf = model(
    `<resources><object id="1" name="leaf">${TETRAHEDRON}</object><object id="2" name="pair"><components><component objectid="1"/><component objectid="1" transform="1 0 0 0 1 0 0 0 1 100 0 0"/></components></object></resources><build/>`,
    'inch',
  )
  const root = (path: string) =>
    model(
      `<resources><object id="1" name="not this one">${TETRAHEDRON}</object></resources><build><item objectid="2" p:path="${path}" transform="1 0 0 0 1 0 0 0 1 0 0 7"/></build>`,
    )
  test('an item in another part: ids are those of that part, the unit that of the root', async () => {
    const mesh = await read(pack({ '3D/root.model': root('/3D/deep/leaf.model'), '3D/deep/leaf.model': leaf }))
    expect(mesh.pieces.map(piece => piece.name)).toEqual(['leaf', 'leaf'])
    expect(mesh.statedUnit).toBe('mm')
    expect([...mesh.positions.slice(0, 3)]).toEqual([0, 0, 7])
    expect([...mesh.positions.slice(12, 15)]).toEqual([100, 0, 7])
  })
  test('part names are the same in capitals (OPC, ECMA-376-2)', async () => {
    const mesh = await read(pack({ '3D/root.model': root('/3d/DEEP/leaf.MODEL'), '3D/deep/leaf.model': leaf }))
    expect(mesh.pieces.length).toBe(2)
  })
  test('a part that is missing, or stands twice but for capitals', async () => {
    expect(await refusal(pack({ '3D/root.model': root('/3D/nowhere.model') }))).toBe('file/damaged')
    const twice = { '3D/root.model': root('/3D/leaf.model'), '3D/leaf.model': leaf, '3D/LEAF.model': leaf }
    expect(await refusal(pack(twice))).toBe('file/damaged')
  })
  test('the model is the one the relationships name, not the first or the usual one', async () => {
    const parts = {
      '3D/3dmodel.model': 'no XML at all',
      'other/place.model': whole('<build><item objectid="1"/></build>'),
    }
    expect((await read(pack(parts, '/other/place.model'))).triangles.length).toBe(12)
  })
  test('parts that name one another in a circle are read once each, and the circle of objects refused', async () => {
    const to = (path: string) =>
      model(
        `<resources><object id="1"><components><component objectid="1" p:path="${path}"/></components></object></resources><build><item objectid="1"/></build>`,
      )
    const circle = { '3D/root.model': to('/3D/b.model'), '3D/b.model': to('/3D/root.model') }
    expect(await refusal(pack(circle))).toBe('file/damaged')
  })
})

describe('what is built', () => {
  test('an object that no item names is not', async () => {
    const two = model(
      `<resources><object id="1">${TETRAHEDRON}</object><object id="2" name="built">${TETRAHEDRON}</object></resources><build><item objectid="2"/></build>`,
    )
    expect((await read(pack({ '3D/root.model': two }))).pieces.map(piece => piece.name)).toEqual(['built'])
  })
  test.each([
    ['as it is', '1 0 0 0 1 0 0 0 1 0 0 0', 5],
    ['mirrored: right side out all the same', '-1 0 0 0 1 0 0 0 1 9 0 0', 5],
    ['mirrored and stretched', '0 2 0 3 0 0 0 0 1 0 0 0', 30],
    ['mirrored in all three', '-1 0 0 0 -2 0 0 0 -1 0 0 0', 10],
  ])('%s: enclosed volume', async (_, transform, volume) => {
    const mesh = await read(
      pack({ '3D/root.model': whole(`<build><item objectid="1" transform="${transform}"/></build>`) }),
    )
    expect(enclosedVolume(mesh.positions, mesh.triangles)).toBeCloseTo(volume, 5)
  })
  test.each([
    ['micron', 'µm'],
    ['millimeter', 'mm'],
    ['centimeter', 'cm'],
    ['meter', 'm'],
    ['inch', 'in'],
    ['foot', 'ft'],
  ])('unit %s', async (unit, expected) => {
    const xml = whole('<build><item objectid="1"/></build>').replace('millimeter', unit)
    expect((await read(pack({ '3D/root.model': xml }))).statedUnit).toBe(expected)
  })
  test('without a unit: millimetres (core specification, 3.4)', async () => {
    const xml = whole('<build><item objectid="1"/></build>').replace(' unit="millimeter"', '')
    expect((await read(pack({ '3D/root.model': xml }))).statedUnit).toBe('mm')
  })
})

describe('the zip', () => {
  const file = pack({ '3D/root.model': whole('<build><item objectid="1"/></build>') })
  /** Bytes of every central directory entry. */
  const entries = (bytes: Uint8Array) => {
    const at: number[] = []
    for (let i = 0; i + 4 < bytes.length; i++)
      if (bytes[i] === 0x50 && bytes[i + 1] === 0x4b && bytes[i + 2] === 1 && bytes[i + 3] === 2) at.push(i)
    return at
  }
  test('an entry with a password is called locked, not damaged', async () => {
    const locked = file.slice()
    // APPNOTE 4.4.4: bit 0 of the general purpose flags.
    for (const at of entries(locked)) locked[at + 8] |= 1
    expect(entries(locked).length).toBe(2)
    expect(await refusal(locked)).toBe('file/encrypted')
  })
  test('stored or deflated, with a comment behind it', async () => {
    const xml = whole('<build><item objectid="1"/></build>')
    const stored = zipSync({ '_rels/.rels': text(RELATIONSHIPS('/m')), m: text(xml) }, { level: 0 })
    const commented = new Uint8Array([...stored, ...text('made for a test')])
    commented[stored.length - 2] = 15
    expect((await read(commented)).triangles.length).toBe(12)
  })
  test('sizes that the directory understates: as much is read as is there, and no more', async () => {
    const short = file.slice()
    const view = new DataView(short.buffer)
    for (const at of entries(short)) view.setUint32(at + 24, 1, true)
    expect((await read(short)).triangles.length).toBe(12)
    // All but the last bytes of the model: every triangle is there, its end is not. Then nothing at all.
    const [, ofModel] = entries(short)
    view.setUint32(ofModel + 20, view.getUint32(ofModel + 20, true) - 3, true)
    expect(await refusal(short)).toBe('file/damaged')
    view.setUint32(ofModel + 20, 0, true)
    expect(await refusal(short)).toBe('file/damaged')
  })
})
