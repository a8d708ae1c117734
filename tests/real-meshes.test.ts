import { readFileSync } from 'node:fs'
import teapot from 'teapot'
import { describe, expect, test } from 'vitest'
import { guessPlacement } from '../src/core/mesh/guess-placement.ts'
import { REFINEMENT_DEFAULTS } from '../src/core/mesh/placement.ts'
import { prepareFigure } from '../src/core/mesh/prepare-figure.ts'
import { type WeldedMesh, weldFileMesh } from '../src/core/mesh/weld-file-mesh.ts'
import { readMesh } from '../src/io/read-mesh.ts'
import { asBinaryPly, asBinaryStl, asGltf, asObj, asTextPly, asTextStl, type PlainMesh } from './mesh-texts.ts'
import { sharedPath } from './shared-data.ts'

const read = async (name: string, bytes: Uint8Array) => weldFileMesh(await readMesh(name, bytes, new Map()))

/** Triangles as the collection's own list states them; extent along the axis that stands upright. */
const OPEN_MESHES = [
  { file: 'knight_32mm.stl', triangles: 5_274, heightMm: 32 },
  { file: 'makehuman_body_75mm.stl', triangles: 26_756, heightMm: 75 },
  { file: 'FlightHelmet_geometry.glb', triangles: 94_722, heightMm: null },
  { file: 'spot.obj', triangles: 23_062, heightMm: null },
  { file: 'teapot.stl', triangles: 992, heightMm: null },
]

const folder = sharedPath('meshes')
describe.skipIf(!folder)(`openly licensed meshes of others${folder ? '' : ' (not run: ../shared absent)'}`, () => {
  test.each(OPEN_MESHES)('$file', async ({ file, triangles, heightMm }) => {
    const raw = await readMesh(file, new Uint8Array(readFileSync(`${folder}/${file}`)), new Map())
    expect(raw.triangles.length / 3).toBe(triangles)
    const welded = weldFileMesh(raw)
    const placement = guessPlacement(welded)
    if (heightMm !== null) expect(placement.heightMm).toBeCloseTo(heightMm, 1)
    const { figure } = prepareFigure(welded, placement, REFINEMENT_DEFAULTS)
    expect(figure.positions.every(Number.isFinite)).toBe(true)
    expect(figure.box[1]).toBeCloseTo(0, 4)
    expect(figure.box[4]).toBeCloseTo(placement.heightMm, 2)
    // Refinement keeps the surface: same area but for rounding, scaled by the placement.
    const k = placement.heightMm / extentAlong(welded, placement.up)
    expect(areaOf(figure) / (areaOf(welded) * k * k)).toBeCloseTo(1, 4)
    const lengths = normalsOf(figure.normals)
    expect(Math.min(...lengths)).toBeGreaterThan(0.999)
    expect(Math.max(...lengths)).toBeLessThan(1.001)
  })
})

describe('the Utah teapot (npm package teapot, public domain), in every format', () => {
  const mesh: PlainMesh = { positions: teapot.positions, triangles: teapot.cells }
  const files: readonly (readonly [string, Uint8Array])[] = [
    ['teapot.obj', asObj(mesh)],
    ['teapot-text.ply', asTextPly(mesh)],
    ['teapot-little.ply', asBinaryPly(mesh, true)],
    ['teapot-big.ply', asBinaryPly(mesh, false)],
    ['teapot.stl', asBinaryStl(mesh)],
    // Binary all the same, whatever its header says.
    ['teapot-solid.stl', asBinaryStl(mesh, 'solid teapot facet')],
    ['teapot-text.stl', asTextStl(mesh)],
    ['teapot.gltf', asGltf(mesh)],
    // Content decides, not the name.
    ['teapot-misnamed.obj.stl', asBinaryStl(mesh)],
  ]
  test.each(files)('%s is the same surface', async (name, bytes) => {
    const welded = await read(name, bytes)
    const float = (p: readonly number[]) => p.map(Math.fround)
    const expected = {
      positions: Float32Array.from(mesh.positions.flatMap(float)),
      triangles: Uint32Array.from(mesh.triangles.flat()),
    }
    expect(areaOf(welded)).toBeCloseTo(areaOf(expected), 3)
    // Enclosed volume about the origin: direction of every triangle included.
    expect(volumeOf(welded) / volumeOf(expected)).toBeCloseTo(1, 5)
    expect([...welded.box]).toEqual(boxOf(expected.positions))
  })
})

interface Surface {
  readonly positions: Float32Array
  readonly triangles: Uint32Array
}

function eachTriangle({ positions, triangles }: Surface, visit: (a: number[], b: number[], c: number[]) => void): void {
  const corner = (v: number) => [positions[3 * v], positions[3 * v + 1], positions[3 * v + 2]]
  for (let t = 0; t < triangles.length; t += 3)
    visit(corner(triangles[t]), corner(triangles[t + 1]), corner(triangles[t + 2]))
}

function areaOf(surface: Surface): number {
  let sum = 0
  eachTriangle(surface, (a, b, c) => {
    const u = b.map((v, i) => v - a[i])
    const w = c.map((v, i) => v - a[i])
    sum += Math.hypot(u[1] * w[2] - u[2] * w[1], u[2] * w[0] - u[0] * w[2], u[0] * w[1] - u[1] * w[0]) / 2
  })
  return sum
}

/** Divergence theorem: Σ a · (b × c)/6. */
function volumeOf(surface: Surface): number {
  let sum = 0
  eachTriangle(surface, (a, b, c) => {
    sum +=
      (a[0] * (b[1] * c[2] - b[2] * c[1]) + a[1] * (b[2] * c[0] - b[0] * c[2]) + a[2] * (b[0] * c[1] - b[1] * c[0])) / 6
  })
  return sum
}

function boxOf(positions: Float32Array): number[] {
  const axis = (k: number) => positions.filter((_, i) => i % 3 === k)
  return [...[0, 1, 2].map(k => Math.min(...axis(k))), ...[0, 1, 2].map(k => Math.max(...axis(k)))]
}

function normalsOf(normals: Float32Array): Float64Array {
  return Float64Array.from({ length: Math.min(20_000, normals.length / 3) }, (_, v) =>
    Math.hypot(normals[3 * v], normals[3 * v + 1], normals[3 * v + 2]),
  )
}

function extentAlong({ box }: WeldedMesh, axis: string): number {
  const k = 'xyz'.indexOf(axis[1])
  return box[3 + k] - box[k]
}
