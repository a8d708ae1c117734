import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { compileKernel, kernelModuleText } from '../../../scripts/build-kernel.ts'
import { directionFrom, scale } from '../vec3.ts'
import { createBakeKernel } from './bake-exposure.ts'
import type { Emitter } from './emitters.ts'
import { createPlainDepthKernel } from './plain-depth-kernel.ts'
import { figureOf, icosphere, type TestPiece } from './test-figures.ts'
import { createWasmDepthKernel } from './wasm-depth-kernel.ts'

test('the committed kernel is what its source compiles to', async () => {
  const committed = readFileSync(new URL('depth-kernel.generated.ts', import.meta.url), 'utf8')
  expect(kernelModuleText(await compileKernel())).toBe(committed)
})

/** Seeded, so that a failure repeats (mulberry32, T. Ettinger, public domain). */
function randomFrom(seed: number): () => number {
  return () => {
    seed = (seed + 0x6d2b79f5) | 0
    let t = Math.imul(seed ^ (seed >>> 15), 1 | seed)
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
}

/** Loose triangles of every size and tilt, and two balls: open, overlapping, nothing in order. */
function randomFigure(seed: number) {
  const random = randomFrom(seed)
  const positions: number[] = []
  const triangles: number[] = []
  for (let t = 0; t < 400; t++) {
    const centre = [random() * 30 - 15, random() * 30, random() * 30 - 15]
    const size = 0.05 * 200 ** random()
    for (let c = 0; c < 9; c++) positions.push(centre[c % 3] + size * (random() - 0.5))
    triangles.push(3 * t, 3 * t + 1, 3 * t + 2)
  }
  const soup: TestPiece = { positions, triangles }
  return figureOf([soup, icosphere(4, 6, [2, 10, -3]), icosphere(3, 3, [-5, 20, 4])])
}

describe('the WebAssembly twin does what the plain one does', () => {
  test.each([1, 2, 3])('random mesh %d: parallel, nozzle, part states', seed => {
    const figure = randomFigure(seed)
    const fast = createWasmDepthKernel(figure)
    expect(fast).not.toBeNull()
    const kernels = [createBakeKernel(figure, fast!), createBakeKernel(figure, createPlainDepthKernel(figure))]
    const nozzle: Emitter = {
      kind: 'nozzle',
      position: scale(directionFrom(70 * seed, 20), 45),
      aim: [0, 12, 0],
      pattern: { kind: 'gaussian', s: 0.12 },
      weight: 50,
    }
    const emitters: Emitter[] = [nozzle]
    for (let i = 0; i < 6; i++) {
      emitters.push({ kind: 'parallel', toward: directionFrom(61 * i + 7 * seed, 31 * i - 80), weight: 1 })
    }
    for (const emitter of emitters) {
      const [a, b] = kernels.map(k => k.bake({ piece_3: 'apart' }, [emitter], { bufferSize: 700 }))
      let off = 0
      let sum = 0
      a.forEach((e, v) => {
        off += Math.abs(e - b[v])
        sum += b[v]
      })
      expect(sum).toBeGreaterThan(1)
      // Single against double precision moves a pixel at an edge now and then.
      expect(off / sum).toBeLessThan(0.002)
    }
  })
})
