import { bakeKernelSteps, depthKernelSteps } from '../core/spray/bake-exposure.ts'
import type { Steps } from '../core/steps.ts'
import { type KeptFigure, scanHandlers } from './scan-handlers.ts'
import type { CallContext, Handlers } from './serve-compute.ts'
import { trialHandlers } from './trial-handlers.ts'

/** Work between two breaths, ms; a step more and a cancel is heard. */
const SLICE_MS = 8

/** @param now ms; only lengths of time matter */
export function bakeHandlers(now: () => number): Handlers<'bake'> {
  let kept: KeptFigure | null = null
  const keptOf = (figureId: string): KeptFigure => {
    if (kept?.figure.id !== figureId) throw new Error(`figure ${figureId} is not the one kept here`)
    return kept
  }

  async function run<T>(steps: Steps<T>, { breathe }: CallContext): Promise<T> {
    let breathed = now()
    for (;;) {
      const step = steps.next()
      if (step.done) return step.value
      if (now() - breathed < SLICE_MS) continue
      await breathe(step.value)
      breathed = now()
    }
  }

  return {
    ...scanHandlers(keptOf),
    ...trialHandlers(keptOf, run),

    async keepFigure({ figure }, context) {
      kept?.kernel.dispose()
      kept = null
      const depth = await run(depthKernelSteps(figure), context)
      kept = { figure, depth, kernel: await run(bakeKernelSteps(figure, depth), context) }
      return { bytes: figure.positions.byteLength + figure.normals.byteLength + figure.triangles.byteLength }
    },

    async bakeEmitters({ figureId, partStates, emitters, bufferSize }, context) {
      const { kernel } = keptOf(figureId)
      return { exposure: await run(kernel.bakeSteps(partStates, emitters, { bufferSize }), context) }
    },
  }
}
