import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { compileKernel, kernelModuleText } from '../../../scripts/build-kernel.ts'
import { rgbWeightsUnder } from '../colour/band-weights.ts'
import { LAMPS } from '../colour/illuminants.ts'
import { mistTable } from '../film/mist-table.ts'
import { pigmentOptics } from '../film/paint-optics.ts'
import { seeded } from '../film/test-stacks.ts'
import { plainKernel, type StackKernel, wasmKernel } from './stack-kernel.ts'

test('the committed kernel is what its source compiles to', async () => {
  const committed = readFileSync(new URL('./stack-kernel.generated.ts', import.meta.url), 'utf8')
  expect(kernelModuleText(await compileKernel('stack'), 'stack')).toBe(committed)
})

describe('the fast twin and the plain one', () => {
  // More than one block of the fast one, and not a whole number of them.
  const vertices = 9001
  const next = seeded(11)
  const layer = (ci: string, largestUm: number, dropletUm: number) => {
    const depositUm = Float32Array.from({ length: vertices }, () => (next() < 0.2 ? 0 : largestUm * next() ** 3))
    depositUm[17] = Math.fround(largestUm)
    return { depositUm, table: mistTable(pigmentOptics(ci), Math.fround(largestUm), dropletUm) }
  }
  const layers = [layer('PW6', 25, 0.3), layer('PB29', 2, 0), layer('PY74', 400, 1), layer('PBk7', 0.3, 0.05)]
  const ground = Float64Array.from({ length: 16 }, (_, b) => 0.02 + 0.06 * b)
  const run = (kernel: StackKernel, afterLayers: number) => {
    const linearRgb = new Float32Array(3 * vertices)
    const early = { afterLayers, linearRgb: new Float32Array(3 * vertices) }
    kernel({ ground, layers, weights, linearRgb, early })
    return [linearRgb, early.linearRgb]
  }
  const weights = rgbWeightsUnder(LAMPS.A)
  const fast = wasmKernel()

  test('this engine has the fast one', () => expect(fast).not.toBeNull())

  // float32 carries 7 digits through four layers and a division.
  test.each([0, 2, 4])('agree to 2e-5, also after %i layers', afterLayers => {
    const [plain, quick] = [run(plainKernel, afterLayers), run(fast!, afterLayers)]
    for (const which of [0, 1]) {
      let worst = 0
      plain[which].forEach((value, i) => {
        worst = Math.max(worst, Math.abs(value - quick[which][i]))
      })
      expect(worst).toBeLessThan(2e-5)
    }
    expect(new Set(quick[1]).size).toBeGreaterThan(afterLayers === 0 ? 1 : 1000)
  })

  test('no layers at all show the ground', () => {
    const [plain, quick] = [plainKernel, fast!].map(kernel => {
      const linearRgb = new Float32Array(6)
      kernel({ ground, layers: [], weights, linearRgb, early: null })
      return linearRgb
    })
    expect(Math.abs(plain[4] - quick[4])).toBeLessThan(1e-6)
    expect(plain[4]).toBeGreaterThan(0.1)
  })
})
