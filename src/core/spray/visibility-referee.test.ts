import { existsSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { STLLoader } from 'three/addons/loaders/STLLoader.js'
import { describe, expect, test } from 'vitest'
import { figureFromGeometries, sentinelFigure, sentinelIsThere } from '../../../scripts/bench/bench-figures.ts'
import { rayReferee } from '../../../scripts/bench/ray-referee.ts'
import type { Figure } from '../mesh/figure.ts'
import { add, directionFrom, dot, frameAround, scale, type Vec3 } from '../vec3.ts'
import { createBakeKernel } from './bake-exposure.ts'
import { type Emitter, kernelAt } from './emitters.ts'
import { figureOf, floorSheet, icosphere, sheet, type TestPiece } from './test-figures.ts'

/**
 * An independent implementation: three-mesh-bvh rays, vertex by vertex, at the buffer size a refined bake uses.
 * Exposure error is Σ cos γ·|difference| over Σ cos γ of all facing vertices: the cosine-weighted form of 'how many
 * disagree'. Two ray offsets disagree among themselves by 0.2 to 1.1 % of facing vertices.
 */

/** A box, every face a piece of sheet: sharp edges, thin where asked. */
function box(middle: Vec3, size: Vec3, n: number): TestPiece {
  const positions: number[] = []
  const normals: number[] = []
  const triangles: number[] = []
  for (const axis of [0, 1, 2]) {
    for (const side of [-1, 1]) {
      const normal = [0, 0, 0]
      normal[axis] = side
      const b = (axis + 1) % 3
      const c = (axis + 2) % 3
      const face = sheet(
        n,
        n,
        (u, v) => {
          const p = [...middle]
          p[axis] += (side * size[axis]) / 2
          p[b] += (side * (u - 0.5) * size[b]) as number
          p[c] += (v - 0.5) * size[c]
          return p as unknown as Vec3
        },
        () => normal as unknown as Vec3,
      )
      for (const t of face.triangles) triangles.push(t + positions.length / 3)
      positions.push(...face.positions)
      normals.push(...face.normals!)
    }
  }
  return { positions, normals, triangles }
}

/** Nothing symmetric about it: balls, a thin plate close to one of them, a post, a base, parts that run into each other. */
const procedural = (): Figure =>
  figureOf([
    box([0, 1, 0], [26, 2, 22], 60),
    icosphere(5, 7, [1, 12, -1]),
    icosphere(4, 4, [-3, 22, 2]),
    box([2, 13, 8], [14, 16, 0.6], 48),
    box([-9, 12, -3], [1.5, 22, 2.5], 40),
    icosphere(4, 3, [8.5, 17, -4]),
  ])

const KNOWN = fileURLToPath(new URL('../../../../shared/meshes/', import.meta.url))
const fromStl = (name: string, heightMm: number, maxEdgeMm: number) => (): Figure => {
  const file = readFileSync(KNOWN + name)
  const bytes = file.buffer.slice(file.byteOffset, file.byteOffset + file.length) as ArrayBuffer
  return figureFromGeometries([new STLLoader().parse(bytes)], { heightMm, zUp: true, maxEdgeMm })
}
const CASES: readonly { name: string; there: boolean; load: () => Figure | Promise<Figure> }[] = [
  { name: 'procedural figure', there: true, load: procedural },
  { name: 'built-in sentinel', there: sentinelIsThere(), load: sentinelFigure },
  {
    name: 'knight, 32 mm',
    there: existsSync(`${KNOWN}knight_32mm.stl`),
    load: fromStl('knight_32mm.stl', 32, 0.35),
  },
  {
    name: 'human body, 75 mm',
    there: existsSync(`${KNOWN}makehuman_body_75mm.stl`),
    load: fromStl('makehuman_body_75mm.stl', 75, 0.6),
  },
]

/** 20 directions over the whole sphere and 5 near nozzles, none along an axis. */
function sources(figure: Figure): Emitter[] {
  const emitters: Emitter[] = []
  for (let i = 0; i < 20; i++) {
    const elevation = (Math.asin(1 - (2 * i + 1) / 20) * 180) / Math.PI
    emitters.push({ kind: 'parallel', toward: directionFrom(137.5 * i + 11, elevation), weight: 1 })
  }
  const aim: Vec3 = [0, figure.heightMm / 2, 0]
  const k = figure.heightMm / 32
  for (const [azimuth, elevation, distance] of [
    [5, 35, 40],
    [82, -10, 60],
    [159, 60, 50],
    [236, 10, 80],
    [313, 75, 45],
  ]) {
    const position = add(aim, scale(directionFrom(azimuth, elevation), distance * k))
    emitters.push({ kind: 'nozzle', position, aim, pattern: { kind: 'cone', halfAngleDegrees: 60 }, weight: 1 })
  }
  return emitters
}

describe('visibility against rays: at most 1.0 % of facing vertices disagree, exposure within 1 %', () => {
  for (const { name, there, load } of CASES) {
    test.skipIf(!there)(`${name}${there ? '' : ' (not run: file absent)'}`, { timeout: 60_000 }, async () => {
      const figure = await load()
      const vertices = figure.positions.length / 3
      const step = Math.max(1, Math.floor(vertices / 4000))
      const rays = rayReferee(figure, 1e-4 * figure.heightMm)
      const kernel = createBakeKernel(figure)
      const tally = {
        parallel: { facing: 0, differ: 0, full: 0, seen: 0, off: 0 },
        nozzle: { facing: 0, differ: 0, full: 0, seen: 0, off: 0 },
      }
      for (const emitter of sources(figure)) {
        const field = kernel.bake({}, [emitter])
        const t = tally[emitter.kind]
        for (let v = 0; v < vertices; v += step) {
          const at: Vec3 = [figure.positions[3 * v], figure.positions[3 * v + 1], figure.positions[3 * v + 2]]
          const normal: Vec3 = [figure.normals[3 * v], figure.normals[3 * v + 1], figure.normals[3 * v + 2]]
          const full = emitter.weight * kernelAt(emitter, at, normal)
          if (full <= 0) continue
          const seen = rays.visible(v, emitter)
          t.facing++
          if (seen !== field[v] / full > 0.5) t.differ++
          t.full += full
          t.seen += seen ? full : 0
          t.off += Math.abs(field[v] - (seen ? full : 0))
        }
      }
      kernel.dispose()
      for (const kind of ['parallel', 'nozzle'] as const) {
        const { facing, differ, full, seen, off } = tally[kind]
        const figures = `${((100 * differ) / facing).toFixed(2)} % differ, ${((100 * off) / full).toFixed(2)} % exposure (${((100 * off) / seen).toFixed(2)} % of what is seen)`
        console.info(`${name}, ${vertices} vertices, ${kind}: ${figures}`)
        expect(facing).toBeGreaterThan(3000)
        expect(differ / facing, figures).toBeLessThan(0.01)
        expect(off / full, figures).toBeLessThan(0.01)
      }
    })
  }
})

describe('no light under a thin plate or through a crease, grazing directions included (similar triangles)', () => {
  /** Floor vertices by what a straight line to the source meets of a plate 0.1 mm thin: surely, surely not. */
  function shadowOf(toward: Vec3, middle: Vec3, size: Vec3) {
    const figure = figureOf([floorSheet(30, 300), box(middle, size, 40)])
    const field = createBakeKernel(figure).bake({}, [{ kind: 'parallel', toward, weight: 1 }], { bufferSize: 2048 })
    const { box: b } = figure
    // Two pixels, as long as they lie on the floor.
    const marginMm = (2 * Math.hypot(b[3] - b[0], b[4] - b[1], b[5] - b[2])) / 2048 / toward[1]
    const floor = figure.parts[0]
    const dark: number[] = []
    const lit: number[] = []
    for (let v = 0; v < floor.vertexCount; v++) {
      const at: Vec3 = [figure.positions[3 * v], 0, figure.positions[3 * v + 2]]
      const hits = (grown: number) => {
        let near = 0
        let far = Number.POSITIVE_INFINITY
        for (const axis of [0, 1, 2]) {
          const half = size[axis] / 2 + (axis === 1 ? 0 : grown)
          const [t0, t1] = [-half, half].map(side => (middle[axis] + side - at[axis]) / toward[axis])
          near = Math.max(near, Math.min(t0, t1))
          far = Math.min(far, Math.max(t0, t1))
        }
        return near < far
      }
      if (hits(-marginMm)) dark.push(field[v])
      else if (!hits(marginMm)) lit.push(field[v])
    }
    return { dark, lit }
  }

  test.each([
    [37, 60],
    [212, 25],
    [118, 12],
  ])('a plate 3 mm over a floor, from azimuth %d, elevation %d', (azimuth, elevation) => {
    const toward = directionFrom(azimuth, elevation)
    const { dark, lit } = shadowOf(toward, [1, 3, -2], [9, 0.1, 7])
    expect(dark.length).toBeGreaterThan(500)
    expect(Math.max(...dark)).toBe(0)
    expect(Math.min(...lit)).toBeCloseTo(toward[1], 4)
  })

  // A wall as wide as its margin would be nothing: 1 mm, its foot in the floor.
  test.each([
    [37, 60],
    [212, 25],
    [118, 12],
  ])('a wall that stands in the floor, from azimuth %d, elevation %d', (azimuth, elevation) => {
    const toward = directionFrom(azimuth, elevation)
    const { dark, lit } = shadowOf(toward, [1, 2, -2], [9, 5, 1])
    expect(dark.length).toBeGreaterThan(300)
    expect(Math.max(...dark)).toBe(0)
    expect(Math.min(...lit)).toBeCloseTo(toward[1], 4)
  })
})

describe('C13: shadows and openness of a closed mesh', () => {
  /** Area of the silhouette by rays over a grid: no depth buffer in it. */
  function silhouette(figure: Figure, toward: Vec3, rays: ReturnType<typeof rayReferee>): number {
    const [u, v] = frameAround(toward)
    const { box: b } = figure
    const middle: Vec3 = [(b[0] + b[3]) / 2, (b[1] + b[4]) / 2, (b[2] + b[5]) / 2]
    const reach = Math.hypot(b[3] - b[0], b[4] - b[1], b[5] - b[2]) / 2
    const n = 72
    let hits = 0
    for (let i = 0; i < n; i++) {
      for (let j = 0; j < n; j++) {
        const across = add(scale(u, reach * ((2 * i + 1) / n - 1)), scale(v, reach * ((2 * j + 1) / n - 1)))
        if (rays.hits(add(add(middle, across), scale(toward, 2 * reach)), scale(toward, -1))) hits++
      }
    }
    return hits * ((2 * reach) / n) ** 2
  }
  const directions = Array.from({ length: 40 }, (_, i) =>
    directionFrom(137.508 * i + 3, (Math.asin(1 - (2 * i + 1) / 40) * 180) / Math.PI),
  )

  test('mean silhouette of a convex box 10 × 6 × 30 is a quarter of its surface, 270', () => {
    const figure = figureOf([box([1, 2, 3], [10, 6, 30], 2)])
    const rays = rayReferee(figure, 0)
    const mean = directions.reduce((sum, d) => sum + silhouette(figure, d, rays), 0) / directions.length
    expect(mean / 270).toBeCloseTo(1, 1.7)
  })

  test('mean silhouette of any closed mesh is a quarter of ∫ openness dA', () => {
    const figure = figureOf([
      icosphere(5, 7, [1, 12, -1]),
      icosphere(4, 4, [-6, 21, 5]),
      box([2, 13, 9], [14, 16, 0.6], 60),
    ])
    const rays = rayReferee(figure, 0)
    const mean = directions.reduce((sum, d) => sum + silhouette(figure, d, rays), 0) / directions.length
    const emitters: Emitter[] = Array.from({ length: 256 }, (_, i) => {
      const elevation = (Math.asin(1 - (2 * i + 1) / 256) * 180) / Math.PI
      return { kind: 'parallel', toward: directionFrom(137.508 * i, elevation), weight: 4 / 256 }
    })
    const kernel = createBakeKernel(figure)
    const open = kernel.bake({}, emitters)
    const { positions: p, triangles } = figure
    let integral = 0
    for (let t = 0; t < triangles.length; t += 3) {
      const [a, b, c] = [3 * triangles[t], 3 * triangles[t + 1], 3 * triangles[t + 2]]
      const e: Vec3 = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]]
      const f: Vec3 = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]]
      const area = Math.sqrt(Math.max(0, dot(e, e) * dot(f, f) - dot(e, f) ** 2)) / 2
      integral += (area * (open[a / 3] + open[b / 3] + open[c / 3])) / 3
    }
    expect(integral / 4 / mean).toBeCloseTo(1, 1.7)
  })
})
