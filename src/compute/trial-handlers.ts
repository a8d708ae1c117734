import { shareReached } from '../core/reading/side-check.ts'
import type { Steps } from '../core/steps.ts'
import type { BakeCalls } from './protocol.ts'
import type { KeptFigure } from './scan-handlers.ts'
import type { CallContext } from './serve-compute.ts'

/** As fine as while a torch is dragged. */
const BUFFER_SIZE = 512

type Request = BakeCalls['tryRemedies']['request']
type Reply = BakeCalls['tryRemedies']['reply']

/** What else would light the figure, tried out in the bake worker: only the shares come back. */
export const trialHandlers = (
  keptOf: (figureId: string) => KeptFigure,
  run: <T>(steps: Steps<T>, context: CallContext) => Promise<T>,
) => ({
  async tryRemedies({ figureId, trials, spots, dark }: Request, context: CallContext): Promise<Reply> {
    const { figure, kernel } = keptOf(figureId)
    const reached: number[][] = []
    for (const { bakes, onTop } of trials) {
      const exposure = new Float32Array(figure.positions.length / 3)
      for (const { partStates, emitters } of bakes) {
        const share = await run(kernel.bakeSteps(partStates, emitters, { bufferSize: BUFFER_SIZE }), context)
        for (let v = 0; v < share.length; v++) exposure[v] += share[v]
      }
      reached.push(spots.map(of => shareReached(figure, of, exposure, dark, onTop)))
    }
    return { reached }
  },
})
