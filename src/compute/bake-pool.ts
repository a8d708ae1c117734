import type { Figure } from '../core/mesh/figure.ts'
import type { PartId, PartState } from '../core/recipe/recipe.ts'
import type { Emitter } from '../core/spray/emitters.ts'
import { type CallOptions, type ComputeClient, cancelled, createComputeClient } from './compute-client.ts'
import type { WorkerPort } from './protocol.ts'

/** What one field needs, whichever source it is of. */
export interface BakeJob {
  readonly partStates: Readonly<Record<PartId, PartState>>
  readonly emitters: readonly Emitter[]
  readonly bufferSize: number | 'auto'
}

/** Workers that share a torch's emitters out among them. */
export interface BakePool {
  readonly size: number
  /** @param copies of the figure, one a worker; they are moved. Where they are short the figure itself is copied. */
  keepFigure(figure: Figure, copies: readonly Figure[]): void
  /** The shares of the field, to be added up. Another figure cancels it: nothing of the one before ever comes back. */
  bake(job: BakeJob, options?: Pick<CallOptions, 'signal' | 'onProgress'>): Promise<readonly Float32Array[]>
  /** Deals items out to whichever worker is free, a few at a time, so that a bake that comes between never waits long. */
  deal<T, R>(job: DealJob<T, R>, signal: AbortSignal): Promise<void>
  close(): void
}

export interface DealJob<T, R> {
  readonly items: readonly T[]
  /** Items a call. */
  readonly handful: number
  /** What each worker is asked before its first handful. */
  readonly prepare?: (worker: ComputeClient<'bake'>, signal: AbortSignal) => Promise<unknown>
  /** One result an item, in their order. */
  readonly ask: (worker: ComputeClient<'bake'>, items: readonly T[], signal: AbortSignal) => Promise<readonly R[]>
  /** @param first index in `items` of the first result */
  readonly onResults: (first: number, results: readonly R[]) => void
}

/** Two at least: one field is always shared. Eight at most: beyond that the figure's copies cost more than they bring. */
export const poolSize = (cores: number): number => Math.min(8, Math.max(2, Math.floor(cores)))

/** A worker that dies fails its open calls with 'worker/crashed'; a fresh one takes its place with the same figure. */
export function createBakePool(size: number, start: () => WorkerPort): BakePool {
  let figure: Figure | null = null
  let closed = false
  const workers: ComputeClient<'bake'>[] = []

  /** Deaths since anything was baked: a script that never loads is not started for ever. */
  let crashes = 0

  const startAt = (i: number) => {
    workers[i] = createComputeClient<'bake'>(start(), () => {
      if (closed || ++crashes > 3 * size) return
      startAt(i)
      if (figure) give(i, figure, false)
    })
  }
  /** Aborted when another figure comes: nobody finishes taking in the old one, or baking it. */
  let taking = new AbortController()
  const give = (i: number, given: Figure, move: boolean) => {
    // A failure shows up in the bake that needs the figure.
    workers[i].call('keepFigure', { figure: given }, { move, signal: taking.signal }).catch(() => {})
  }
  for (let i = 0; i < size; i++) startAt(i)

  return {
    size,
    keepFigure(next, copies) {
      figure = next
      taking.abort(cancelled())
      taking = new AbortController()
      workers.forEach((_, i) => {
        if (copies[i]) give(i, copies[i], true)
        else give(i, next, false)
      })
    },
    async bake({ partStates, emitters, bufferSize }, { signal, onProgress } = {}) {
      if (!figure) throw new Error('there is no figure to bake')
      const figureId = figure.id
      const hands = workers
        .map((worker, i) => ({ worker, emitters: emitters.filter((_, e) => e % size === i), done: 0 }))
        .filter(hand => hand.emitters.length > 0)
      // When one hand fails the others stop as well.
      const stop = new AbortController()
      const anyOf = AbortSignal.any(signal ? [signal, stop.signal, taking.signal] : [stop.signal, taking.signal])
      try {
        const shares = await Promise.all(
          hands.map(async hand => {
            const { exposure } = await hand.worker.call(
              'bakeEmitters',
              { figureId, partStates, emitters: hand.emitters, bufferSize },
              {
                signal: anyOf,
                onProgress: fraction => {
                  hand.done = fraction * hand.emitters.length
                  onProgress?.(hands.reduce((sum, h) => sum + h.done, 0) / emitters.length)
                },
              },
            )
            return exposure
          }),
        )
        crashes = 0
        return shares
      } catch (thrown) {
        stop.abort()
        throw thrown
      }
    },
    async deal({ items, handful, prepare, ask, onResults }, signal) {
      let next = 0
      // When one worker fails the others stop as well.
      const stop = new AbortController()
      const either = AbortSignal.any([signal, stop.signal])
      const work = async (worker: ComputeClient<'bake'>) => {
        await prepare?.(worker, either)
        while (next < items.length) {
          const first = next
          next += handful
          const results = await ask(worker, items.slice(first, first + handful), either)
          onResults(first, results)
        }
      }
      try {
        await Promise.all(workers.map(work))
        crashes = 0
      } catch (thrown) {
        stop.abort()
        throw thrown
      }
    },
    close() {
      closed = true
      for (const worker of workers) worker.close()
    },
  }
}
