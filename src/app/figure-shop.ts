import { type ComputeClient, createComputeClient } from '../compute/compute-client.ts'
import type { FileFacts } from '../compute/protocol.ts'
import type { Figure } from '../core/mesh/figure.ts'
import type { IntakeNote } from '../core/mesh/file-mesh.ts'
import type { Placement, Refinement } from '../core/mesh/placement.ts'
import type { AppEnvironment } from './app-environment.ts'
import type { FigureFile } from './figure-source.ts'

/** A hard limit for one file: nothing hangs. Three million triangles take about a tenth of it. */
export const READ_LIMIT_SECONDS = 60

/** A file that was read; its mesh waits in a worker of its own to be placed as often as wanted. */
export interface ReadFigure {
  readonly facts: FileFacts
  place(
    placement: Placement,
    refinement: Refinement,
    copies: number,
    signal: AbortSignal,
  ): Promise<{ figure: Figure; copies: readonly Figure[]; notes: readonly IntakeNote[] }>
  close(): void
}

/**
 * Reads a file in a worker that is ended when the signal aborts or time is up: a reader that hangs takes nothing along.
 * @throws ProblemError, or the signal's reason
 */
export async function readFigure(
  { startWorker, clock }: Pick<AppEnvironment, 'startWorker' | 'clock'>,
  file: FigureFile,
  signal: AbortSignal,
  onProgress: (fraction: number) => void,
): Promise<ReadFigure> {
  signal.throwIfAborted()
  const client: ComputeClient<'intake'> = createComputeClient<'intake'>(startWorker('intake'))
  const callOff = clock.after(READ_LIMIT_SECONDS * 1000, () =>
    client.close({ code: 'file/timed-out', fileName: file.fileName, seconds: READ_LIMIT_SECONDS }),
  )
  const cancel = () => client.close()
  signal.addEventListener('abort', cancel, { once: true })
  try {
    const facts = await client.call('readFile', { ...file }, { onProgress })
    return {
      facts,
      place: (placement, refinement, copies, placeSignal) =>
        client.call('placeFigure', { placement, refinement, copies }, { signal: placeSignal }),
      close: () => client.close(),
    }
  } catch (thrown) {
    client.close()
    throw thrown
  } finally {
    callOff()
    signal.removeEventListener('abort', cancel)
  }
}
