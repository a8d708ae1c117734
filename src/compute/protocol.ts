export type WorkerRole = 'intake' | 'bake' | 'paint'

/** What Worker, MessagePort and a test double have in common. */
export interface Port {
  postMessage(message: unknown, transfer: Transferable[]): void
  addEventListener(type: 'message' | 'error' | 'messageerror', listener: (event: MessageEvent) => void): void
}

/** A port whose other end can be stopped at once, whatever it is doing. */
export interface WorkerPort extends Port {
  terminate(): void
}
