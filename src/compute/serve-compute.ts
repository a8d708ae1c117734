import { type Problem, ProblemError } from '../core/problem.ts'
import { buffersOf } from './buffers-of.ts'
import type { CallName, FromWorker, Port, ReplyOf, RequestOf, ToWorker, WorkerRole } from './protocol.ts'

export interface CallContext {
  readonly signal: AbortSignal
  readonly onProgress: (fraction: number) => void
  /** Reports progress and lets waiting messages in; throws when one of them was this call's cancel. */
  breathe(fraction: number): Promise<void>
}

export type Handlers<R extends WorkerRole> = {
  readonly [N in CallName<R>]: (
    request: RequestOf<R, N>,
    context: CallContext,
  ) => ReplyOf<R, N> | Promise<ReplyOf<R, N>>
}

/**
 * The worker's end: answers calls one after another, in the order they came; replies move their arrays out. A call that
 * is cancelled while it waits never starts; one that runs is stopped at its next breath.
 */
export function serveCompute<R extends WorkerRole>(port: Port, handlers: Handlers<R>): void {
  const send = (message: FromWorker, transfer: Transferable[] = []) => port.postMessage(message, transfer)
  const breath = createBreath()
  const aborts = new Map<number, AbortController>()
  const waiting: Extract<ToWorker, { type: 'call' }>[] = []
  let running = false

  const answer = async ({ id, name, request }: Extract<ToWorker, { type: 'call' }>) => {
    const { signal } = aborts.get(id)!
    const onProgress = (fraction: number) => send({ type: 'progress', id, fraction })
    const context: CallContext = {
      signal,
      onProgress,
      async breathe(fraction) {
        onProgress(fraction)
        await breath()
        signal.throwIfAborted()
      },
    }
    try {
      signal.throwIfAborted()
      const handler = (handlers as Record<string, (request: unknown, context: CallContext) => unknown>)[name]
      if (!handler) throw new Error(`no such call: ${name}`)
      const reply = await handler(request, context)
      signal.throwIfAborted()
      send({ type: 'reply', id, reply }, buffersOf(reply))
    } catch (thrown) {
      send(signal.aborted ? { type: 'cancelled', id } : { type: 'problem', id, problem: problemIn(thrown, name) })
    } finally {
      aborts.delete(id)
    }
  }

  const run = async () => {
    if (running) return
    running = true
    for (let call = waiting.shift(); call; call = waiting.shift()) await answer(call)
    running = false
  }

  port.addEventListener('message', event => {
    const message = event.data as ToWorker
    if (message.type === 'cancel') {
      aborts.get(message.id)?.abort()
      return
    }
    aborts.set(message.id, new AbortController())
    waiting.push(message)
    void run()
  })
}

function problemIn(thrown: unknown, during: string): Problem {
  if (thrown instanceof ProblemError) return thrown.problem
  // "Array buffer allocation failed", "Unable to grow instance memory", "out of memory": engines agree on no more.
  if (thrown instanceof Error && /memory|allocation/i.test(thrown.message)) return { code: 'worker/crashed', during }
  return { code: 'internal', detail: thrown instanceof Error ? `${thrown.message}` : String(thrown) }
}

/** A turn of the event loop without a timer's delay: what was posted to the worker before comes in first. */
function createBreath(): () => Promise<void> {
  // Node serves up to 1000 messages of one port before it looks at the next: there a port would drown the others.
  const { setImmediate } = globalThis as { setImmediate?: (run: () => void) => void }
  if (setImmediate) return () => new Promise(resolve => setImmediate(() => resolve()))
  const { port1, port2 } = new MessageChannel()
  const resolvers: (() => void)[] = []
  port1.onmessage = () => resolvers.shift()?.()
  return () =>
    new Promise(resolve => {
      resolvers.push(resolve)
      port2.postMessage(0)
    })
}
