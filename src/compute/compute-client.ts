import { type Problem, ProblemError } from '../core/problem.ts'
import { buffersOf } from './buffers-of.ts'
import type { CallName, FromWorker, ReplyOf, RequestOf, ToWorker, WorkerPort, WorkerRole } from './protocol.ts'

export interface CallOptions {
  /** Aborting cancels the call in the worker; the promise rejects with the signal's reason at once. */
  readonly signal?: AbortSignal | undefined
  readonly onProgress?: ((fraction: number) => void) | undefined
  /** Moves the request's arrays instead of copying them: the caller is done with them. */
  readonly move?: boolean
}

/** The caller's end of one worker. */
export interface ComputeClient<R extends WorkerRole> {
  /** @throws ProblemError with what the worker met; the signal's reason where the call was cancelled */
  call<N extends CallName<R>>(name: N, request: RequestOf<R, N>, options?: CallOptions): Promise<ReplyOf<R, N>>
  /** Ends the worker, whatever it is doing; every open call rejects with `problem`, or as cancelled. */
  close(problem?: Problem): void
}

interface OpenCall {
  readonly name: string
  readonly resolve: (reply: never) => void
  readonly reject: (reason: unknown) => void
  readonly onProgress: ((fraction: number) => void) | undefined
}

/**
 * @param onCrash the worker died of an error that no call answers for, or ran out of memory and was ended, because only
 *   its end gives the memory back; its open calls are rejected already
 */
export function createComputeClient<R extends WorkerRole>(
  port: WorkerPort,
  onCrash: () => void = () => {},
): ComputeClient<R> {
  const open = new Map<number, OpenCall>()
  let lastId = 0
  let closed: unknown = null

  const closeWith = (reasonOf: (name: string) => unknown) => {
    if (closed) return
    closed = reasonOf('a call after the end')
    port.terminate()
    for (const { name, reject } of open.values()) reject(reasonOf(name))
    open.clear()
  }

  const crashed = () => {
    if (closed) return
    closeWith(during => new ProblemError({ code: 'worker/crashed', during }))
    onCrash()
  }

  port.addEventListener('message', event => {
    const message = event.data as FromWorker
    const call = open.get(message.id)
    if (!call) return
    if (message.type === 'progress') {
      call.onProgress?.(message.fraction)
      return
    }
    if (message.type === 'problem' && message.problem.code === 'worker/crashed') return crashed()
    open.delete(message.id)
    if (message.type === 'reply') call.resolve(message.reply as never)
    else if (message.type === 'problem') call.reject(new ProblemError(message.problem))
    else call.reject(cancelled())
  })
  port.addEventListener('error', crashed)
  port.addEventListener('messageerror', crashed)

  return {
    call(name, request, { signal, onProgress, move = false } = {}) {
      return new Promise((resolve, reject) => {
        if (closed) return reject(closed)
        if (signal?.aborted) return reject(signal.reason)
        const id = ++lastId
        const cancel = () => {
          open.delete(id)
          port.postMessage({ type: 'cancel', id } satisfies ToWorker, [])
          reject(signal?.reason)
        }
        signal?.addEventListener('abort', cancel, { once: true })
        const settled = () => signal?.removeEventListener('abort', cancel)
        open.set(id, {
          name,
          onProgress,
          resolve: reply => {
            settled()
            resolve(reply)
          },
          reject: reason => {
            settled()
            reject(reason)
          },
        })
        port.postMessage({ type: 'call', id, name, request } satisfies ToWorker, move ? buffersOf(request) : [])
      })
    },
    close(problem) {
      closeWith(() => (problem ? new ProblemError(problem) : cancelled()))
    },
  }
}

/** What a cancelled call rejects with. Never shown. */
export const cancelled = (): Error => new DOMException('cancelled', 'AbortError')

export const isCancelled = (thrown: unknown): boolean =>
  typeof thrown === 'object' && thrown !== null && (thrown as { name?: unknown }).name === 'AbortError'
