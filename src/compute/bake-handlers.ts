import { type BakeKernel, BakeStopped, createBakeKernel } from '../core/spray/bake-exposure.ts'
import type { Handlers } from './serve-compute.ts'

/** Work between two breaths, ms: how late a cancel may come. */
const SLICE_MS = 8

/** @param now ms; only lengths of time matter */
export function bakeHandlers(now: () => number): Handlers<'bake'> {
  let kept: { figureId: string; vertices: number; kernel: BakeKernel } | null = null
  return {
    keepFigure({ figure }) {
      kept?.kernel.dispose()
      kept = { figureId: figure.id, vertices: figure.positions.length / 3, kernel: createBakeKernel(figure) }
      return { bytes: figure.positions.byteLength + figure.normals.byteLength + figure.triangles.byteLength }
    },

    async bakeEmitters({ figureId, partStates, emitters, bufferSize }, { signal, breathe }) {
      if (kept?.figureId !== figureId) throw new Error(`figure ${figureId} is not the one kept here`)
      const { kernel, vertices } = kept
      const sum = new Float32Array(vertices)
      // A slice is as many emitters as fit between two breaths; the first one measures.
      let slice = 1
      for (let from = 0; from < emitters.length; ) {
        const some = emitters.slice(from, from + slice)
        const began = now()
        try {
          const share = kernel.bake(partStates, some, { bufferSize }, { shouldStop: () => signal.aborted })
          for (let v = 0; v < vertices; v++) sum[v] += share[v]
        } catch (thrown) {
          if (thrown instanceof BakeStopped) signal.throwIfAborted()
          throw thrown
        }
        from += some.length
        slice = Math.max(1, Math.min(16, Math.floor((SLICE_MS * some.length) / Math.max(now() - began, 0.1))))
        await breathe(from / emitters.length)
      }
      return { exposure: sum }
    },
  }
}
