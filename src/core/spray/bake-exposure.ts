import type { Figure } from '../mesh/figure.ts'
import type { PartId, PartState } from '../recipe/recipe.ts'
import { finish, type Steps } from '../steps.ts'
import { normalize, subtract, type Vec3 } from '../vec3.ts'
import { closedParts, closedPartsSteps } from './closed-parts.ts'
import type { DepthKernel } from './depth-kernel.ts'
import { viewOf } from './depth-views.ts'
import { coverageOf, type Emitter } from './emitters.ts'
import { createPlainDepthKernel } from './plain-depth-kernel.ts'
import { groupsOf, type SprayGroup } from './spray-groups.ts'
import { densityPerSr } from './spray-pattern.ts'
import { partsKey } from './torch-field-key.ts'
import { createWasmDepthKernel, wasmDepthKernelSteps } from './wasm-depth-kernel.ts'

/** Side of the depth buffers in pixels while a torch is dragged, see `coarseEmittersOf`. */
export const COARSE_BUFFER = 512
/** When the hand rests: emitters of a torch, side of the depth buffers. */
export const REFINED = { directions: 64, bufferSize: 'auto' } as const

/**
 * Σ weight · kernel · visibility of the emitters at every vertex: V floats, 0 for absent parts. Linear in the list of
 * emitters, so workers may share it out and add.
 *
 * Part states: 'on' parts receive and shadow one another; an 'apart' part receives where it stands and is shadowed by
 * itself alone; an 'absent' one does neither. Parts not named are 'on'.
 */
export function bakeExposure(
  figure: Figure,
  partStates: Readonly<Record<PartId, PartState>>,
  emitters: readonly Emitter[],
  options: BakeOptions = {},
): Float32Array {
  const kernel = createBakeKernel(figure)
  try {
    return kernel.bake(partStates, emitters, options)
  } finally {
    kernel.dispose()
  }
}

/**
 * Cosine-weighted unoccluded share of the hemisphere over each vertex: 1 in the open, 0 buried. V floats.
 * @param directionCount over the whole sphere; error about 1.5/√count of the value at worst
 */
export function openness(
  figure: Figure,
  partStates: Readonly<Record<PartId, PartState>>,
  directionCount: number,
): Float32Array {
  return bakeExposure(figure, partStates, opennessEmitters(directionCount))
}

/** Evenly spread parallel directions whose exposure is openness: (1/π) ∫ V cos dΩ over 4π/count each. */
export function opennessEmitters(directionCount: number): Emitter[] {
  const golden = Math.PI * (3 - Math.sqrt(5))
  return Array.from({ length: directionCount }, (_, i) => {
    const y = 1 - (2 * i + 1) / directionCount
    const ring = Math.sqrt(1 - y * y)
    const toward: Vec3 = [ring * Math.cos(i * golden), y, ring * Math.sin(i * golden)]
    return { kind: 'parallel', toward, weight: 4 / directionCount }
  })
}

export interface BakeOptions {
  readonly bufferSize?: number | 'auto'
}

/** A figure uploaded once, for many bakes. */
export interface BakeKernel {
  readonly kind: DepthKernel['kind']
  /** As `bakeExposure`. The array is the caller's own. */
  bake(
    partStates: Readonly<Record<PartId, PartState>>,
    emitters: readonly Emitter[],
    options?: BakeOptions,
  ): Float32Array
  /** The same in steps. Only one bake of a kernel at a time. */
  bakeSteps(
    partStates: Readonly<Record<PartId, PartState>>,
    emitters: readonly Emitter[],
    options?: BakeOptions,
  ): Steps<Float32Array>
  dispose(): void
}

/** The fast twin, or the plain one where there is no WebAssembly with SIMD. */
export const createDepthKernel = (figure: Figure): DepthKernel =>
  createWasmDepthKernel(figure) ?? createPlainDepthKernel(figure)

/** A few milliseconds of work each. */
const TRIANGLES_A_STEP = 100_000
const VERTICES_A_STEP = 50_000

export function createBakeKernel(figure: Figure, kernel: DepthKernel = createDepthKernel(figure)): BakeKernel {
  return bakeKernelOf(figure, kernel, closedParts(figure))
}

/** Both makers in steps: millions of triangles take a tenth of a second to copy and to look at. */
export function* depthKernelSteps(figure: Figure): Steps<DepthKernel> {
  return (yield* wasmDepthKernelSteps(figure)) ?? createPlainDepthKernel(figure)
}

export function* bakeKernelSteps(figure: Figure, kernel: DepthKernel): Steps<BakeKernel> {
  return bakeKernelOf(figure, kernel, yield* closedPartsSteps(figure))
}

function bakeKernelOf(figure: Figure, kernel: DepthKernel, closed: readonly boolean[]): BakeKernel {
  const autoSize = bufferSizeFor(figure)
  // Finding the boxes reads every vertex; a bake is often asked for a few directions at a time.
  let grouped: { readonly key: string; readonly groups: readonly SprayGroup[] } | null = null
  function* bakeSteps(
    partStates: Readonly<Record<PartId, PartState>>,
    emitters: readonly Emitter[],
    { bufferSize = 'auto' }: BakeOptions = {},
  ): Steps<Float32Array> {
    const size = bufferSize === 'auto' ? autoSize : bufferSize
    const key = partsKey(figure.id, partStates)
    if (grouped?.key !== key) grouped = { key, groups: groupsOf(figure, partStates, closed) }
    kernel.exposure.fill(0)
    for (const [i, emitter] of emitters.entries()) {
      const share = i / emitters.length
      for (const group of grouped.groups)
        for (const _ of emitterSteps(figure, kernel, group, emitter, size)) yield share
    }
    return kernel.exposure.slice()
  }
  return {
    kind: kernel.kind,
    bake: (partStates, emitters, options) => finish(bakeSteps(partStates, emitters, options)),
    bakeSteps,
    dispose: () => kernel.dispose(),
  }
}

function* emitterSteps(
  figure: Figure,
  kernel: DepthKernel,
  group: SprayGroup,
  emitter: Emitter,
  size: number,
): Generator<undefined, void, undefined> {
  kernel.begin(viewOf(emitter, group.box, size))
  for (const { firstVertex, vertexCount } of group.ranges) kernel.project(firstVertex, vertexCount)
  for (const { firstTriangle, triangleCount, closed } of group.ranges) {
    for (let done = 0; done < triangleCount; done += TRIANGLES_A_STEP) {
      yield
      kernel.draw(firstTriangle + done, Math.min(TRIANGLES_A_STEP, triangleCount - done), closed)
    }
  }
  for (const { firstVertex, vertexCount } of group.ranges) {
    for (let done = 0; done < vertexCount; done += VERTICES_A_STEP) {
      yield
      const first = firstVertex + done
      const count = Math.min(VERTICES_A_STEP, vertexCount - done)
      if (emitter.kind === 'parallel' && !emitter.swept) {
        kernel.addParallel(first, count, emitter.weight)
      } else {
        kernel.findVisibility(first, count)
        addVisible(figure, kernel, emitter, first, count)
      }
    }
  }
}

/** exposure += weight · kernel · visibility for emitters whose kernel varies over the figure. Twin of `kernelAt`. */
function addVisible(figure: Figure, kernel: DepthKernel, emitter: Emitter, first: number, count: number): void {
  const { positions, normals } = figure
  const { exposure, visibility } = kernel
  if (emitter.kind === 'parallel') {
    const { toward, weight } = emitter
    const swept = emitter.swept!
    for (let vertex = first; vertex < first + count; vertex++) {
      if (visibility[vertex] === 0) continue
      const i = 3 * vertex
      const cosGamma = normals[i] * toward[0] + normals[i + 1] * toward[1] + normals[i + 2] * toward[2]
      if (cosGamma <= 0) continue
      const coverage = coverageOf(swept, toward, [positions[i], positions[i + 1], positions[i + 2]])
      exposure[vertex] += weight * cosGamma * coverage * visibility[vertex]
    }
    return
  }
  const { position, weight, pattern } = emitter
  const axis = normalize(subtract(position, emitter.aim))
  for (let vertex = first; vertex < first + count; vertex++) {
    if (visibility[vertex] === 0) continue
    const i = 3 * vertex
    const x = position[0] - positions[i]
    const y = position[1] - positions[i + 1]
    const z = position[2] - positions[i + 2]
    const cosTimesDistance = normals[i] * x + normals[i + 1] * y + normals[i + 2] * z
    if (cosTimesDistance <= 0) continue
    const distance = Math.sqrt(x * x + y * y + z * z)
    const cosTheta = (x * axis[0] + y * axis[1] + z * axis[2]) / distance
    exposure[vertex] +=
      (weight * densityPerSr(pattern, cosTheta) * cosTimesDistance * visibility[vertex]) /
      (distance * distance * distance)
  }
}

/**
 * About four pixels between neighbouring vertices, 512 to 2048: finer buys nothing, the surface itself is coarser.
 */
export function bufferSizeFor(figure: Figure): number {
  const { positions, triangles, box } = figure
  const sampled = Math.max(1, Math.floor(triangles.length / 3 / 4096))
  let sum = 0
  let count = 0
  for (let t = 0; t < triangles.length; t += 3 * sampled) {
    const a = 3 * triangles[t]
    const b = 3 * triangles[t + 1]
    sum += Math.hypot(
      positions[a] - positions[b],
      positions[a + 1] - positions[b + 1],
      positions[a + 2] - positions[b + 2],
    )
    count++
  }
  const diagonal = Math.hypot(box[3] - box[0], box[4] - box[1], box[5] - box[2])
  const wanted = (PIXELS_AN_EDGE * diagonal) / Math.max(sum / Math.max(count, 1), 1e-9)
  return Math.min(2048, Math.max(512, 256 * Math.ceil(wanted / 256)))
}

const PIXELS_AN_EDGE = 6
