import type { Figure } from '../mesh/figure.ts'
import { finish, type Steps } from '../steps.ts'
import { DEPTH_KERNEL_BASE64 } from './depth-kernel.generated.ts'
import { BIAS_CURVE, BIAS_MAX_TAN2, BIAS_PIXELS, type DepthKernel, type DepthView, MAX_SLOPE } from './depth-kernel.ts'

interface KernelExports {
  place(...addresses: number[]): void
  begin(...view: number[]): void
  project(first: number, count: number): void
  draw(first: number, count: number, frontOnly: number): void
  addParallel(first: number, count: number, weight: number): void
  findVisibility(first: number, count: number): void
}

let compiled: WebAssembly.Module | null | undefined

/**
 * A few kB, compiled at once; meant for workers (old engines refuse more than 4 kB on a page's main thread).
 * null where there is no WebAssembly with SIMD.
 */
function kernelModule(): WebAssembly.Module | null {
  if (compiled === undefined) {
    try {
      const text = atob(DEPTH_KERNEL_BASE64)
      compiled = new WebAssembly.Module(Uint8Array.from(text, c => c.charCodeAt(0)))
    } catch {
      compiled = null
    }
  }
  return compiled
}

/**
 * The fast twin: the figure is copied once into memory of its own, which grows with the depth buffer.
 * @returns null where WebAssembly with SIMD is missing or memory is short; use the plain twin
 */
export function* wasmDepthKernelSteps(
  figure: Pick<Figure, 'positions' | 'normals' | 'triangles'>,
): Steps<DepthKernel | null> {
  const module = kernelModule()
  if (!module) return null
  const { positions, normals, triangles } = figure
  const count = positions.length / 3
  // Four vertices, and four triangles, are worked on at once: every array has room for three more than there are.
  const column = 4 * (count + 4)
  let next = 1024
  const reserve = (bytes: number) => {
    const at = next
    next = (next + bytes + 15) & ~15
    return at
  }
  const columns = Array.from({ length: 6 }, () => reserve(column))
  const triangleAt = reserve(4 * (triangles.length + 9))
  const screenAt = reserve(16 * (count + 4))
  const exposureAt = reserve(column)
  const visibilityAt = reserve(column)
  const depthAt = next

  let memory: WebAssembly.Memory
  let kernel: KernelExports
  try {
    memory = new WebAssembly.Memory({ initial: pagesFor(depthAt) })
    const instance = new WebAssembly.Instance(module, { env: { memory } })
    kernel = instance.exports as unknown as KernelExports
  } catch {
    return null
  }
  for (const [i, at] of columns.entries()) {
    yield i / (columns.length + 1)
    const source = i < 3 ? positions : normals
    const target = new Float32Array(memory.buffer, at, count)
    for (let v = 0, from = i % 3; v < count; v++, from += 3) target[v] = source[from]
  }
  yield columns.length / (columns.length + 1)
  new Uint32Array(memory.buffer, triangleAt, triangles.length).set(triangles)
  kernel.place(
    ...columns,
    triangleAt,
    screenAt,
    exposureAt,
    visibilityAt,
    depthAt,
    BIAS_PIXELS,
    BIAS_CURVE,
    BIAS_MAX_TAN2,
    MAX_SLOPE,
  )

  let begun: Pick<DepthView, 'width' | 'height' | 'pixel'> = { width: 0, height: 0, pixel: 1 }
  const columnAt = (at: number) => new Float32Array(memory.buffer, at, count)
  return {
    kind: 'wasm',
    get exposure() {
      return columnAt(exposureAt)
    },
    get visibility() {
      return columnAt(visibilityAt)
    },
    begin({ perspective, right, up, toward, origin, pixel, centreX, centreY, width, height }) {
      // The kernel may touch, not change, two rows and three pixels beyond the picture.
      const missing = pagesFor(depthAt + 4 * (width * (height + 2) + 4)) - memory.buffer.byteLength / PAGE_BYTES
      if (missing > 0) memory.grow(missing)
      begun = { width, height, pixel }
      const flag = perspective ? 1 : 0
      kernel.begin(flag, ...right, ...up, ...toward, ...origin, pixel, centreX, centreY, width, height)
    },
    project: (first, n) => kernel.project(first, n),
    draw: (first, n, frontOnly) => kernel.draw(first, n, frontOnly ? 1 : 0),
    addParallel: (first, n, weight) => kernel.addParallel(first, n, weight),
    findVisibility: (first, n) => kernel.findVisibility(first, n),
    picture: () => ({ ...begun, depth: new Float32Array(memory.buffer, depthAt, begun.width * begun.height) }),
    dispose() {
      // Nothing to call: memory goes with the last reference to it.
    },
  }
}

export const createWasmDepthKernel = (
  figure: Pick<Figure, 'positions' | 'normals' | 'triangles'>,
): DepthKernel | null => finish(wasmDepthKernelSteps(figure))

const PAGE_BYTES = 65536
const pagesFor = (bytes: number): number => Math.ceil(bytes / PAGE_BYTES)
