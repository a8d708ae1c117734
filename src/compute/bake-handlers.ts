import { BakeStopped, createBakeKernel, createDepthKernel } from '../core/spray/bake-exposure.ts'
import { type KeptFigure, scanHandlers } from './scan-handlers.ts'
import type { Handlers } from './serve-compute.ts'

/** Work between two breaths, ms: a cancel comes this late, or one emitter. */
const SLICE_MS = 8

/** @param now ms; only lengths of time matter */
export function bakeHandlers(now: () => number): Handlers<'bake'> {
  let kept: KeptFigure | null = null
  const keptOf = (figureId: string): KeptFigure => {
    if (kept?.figure.id !== figureId) throw new Error(`figure ${figureId} is not the one kept here`)
    return kept
  }
  return {
    ...scanHandlers(keptOf),

    keepFigure({ figure }) {
      kept?.kernel.dispose()
      const depth = createDepthKernel(figure)
      kept = { figure, depth, kernel: createBakeKernel(figure, depth) }
      return { bytes: figure.positions.byteLength + figure.normals.byteLength + figure.triangles.byteLength }
    },

    async bakeEmitters({ figureId, partStates, emitters, bufferSize }, { signal, breathe }) {
      const { kernel, figure } = keptOf(figureId)
      const vertices = figure.positions.length / 3
      const sum = new Float32Array(vertices)
      let breathed = now()
      // One emitter after another, so that the sum does not depend on how fast this machine is.
      for (let i = 0; i < emitters.length; i++) {
        try {
          const share = kernel.bake(partStates, [emitters[i]], { bufferSize }, { shouldStop: () => signal.aborted })
          for (let v = 0; v < vertices; v++) sum[v] += share[v]
        } catch (thrown) {
          if (thrown instanceof BakeStopped) signal.throwIfAborted()
          throw thrown
        }
        if (now() - breathed < SLICE_MS && i + 1 < emitters.length) continue
        await breathe((i + 1) / emitters.length)
        breathed = now()
      }
      return { exposure: sum }
    },
  }
}
