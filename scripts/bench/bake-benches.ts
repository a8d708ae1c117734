import { execFileSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { availableParallelism, tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { createBakePool, poolSize } from '../../src/compute/bake-pool.ts'
import { createComputeClient } from '../../src/compute/compute-client.ts'
import type { Figure } from '../../src/core/mesh/figure.ts'
import {
  bufferSizeFor,
  COARSE_BUFFER,
  createBakeKernel,
  opennessEmitters,
  REFINED,
} from '../../src/core/spray/bake-exposure.ts'
import { coarseEmittersOf, type Emitter, emittersOf } from '../../src/core/spray/emitters.ts'
import { dot, type Vec3 } from '../../src/core/vec3.ts'
import { lumpyFigure, sentinelFigure, sentinelIsThere } from './bench-figures.ts'
import { BENCH_TORCH } from './bench-torch.ts'
import { rayReferee } from './ray-referee.ts'
import { startBakeThread } from './thread-port.ts'

export interface Measured {
  readonly value: number
  readonly unit: string
  readonly note?: string
}

/** Balls of 327,680, 81,920, 20,480 triangles (two triangles a vertex). */
const figures = {
  triangles100k: () => lumpyFigure([5, 5, 5, 5, 5]),
  vertices300k: () => lumpyFigure([7, 6, 6, 6]),
  triangles1m: () => lumpyFigure([7, 7, 7]),
  vertices1500k: () => lumpyFigure([7, 7, 7, 7, 7, 7, 7, 7, 7]),
}

/** Best of a few runs: the others are the machine's, not ours. */
function bestMs(runs: number, run: () => void): number {
  let best = Number.POSITIVE_INFINITY
  for (let i = 0; i < runs; i++) {
    const begun = performance.now()
    run()
    best = Math.min(best, performance.now() - begun)
  }
  return best
}

const sizesOf = (figure: Figure): string =>
  `${figure.positions.length / 3} vertices, ${figure.triangles.length / 3} triangles`

const front = (figure: Figure): Emitter[] => emittersOf(BENCH_TORCH, figure, REFINED.directions)

/** One direction at a refined bake's settings, on one core, ms. */
function directionMs(figure: Figure): number {
  const kernel = createBakeKernel(figure)
  const emitters = opennessEmitters(8)
  kernel.bake({}, emitters.slice(0, 2))
  const ms = bestMs(3, () => kernel.bake({}, emitters)) / emitters.length
  kernel.dispose()
  return ms
}

/**
 * A torch that has moved, the figure already with the workers: from the emitters to the summed field through the page's
 * own pool, ms.
 */
async function poolMs(
  figure: Figure,
  emitters: readonly Emitter[],
  bufferSize: number | 'auto',
  workers: number,
  runs: number,
): Promise<number> {
  const pool = createBakePool(workers, startBakeThread)
  try {
    pool.keepFigure(figure, [])
    const job = { partStates: {}, emitters, bufferSize }
    await pool.bake({ ...job, emitters: job.emitters.slice(0, 2 * workers) })
    let best = Number.POSITIVE_INFINITY
    for (let run = 0; run < runs; run++) {
      const begun = performance.now()
      const [sum, ...others] = await pool.bake(job)
      for (const share of others) for (let v = 0; v < sum.length; v++) sum[v] += share[v]
      best = Math.min(best, performance.now() - begun)
    }
    return best
  } finally {
    pool.close()
  }
}

/** From calling a bake off to its worker's next answer, ms, at several moments; sorted. */
async function cancelMs(figure: Figure): Promise<number[]> {
  const worker = createComputeClient<'bake'>(startBakeThread())
  try {
    await worker.call('keepFigure', { figure })
    const request = {
      figureId: figure.id,
      partStates: {},
      emitters: front(figure),
      bufferSize: 'auto',
    } as const
    const nothing = { ...request, emitters: [] }
    await worker.call('bakeEmitters', { ...request, emitters: request.emitters.slice(0, 2) })
    const times: number[] = []
    for (let moment = 0; moment < 15; moment++) {
      const abort = new AbortController()
      const old = worker.call('bakeEmitters', request, { signal: abort.signal }).catch(() => {})
      await new Promise(resolve => setTimeout(resolve, 60 + 17 * moment))
      const begun = performance.now()
      abort.abort(new DOMException('moved', 'AbortError'))
      await worker.call('bakeEmitters', nothing)
      times.push(performance.now() - begun)
      await old
    }
    return times.sort((a, b) => a - b)
  } finally {
    worker.close()
  }
}

/** Rays of the facing vertices towards all of these, as a page would do it, one core; timed on a sample of both. */
export function raysMs(figure: Figure, emitters: readonly Emitter[]): number {
  const rays = rayReferee(figure, 1e-4 * figure.heightMm)
  const vertices = figure.positions.length / 3
  const step = 97
  const sample = emitters.filter((_, i) => i % Math.ceil(emitters.length / 8) === 0)
  let ms = 0
  for (const emitter of sample) {
    if (emitter.kind !== 'parallel') continue
    const begun = performance.now()
    for (let v = 0; v < vertices; v += step) {
      const n: Vec3 = [figure.normals[3 * v], figure.normals[3 * v + 1], figure.normals[3 * v + 2]]
      if (dot(n, emitter.toward) > 0) rays.visible(v, emitter)
    }
    ms += performance.now() - begun
  }
  return (ms * step * emitters.length) / sample.length
}

/** Bytes a second that a plain copy moves (read and written bytes both counted). */
function copyBandwidth(): number {
  const from = new Float32Array(32 << 20).fill(1)
  const to = new Float32Array(from.length)
  const ms = bestMs(5, () => to.set(from))
  return (2 * from.byteLength) / (ms / 1000)
}

/** Peak of a process of its own that reads the figure as a binary STL, welds and prepares it and bakes one torch. */
function peakMb(figure: Figure): Measured {
  const folder = mkdtempSync(join(tmpdir(), 'bench-'))
  try {
    const path = join(folder, 'figure.stl')
    writeFileSync(path, binaryStl(figure))
    const script = fileURLToPath(new URL('./peak-memory.ts', import.meta.url))
    const text = execFileSync(process.execPath, [...process.execArgv, script, path], { encoding: 'utf8' })
    const { mb, triangles } = JSON.parse(text) as { mb: number; triangles: number }
    return { value: mb, unit: 'MB', note: `loaded and baked, a process of its own, ${triangles} triangles` }
  } finally {
    rmSync(folder, { recursive: true })
  }
}

function binaryStl({ positions, triangles }: Figure): Uint8Array {
  const count = triangles.length / 3
  const view = new DataView(new ArrayBuffer(84 + 50 * count))
  view.setUint32(80, count, true)
  for (let t = 0; t < count; t++) {
    for (let c = 0; c < 9; c++) {
      const corner = triangles[3 * t + Math.floor(c / 3)]
      view.setFloat32(84 + 50 * t + 12 + 4 * c, positions[3 * corner + (c % 3)], true)
    }
  }
  return new Uint8Array(view.buffer)
}

/** Every figure by name. One core unless its note says otherwise. */
export const bakeBenches: Record<string, () => Promise<Measured>> = {
  async bake_ms_demo() {
    if (!sentinelIsThere()) throw new Error('models/sentinel.glb absent')
    const figure = await sentinelFigure()
    const kernel = createBakeKernel(figure)
    const torches = [BENCH_TORCH, { ...BENCH_TORCH, azimuthDegrees: 190 }]
    const value = bestMs(2, () => {
      for (const torch of torches) kernel.bake({}, emittersOf(torch, figure, REFINED.directions), REFINED)
    })
    return { value, unit: 'ms', note: `2 torches of ${REFINED.directions} directions, one core, ${sizesOf(figure)}` }
  },

  async bake_ms_1m() {
    const figure = figures.triangles1m()
    const kernel = createBakeKernel(figure)
    const value = bestMs(1, () => kernel.bake({}, front(figure), REFINED))
    const note = `1 torch of ${REFINED.directions} directions at ${bufferSizeFor(figure)}², one core, ${sizesOf(figure)}`
    return { value, unit: 'ms', note }
  },

  async peak_mb_1m() {
    return peakMb(figures.triangles1m())
  },

  async peak_mb_3m() {
    return peakMb(figures.vertices1500k())
  },

  async bake_vs_rays_one_core() {
    const figure = figures.vertices1500k()
    const ours = directionMs(figure)
    const rays = raysMs(figure, opennessEmitters(8)) / 8
    const note = `${ours.toFixed(1)} ms against ${rays.toFixed(0)} ms a direction at ${bufferSizeFor(figure)}², ${sizesOf(figure)}`
    return { value: rays / ours, unit: 'times', note }
  },

  /** What a page would wait for: all 64 directions, with the messages and the sum, against the rays of as many. */
  async bake_vs_rays_all_cores() {
    const figure = figures.vertices1500k()
    const cores = poolSize(availableParallelism())
    const ours = await poolMs(figure, front(figure), REFINED.bufferSize, cores, 3)
    const rays = raysMs(figure, front(figure))
    const note = `${(ours / 1000).toFixed(2)} s on ${cores} cores against ${(rays / 1000).toFixed(0)} s on one, ${REFINED.directions} directions at ${bufferSizeFor(figure)}², ${sizesOf(figure)}`
    return { value: rays / ours, unit: 'times', note }
  },

  async cancel_ms_3m() {
    const figure = figures.vertices1500k()
    const times = await cancelMs(figure)
    const note = `median of ${times.length} moments, worst ${times.at(-1)!.toFixed(0)} ms, one worker, ${sizesOf(figure)}`
    return { value: times[times.length >> 1], unit: 'ms', note }
  },

  async bake_vs_memory_limit() {
    const figure = figures.vertices1500k()
    const ours = directionMs(figure)
    const bytes =
      (28 * figure.positions.length) / 3 + (12 * figure.triangles.length) / 3 + 8 * bufferSizeFor(figure) ** 2
    const limit = (1000 * bytes) / copyBandwidth()
    return {
      value: ours / limit,
      unit: 'times',
      note: `${ours.toFixed(1)} ms against ${limit.toFixed(1)} ms a direction`,
    }
  },

  async coarse_ms_300k() {
    const figure = figures.vertices300k()
    const emitters = coarseEmittersOf(BENCH_TORCH, figure, front(figure))
    const value = await poolMs(figure, emitters, COARSE_BUFFER, 2, 12)
    return { value, unit: 'ms', note: `2 cores, ${emitters.length} directions, ${sizesOf(figure)}` }
  },

  async refined_ms_300k() {
    const figure = figures.vertices300k()
    const value = await poolMs(figure, front(figure), REFINED.bufferSize, 2, 3)
    return { value, unit: 'ms', note: `2 cores, ${sizesOf(figure)}` }
  },

  async bake_linearity() {
    const [small, large] = [figures.triangles100k(), figures.vertices1500k()]
    const perTriangle = (figure: Figure) => directionMs(figure) / figure.triangles.length
    const value = perTriangle(large) / perTriangle(small)
    return { value, unit: 'times', note: `${bufferSizeFor(small)}² and ${bufferSizeFor(large)}² pixels` }
  },
}
