import { spawn } from 'node:child_process'
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { NodeIO } from '@gltf-transform/core'
import { PLYLoader } from 'three/examples/jsm/loaders/PLYLoader.js'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { demoRecipe } from '../core/recipe/demo-recipe.ts'
import { saveRecipe } from '../document/document-file.ts'

const PROJECT = fileURLToPath(new URL('../..', import.meta.url))
const FOLDER = mkdtempSync(join(tmpdir(), 'bake-'))
afterAll(() => rmSync(FOLDER, { recursive: true }))

interface Ended {
  readonly code: number | null
  readonly out: string
  readonly err: string
}

function bake(...args: string[]): Promise<Ended> {
  return new Promise(resolve => {
    const child = spawn(process.execPath, ['--import', 'tsx', join(PROJECT, 'src/cli/bake.ts'), ...args], {
      cwd: PROJECT,
    })
    let out = ''
    let err = ''
    child.stdout.on('data', chunk => {
      out += chunk
    })
    child.stderr.on('data', chunk => {
      err += chunk
    })
    child.on('close', code => resolve({ code, out, err }))
  })
}

/** A closed box as ASCII STL: 12 triangles, counter-clockwise from outside. */
function boxStl(wide: number, deep: number, high: number): string {
  const corner = (i: number) => `${(i & 1) * wide} ${((i >> 1) & 1) * deep} ${(i >> 2) * high}`
  // biome-ignore format: a table
  const faces = [[0, 2, 3], [0, 3, 1], [4, 5, 7], [4, 7, 6], [0, 4, 6], [0, 6, 2], [1, 3, 7], [1, 7, 5], [0, 1, 5], [0, 5, 4], [2, 6, 7], [2, 7, 3]]
  const facet = (f: number[]) =>
    `facet normal 0 0 0\nouter loop\n${f.map(i => `vertex ${corner(i)}`).join('\n')}\nendloop\nendfacet`
  return `solid box\n${faces.map(facet).join('\n')}\nendsolid box\n`
}

const propertiesOf = (ply: string): string[] =>
  [...readFileSync(ply, 'latin1').matchAll(/^property (?:float|uchar) (\S+)$/gm)].map(m => m[1])

/** By three's loader: each of the fields becomes an attribute of its own. */
function readPly(path: string, fields: readonly string[]) {
  const bytes = readFileSync(path)
  const loader = new PLYLoader()
  loader.setCustomPropertyNameMapping(Object.fromEntries(fields.map(name => [name, [name]])))
  return loader.parse(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength))
}

const demo = demoRecipe()
// One torch is muted and one coat hidden: both still have their place in the table of fields.
const RECIPE = {
  ...demo,
  coats: demo.coats.map((coat, i) => {
    if (coat.kind !== 'mist') return coat
    return {
      ...coat,
      hidden: i === 2,
      torches: coat.torches.map((torch, k) => ({ ...torch, muted: i === 0 && k === 1 })),
    }
  }),
}
const TORCHES = RECIPE.coats.flatMap(coat => (coat.kind === 'mist' ? coat.torches : []))

describe('a box of 2 by 1 by 3 in with z up, and a recipe of its own', () => {
  const out = join(FOLDER, 'new', 'folder')
  let ended: Ended
  beforeAll(async () => {
    writeFileSync(join(FOLDER, 'box.stl'), boxStl(2, 1, 3))
    writeFileSync(join(FOLDER, 'recipe.json'), saveRecipe(RECIPE))
    ended = await bake(
      ...[join(FOLDER, 'box.stl'), '--recipe', join(FOLDER, 'recipe.json'), '--out', out],
      ...['--unit', 'in', '--up', '+z', '--front', '-y'],
    )
  }, 60_000)
  const report = () => JSON.parse(readFileSync(join(out, 'report.json'), 'utf8'))

  test('ends well, with progress on stderr and nothing on stdout', () => {
    expect(ended.err).toMatch(/spraying 100 %/)
    expect([ended.code, ended.out]).toEqual([0, ''])
  })

  test('figure.glb: metres, upright, seen from the front; colours of the paint', async () => {
    const document = await new NodeIO().read(join(out, 'figure.glb'))
    const [mesh] = document.getRoot().listMeshes()
    const [primitive] = mesh.listPrimitives()
    const position = primitive.getAttribute('POSITION')
    const near = (got: number[] | undefined, wanted: number[]) =>
      wanted.forEach((w, k) => {
        expect(got?.[k]).toBeCloseTo(w, 6)
      })
    near(position?.getMin([]), [-0.0254, 0, -0.0127])
    near(position?.getMax([]), [0.0254, 0.0762, 0.0127])
    const colours = primitive.getAttribute('COLOR_0')
    expect(colours?.getCount()).toBe(position?.getCount())
    const values = [...(colours?.getArray() ?? [])]
    const mean = [0, 1, 2].map(k => values.reduce((sum, c, i) => sum + (i % 3 === k ? c : 0), 0))
    expect(mean[2]).toBeGreaterThan(mean[0])
  })

  test('fields.ply: a float for every torch and coat, on a box that is sprayed from the front and above', () => {
    const names = propertiesOf(join(out, 'fields.ply'))
    const fields = [...TORCHES.map(t => `exposure_${t.id}`), ...RECIPE.coats.map(c => `deposit_${c.id}`)]
    expect(names).toEqual([...'x y z nx ny nz'.split(' '), ...fields, 'red', 'green', 'blue'])
    const geometry = readPly(join(out, 'fields.ply'), fields)
    const array = (name: string) => [...geometry.getAttribute(name).array]
    const corners = geometry.getIndex()?.array.length ?? 0
    expect(corners / 3).toBe(report().counts.triangles)
    expect(array('position').reduce((a, b) => Math.max(a, b))).toBeCloseTo(76.2, 4)

    const where = (normal: readonly number[]) => {
      const normals = array('normal')
      return normals.flatMap((_, i) =>
        i % 3 === 0 && [0, 1, 2].every(k => Math.abs(normals[i + k] - normal[k]) < 1e-3) ? [i / 3] : [],
      )
    }
    const mean = (name: string, vertices: number[]) => {
      const values = array(name)
      return vertices.reduce((sum, v) => sum + values[v], 0) / vertices.length
    }
    // From the front 60° up, turned ±25°: top sin 60° = 0.866, front cos 60° · sin 25°/25° = 0.484, back 0. Closed form;
    // a torch's 64 directions come within 0.01 of it.
    const [front, back] = TORCHES.map(t => `exposure_${t.id}`)
    expect(Math.abs(mean(front, where([0, 1, 0])) - 0.866)).toBeLessThan(0.01)
    expect(Math.abs(mean(front, where([0, 0, 1])) - 0.484)).toBeLessThan(0.01)
    expect(mean(front, where([0, 0, -1]))).toBe(0)
    expect(Math.abs(mean(back, where([0, 0, -1])) - 0.484)).toBeLessThan(0.01)
    const [white, , hidden] = RECIPE.coats.map(c => `deposit_${c.id}`)
    expect(mean(white, where([0, 1, 0]))).toBeGreaterThan(1)
    expect(mean(hidden, where([0, 0, 1]))).toBe(0)
  })

  test('report.json: counts, times, and every named view with its readings', () => {
    const { counts, ms, problems, views } = report()
    expect(counts).toMatchObject({ fileTriangles: 12, parts: 1, coats: 3, torches: TORCHES.length })
    expect(counts.triangles).toBeGreaterThan(12)
    expect(Object.values(ms).every(value => typeof value === 'number' && value >= 0)).toBe(true)
    expect(Array.isArray(problems)).toBe(true)
    expect(Object.keys(views)).toEqual('table hand shelf underneath front back left right'.split(' '))
    for (const view of Object.values<Record<string, never>>(views)) {
      const { preshade, result, contrastLeft, light, mid, dark } = view as unknown as {
        [key: string]: number
      } & {
        preshade: { from: number; to: number; contrast: number }
        result: { from: number; to: number; contrast: number }
      }
      expect(light + mid + dark).toBeCloseTo(1, 9)
      expect(result.to - result.from).toBeCloseTo(result.contrast, 9)
      if (preshade.contrast >= 0.5) expect(contrastLeft).toBeCloseTo(result.contrast / preshade.contrast, 9)
      else expect(contrastLeft).toBeNull()
    }
    // Conservation: what the beam leaves on the box and what passes it, each found on its own.
    const spray: { torch: string; mixMl: number; landsMl: number; lands: number; beam: Record<string, number> }[] =
      report().spray
    const sprays = RECIPE.coats.flatMap(c => (c.kind === 'mist' && !c.hidden ? c.torches.filter(t => !t.muted) : []))
    expect(spray.map(s => s.torch)).toEqual(sprays.map(t => t.id))
    for (const { mixMl, landsMl, lands, beam } of spray) {
      expect(lands).toBeCloseTo(landsMl / mixMl, 9)
      expect(lands).toBeGreaterThan(0.1)
      expect(lands).toBeLessThan(0.75)
      expect(beam.landed + beam.missed + beam.unaccounted).toBeCloseTo(1, 9)
      expect(Math.abs(beam.unaccounted)).toBeLessThan(0.01)
    }
    // Straight at the front: its exposure 0.48 lies between the thresholds all over. Behind, the torch is muted.
    expect(views.front).toMatchObject({ light: 0, mid: 1, dark: 0 })
    expect(views.back).toMatchObject({ light: 0, mid: 0, dark: 1 })
  })
})

/** Closed forms on steps 8 mm high and deep, 24 mm wide: treads face up, the foot of the second riser from above lies at z = 0. */
describe('--surface, on the stepped block', () => {
  const SURFACE = ['openness', 'accessibility_mm', 'edge_per_mm']
  const out = join(FOLDER, 'steps')
  let tread: { x: number; z: number; [field: string]: number }[]
  beforeAll(async () => {
    expect((await bake('stepped-block', '--surface', '--out', out)).code).toBe(0)
    const geometry = readPly(join(out, 'fields.ply'), SURFACE)
    const [position, normal] = ['position', 'normal'].map(name => geometry.getAttribute(name).array)
    tread = Array.from({ length: position.length / 3 }, (_, v) => v)
      .filter(v => normal[3 * v + 1] > 0.99 && Math.abs(position[3 * v + 1] - 24) < 1e-3)
      .map(v => ({
        ...{ x: position[3 * v], z: position[3 * v + 2] },
        ...Object.fromEntries(SURFACE.map(name => [name, geometry.getAttribute(name).array[v]])),
      }))
      .filter(({ x }) => Math.abs(x) < 6)
    expect(tread.length).toBeGreaterThan(1000)
  }, 60_000)

  test('three floats more in fields.ply, and what they were found with in report.json', () => {
    expect(propertiesOf(join(out, 'fields.ply')).slice(-6)).toEqual([...SURFACE, 'red', 'green', 'blue'])
    const report = JSON.parse(readFileSync(join(out, 'report.json'), 'utf8'))
    expect(report.surface).toEqual({ opennessDirections: 128, accessibilityProbeMm: 5, edgeRadiusMm: 0.25 })
  })
  test('openness beside the riser, from end to end of it', () => {
    // Element to a rectangle square to it, one corner at the foot of the normal (Howell, configuration B-4, from memory);
    // limits checked: an endless wall is C20.
    const hidden = (height: number, width: number, distance: number) => {
      const slant = Math.hypot(height, distance)
      return (Math.atan(width / distance) - (distance / slant) * Math.atan(width / slant)) / (2 * Math.PI)
    }
    for (const { x, z, openness } of tread) {
      const distance = z + 8
      if (distance < 0.5 || z > -0.5) continue
      const open = 1 - hidden(8, 12 - x, distance) - hidden(8, 12 + x, distance)
      // 128 directions: C20's own test allows as much for 256.
      expect(Math.abs(openness - open)).toBeLessThan(0.04)
    }
  })
  test('accessibility: a ball in the corner reaches as far from the riser as it is wide, up to the probe', () => {
    for (const { z, accessibility_mm } of tread)
      if (z + 8 > 0.2) expect(accessibility_mm).toBeCloseTo(Math.min(z + 8, 5), 3)
  })
  test('edge strength: β/(2√2·r)·e^(−√2·x/r) along the nose, the same below zero at the foot of the riser', () => {
    const full = Math.PI / 2 / (2 * Math.SQRT2 * 0.25)
    for (const { x, z, edge_per_mm } of tread) {
      const [nose, foot] = [-z, z + 8].map(away => full * Math.exp((-Math.SQRT2 * away) / 0.25))
      // Rows stand half of the radius apart: the peak is 1/√(1 + 1/8) too low, and 13 % where eight triangles meet.
      expect(Math.abs(edge_per_mm - (nose - foot))).toBeLessThan(0.14 * full)
      if (Math.abs(x) < 3) expect(Math.abs(edge_per_mm - (nose - foot))).toBeLessThan(0.06 * full)
    }
  })
})

describe('bad input ends with 2 and one sentence', () => {
  const refused = async (...args: string[]) => {
    const { code, out, err } = await bake(...args)
    expect({ code, out, lines: err.trim().split('\n').length }).toEqual({ code: 2, out: '', lines: 1 })
    expect(err).toMatch(/^[^.!?]\S.*\.\n$/)
    expect(err).not.toMatch(/\n\s+at /)
    return err
  }
  const out = join(FOLDER, 'refused')

  test('a damaged file', async () => {
    // A binary header that counts two thousand million triangles, and 116 bytes after it.
    const damaged = Buffer.alloc(200)
    damaged.writeUInt32LE(2_000_000_000, 80)
    writeFileSync(join(FOLDER, 'damaged.stl'), damaged)
    expect(await refused(join(FOLDER, 'damaged.stl'), '--out', out)).toMatch(/damaged\.stl/)
    expect(existsSync(join(out, 'report.json'))).toBe(false)
  }, 30_000)
  test('an unknown option', async () => {
    expect(await refused('sphere', '--out', out, '--frobnicate')).toMatch(/--frobnicate/)
  }, 30_000)
  test('no such figure', async () => {
    expect(await refused('no-such-thing.stl', '--out', out)).toMatch(/no file no-such-thing\.stl/)
  }, 30_000)
  test('a recipe that is none', async () => {
    writeFileSync(join(FOLDER, 'list.json'), '[1, 2]')
    expect(await refused('sphere', '--recipe', join(FOLDER, 'list.json'), '--out', out)).toMatch(/list\.json/)
  }, 30_000)
  test('a figure that would look straight up', async () => {
    expect(await refused(join(FOLDER, 'box.stl'), '--out', out, '--up', '-z', '--front', '+z')).toMatch(/\+z/)
  }, 30_000)
})

test('--help explains, on stdout', async () => {
  const { code, out, err } = await bake('--help')
  expect([code, err]).toEqual([0, ''])
  for (const word of ['FIGURE', '--recipe', '--out', '--unit', '--up', '--front', '--height', '--surface'])
    expect(out).toContain(word)
}, 30_000)
