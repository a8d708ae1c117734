/** Lets a reader report how far it is, and lets a waiting cancel through, without knowing where it runs. */
export interface ReadPace {
  /** True once about 50 ms have passed since the last breath. Cheap enough to ask every few thousand steps. */
  due(): boolean
  /** Reports progress, yields to the event loop, and throws the signal's reason when the read was cancelled. */
  breathe(fraction: number): Promise<void>
  /** For whoever catches what a parser throws: a cancel is no fault of the file. */
  cancelled(): boolean
}

const SLICE_MS = 50

export function readPace(
  onProgress: ((fraction: number) => void) | undefined,
  signal: AbortSignal | undefined,
): ReadPace {
  let last = performance.now()
  return {
    due: () => performance.now() - last > SLICE_MS,
    async breathe(fraction) {
      onProgress?.(Math.min(1, Math.max(0, fraction)))
      await new Promise(resolve => setTimeout(resolve, 0))
      signal?.throwIfAborted()
      last = performance.now()
    },
    cancelled: () => signal?.aborted ?? false,
  }
}
