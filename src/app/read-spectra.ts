import { createComputeClient } from '../compute/compute-client.ts'
import { fail, ok, problemOf, type Result } from '../core/problem.ts'
import type { CgatsSample } from '../io/read-cgats.ts'
import type { AppEnvironment } from './app-environment.ts'

export type { CgatsSample }

/** Hostile text may cost its worker this long, and the page nothing. */
const READ_LIMIT_SECONDS = 10

/** Reads a CGATS text file in a worker of its own, which is ended with it. */
export async function readSpectra(
  { startWorker, clock }: Pick<AppEnvironment, 'startWorker' | 'clock'>,
  file: File,
): Promise<Result<readonly CgatsSample[]>> {
  const client = createComputeClient<'intake'>(startWorker('intake'))
  const callOff = clock.after(READ_LIMIT_SECONDS * 1000, () =>
    client.close({ code: 'file/timed-out', fileName: file.name, seconds: READ_LIMIT_SECONDS }),
  )
  try {
    return ok((await client.call('readSpectra', { fileName: file.name, content: file })).samples)
  } catch (thrown) {
    return fail(problemOf(thrown))
  } finally {
    callOff()
    client.close()
  }
}
