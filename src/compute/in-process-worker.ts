import type { Port, WorkerPort } from './protocol.ts'

/** A worker that is no thread: the same messages over a MessageChannel, for tests and for where workers are missing. */
export interface InProcessWorker extends WorkerPort {
  /** Dies as a worker does that throws outside every call. */
  crash(): void
}

export function inProcessWorker(serve: (port: Port) => void): InProcessWorker {
  const { port1, port2 } = new MessageChannel()
  const errorListeners: ((event: MessageEvent) => void)[] = []
  let ended = false
  // Without an `onmessage` a port waits for this.
  port1.start()
  port2.start()
  serve({
    postMessage: (message, transfer) => {
      if (!ended) port2.postMessage(message, transfer)
    },
    addEventListener: (type, listener) => {
      if (type === 'message')
        port2.addEventListener('message', event => {
          if (!ended) listener(event)
        })
    },
  })
  const end = () => {
    ended = true
    port1.close()
    port2.close()
  }
  return {
    postMessage: (message, transfer) => {
      if (!ended) port1.postMessage(message, transfer)
    },
    addEventListener(type, listener) {
      if (type === 'message') port1.addEventListener('message', listener)
      else if (type === 'error') errorListeners.push(listener)
    },
    terminate: end,
    crash() {
      end()
      for (const listener of errorListeners) listener(new MessageEvent('error'))
    },
  }
}
