import type { WorkerPort, WorkerRole } from '../compute/protocol.ts'

/** Everything of the outside world the app touches, so that all of it runs in Node without a DOM. */
export interface AppEnvironment {
  readonly storage: KeyValueStorage
  /** Starts a worker; closing its port ends it at once, whatever it is doing. */
  readonly startWorker: (role: WorkerRole) => WorkerPort
  /** How many things the machine does at once. */
  readonly cores: number
  /** A file of the folder of built-in figures: 'figures.json', 'sentinel.glb'. Throws where it is not there. */
  readonly fetchModel: (fileName: string) => Promise<Uint8Array>
  readonly clock: Clock
  /** Runs when the page is hidden or about to go: the last moment to keep anything. */
  readonly onHidden: (run: () => void) => void
}

/** Plain values by key, kept in this browser. Every call may reject. */
export interface KeyValueStorage {
  get(key: string): Promise<unknown>
  set(key: string, value: unknown): Promise<void>
  remove(key: string): Promise<void>
}

export interface Clock {
  now(): number
  /** @returns how to call it off */
  after(ms: number, run: () => void): () => void
}
