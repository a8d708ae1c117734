import type { BandWeights } from '../colour/band-weights.ts'
import { BANDS } from '../colour/bands.ts'
import { type MistTable, TABLE_NODES, TABLE_ROW } from '../film/mist-table.ts'
import { SURFACE } from '../film/saunderson.ts'
import { STACK_KERNEL_BASE64 } from './stack-kernel.generated.ts'

export interface StackLayer {
  readonly table: MistTable
  /** V floats, dry µm; at most the table's largest. */
  readonly depositUm: Float32Array
}

export interface StackWork {
  /** Internal reflectance of what lies under all layers, 16 bands. */
  readonly ground: ArrayLike<number>
  /** Bottom first. */
  readonly layers: readonly StackLayer[]
  /** Seen reflectance to linear sRGB under a lamp; rows add up to 1. */
  readonly weights: BandWeights
  /** 3·V linear sRGB of the whole stack, matt surface included: written. */
  readonly linearRgb: Float32Array
  /** The same after this many layers, into an array of its own; null when nobody asks. */
  readonly early: { readonly afterLayers: number; readonly linearRgb: Float32Array } | null
}

/** Puts every layer on the ground at every vertex. */
export type StackKernel = (work: StackWork) => void

/**
 * The reference that reads well. A layer takes reflectance R to A + B·R/(1 − C·R), a Möbius map; kept as the fraction
 * p/q it is p' = A·q + M·p, q' = q − C·p with M = B − A·C, and only the eye divides.
 * Twin: stack-kernel.as.ts. Change both or neither; stack-kernel.test.ts compares them.
 */
export const plainKernel: StackKernel = ({ ground, layers, weights, linearRgb, early }) => {
  const inner = innerWeights(weights)
  const p = new Float64Array(BANDS)
  const q = new Float64Array(BANDS)
  for (let v = 0; 3 * v < linearRgb.length; v++) {
    p.set(ground)
    q.fill(1)
    if (early?.afterLayers === 0) see(p, q, inner, early.linearRgb, 3 * v)
    layers.forEach(({ table: { values, nodesPerRootUm }, depositUm }, layer) => {
      const um = depositUm[v]
      if (um > 0) {
        const place = Math.sqrt(um) * nodesPerRootUm
        const node = Math.min(Math.floor(place), TABLE_NODES - 2)
        const t = Math.min(1, place - node)
        for (let band = 0, at = node * TABLE_ROW; band < BANDS; band++, at++) {
          const a = values[at] + t * (values[at + TABLE_ROW] - values[at])
          const m = values[at + BANDS] + t * (values[at + BANDS + TABLE_ROW] - values[at + BANDS])
          const c = values[at + 2 * BANDS] + t * (values[at + 2 * BANDS + TABLE_ROW] - values[at + 2 * BANDS])
          const under = p[band]
          p[band] = a * q[band] + m * under
          q[band] -= c * under
        }
      }
      if (early?.afterLayers === layer + 1) see(p, q, inner, early.linearRgb, 3 * v)
    })
    see(p, q, inner, linearRgb, 3 * v)
  }
}

/** The air surface and the matrix: k1 + (1−k1)(1−k2)·R/(1 − k2·R); the rows of the matrix add up to 1. */
function see(p: Float64Array, q: Float64Array, inner: BandWeights, rgb: Float32Array, to: number): void {
  const { k1, k2 } = SURFACE
  for (let c = 0; c < 3; c++) {
    let sum = 0
    for (let band = 0; band < BANDS; band++) sum += (inner[c][band] * p[band]) / (q[band] - k2 * p[band])
    rgb[to + c] = k1 + sum
  }
}

const innerWeights = (weights: BandWeights) =>
  weights.map(row => row.map(w => (1 - SURFACE.k1) * (1 - SURFACE.k2) * w)) as unknown as BandWeights

interface KernelExports {
  run(
    count: number,
    layers: number,
    lastNode: number,
    scales: number,
    tables: number,
    tableBytes: number,
    deposits: number,
    columnBytes: number,
    ground: number,
    weights: number,
    surface: number,
    k2: number,
    readAfter: number,
    early: number,
    final: number,
  ): void
}

let compiled: WebAssembly.Module | null | undefined

function kernelModule(): WebAssembly.Module | null {
  if (compiled === undefined) {
    try {
      compiled = new WebAssembly.Module(Uint8Array.from(atob(STACK_KERNEL_BASE64), c => c.charCodeAt(0)))
    } catch {
      compiled = null
    }
  }
  return compiled
}

/** Vertices at a time: deposits go in and colours come out of the kernel's own memory in blocks that stay in the cache. */
const BLOCK = 4096
const NEVER = -1

/** The fast twin, or null where WebAssembly with SIMD or memory is missing. float32 throughout. */
export function wasmKernel(): StackKernel | null {
  const module = kernelModule()
  if (!module) return null
  return ({ ground, layers, weights, linearRgb, early }) => {
    let next = 1024
    const reserve = (floats: number) => {
      const at = next
      next = (next + 4 * floats + 15) & ~15
      return at
    }
    const tableFloats = TABLE_NODES * TABLE_ROW
    const groundAt = reserve(BANDS)
    const weightsAt = reserve(3 * BANDS)
    const scalesAt = reserve(layers.length)
    const tablesAt = reserve(layers.length * tableFloats)
    const depositsAt = reserve(layers.length * BLOCK)
    const earlyAt = reserve(3 * BLOCK)
    const finalAt = reserve(3 * BLOCK)
    const memory = new WebAssembly.Memory({ initial: Math.ceil(next / 65536) })
    const { run } = new WebAssembly.Instance(module, { env: { memory } }).exports as unknown as KernelExports
    const floats = new Float32Array(memory.buffer)
    floats.set(ground, groundAt / 4)
    innerWeights(weights).forEach((row, c) => {
      floats.set(row, weightsAt / 4 + c * BANDS)
    })
    layers.forEach(({ table }, i) => {
      floats[scalesAt / 4 + i] = table.nodesPerRootUm
      floats.set(table.values, tablesAt / 4 + i * tableFloats)
    })
    const vertices = linearRgb.length / 3
    for (let first = 0; first < vertices; first += BLOCK) {
      const count = Math.min(BLOCK, vertices - first)
      layers.forEach(({ depositUm }, i) => {
        floats.set(depositUm.subarray(first, first + count), depositsAt / 4 + i * BLOCK)
      })
      run(
        count,
        layers.length,
        TABLE_NODES - 1,
        scalesAt,
        tablesAt,
        4 * tableFloats,
        depositsAt,
        4 * BLOCK,
        groundAt,
        weightsAt,
        SURFACE.k1,
        SURFACE.k2,
        early?.afterLayers ?? NEVER,
        earlyAt,
        finalAt,
      )
      linearRgb.set(floats.subarray(finalAt / 4, finalAt / 4 + 3 * count), 3 * first)
      early?.linearRgb.set(floats.subarray(earlyAt / 4, earlyAt / 4 + 3 * count), 3 * first)
    }
  }
}
