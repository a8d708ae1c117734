import { type MessagePort, type TransferListItem, Worker } from 'node:worker_threads'
import type { Port, WorkerPort } from '../../src/compute/protocol.ts'

/** Either end of a Node thread as the page's workers have it. */
export function threadPort(end: Worker | MessagePort): Port {
  return {
    postMessage: (message, transfer) => end.postMessage(message, transfer as TransferListItem[]),
    addEventListener(type, listener) {
      end.on(type, (data: unknown) => listener(new MessageEvent(type, { data })))
    },
  }
}

/** Workers do not inherit the TypeScript loader. */
const scriptOf = (file: string) =>
  `import('tsx/esm/api').then(({ register }) => { register(); return import('${new URL(file, import.meta.url).href}') })`

/** @param file beside this one */
export const startThread = (file: string, workerData?: unknown): Worker =>
  new Worker(scriptOf(file), { eval: true, workerData })

/** Starts the page's bake worker as a thread. */
export function startBakeThread(): WorkerPort {
  const worker = startThread('./bake-worker.ts')
  return { ...threadPort(worker), terminate: () => void worker.terminate() }
}
