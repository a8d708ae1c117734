import { PLYLoader } from 'three/examples/jsm/loaders/PLYLoader.js'
import { describe, expect, test } from 'vitest'
import { figureOf, icosphere, sheet } from '../core/spray/test-figures.ts'
import { type PlyFields, writeFieldsPly } from './write-ply.ts'

const figure = figureOf([icosphere(2, 8, [0, 8, 1]), sheet(3, 2, (u, v) => [20 + 10 * u, 12 * v, -u])])
const vertices = figure.positions.length / 3
const field = (of: (v: number) => number) => Float32Array.from({ length: vertices }, (_, v) => of(v))
const FIELDS: PlyFields = {
  exposures: [
    ['front', field(v => v / 100)],
    ['back', field(v => 1 / (v + 1))],
  ],
  deposits: [['white', field(v => v * 0.03)]],
  linearRgb: Float32Array.from({ length: 3 * vertices }, (_, i) => ((i * 37) % 101) / 100),
}

const textOf = (bytes: Uint8Array) => new TextDecoder('latin1').decode(bytes)
const propertiesOf = (bytes: Uint8Array) =>
  [...textOf(bytes).matchAll(/^property (?:float|uchar) (\S+)$/gm)].map(([, name]) => name)

function readBack(bytes: Uint8Array) {
  const loader = new PLYLoader()
  loader.setCustomPropertyNameMapping({
    exposure_front: ['exposure_front'],
    exposure_back: ['exposure_back'],
    deposit_white: ['deposit_white'],
  })
  return loader.parse(bytes.slice().buffer)
}

describe('read back by three', () => {
  const bytes = writeFieldsPly(figure, FIELDS)
  const geometry = readBack(bytes)
  const array = (name: string) => [...geometry.getAttribute(name).array]

  test('positions in mm, normals, faces', () => {
    expect(array('position')).toEqual([...figure.positions])
    expect(array('normal')).toEqual([...figure.normals])
    expect([...(geometry.getIndex()?.array ?? [])]).toEqual([...figure.triangles])
  })
  test('a float for each torch and coat', () => {
    expect(array('exposure_front')).toEqual([...FIELDS.exposures[0][1]])
    expect(array('exposure_back')).toEqual([...FIELDS.exposures[1][1]])
    expect(array('deposit_white')).toEqual([...FIELDS.deposits[0][1]])
  })
  test('colours as sRGB bytes', () => {
    // three makes linear bytes of sRGB bytes: half a step of each, 2.3 times as much where sRGB is steepest.
    const colours = array('color')
    const worst = Math.max(...FIELDS.linearRgb.map((c, i) => Math.abs(c - colours[i] / 255)))
    expect(worst).toBeLessThan((0.5 * 2.3 + 0.5) / 255)
  })
  test('the header names what stands in the file, and no byte is left over', () => {
    expect(textOf(bytes)).toMatch(/^ply\nformat binary_little_endian 1\.0\n/)
    expect(propertiesOf(bytes)).toEqual(
      'x y z nx ny nz exposure_front exposure_back deposit_white red green blue'.split(' '),
    )
    const body = textOf(bytes).indexOf('end_header\n') + 'end_header\n'.length
    expect(bytes.length - body).toBe(vertices * (9 * 4 + 3) + (figure.triangles.length / 3) * 13)
  })
})

test('names are plain and each its own', () => {
  const zero = field(() => 0)
  const names = ['Zénith – links', 'front', 'FRONT', 'front 2', '火', 'ü']
  const bytes = writeFieldsPly(figure, {
    exposures: names.map(name => [name, zero]),
    deposits: [['front', zero]],
    linearRgb: FIELDS.linearRgb,
  })
  expect(propertiesOf(bytes).slice(6, -3)).toEqual([
    'exposure_zenith_links',
    'exposure_front',
    'exposure_front_2',
    'exposure_front_2_2',
    'exposure_unnamed',
    'exposure_u',
    'deposit_front',
  ])
})
