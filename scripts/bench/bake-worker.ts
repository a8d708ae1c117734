import { parentPort } from 'node:worker_threads'
import { bakeHandlers } from '../../src/compute/bake-handlers.ts'
import { serveCompute } from '../../src/compute/serve-compute.ts'
import { threadPort } from './thread-port.ts'

/** The page's bake worker as a thread of Node. */
serveCompute<'bake'>(
  threadPort(parentPort!),
  bakeHandlers(() => performance.now()),
)
