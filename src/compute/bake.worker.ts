import { bakeHandlers } from './bake-handlers.ts'
import type { Port } from './protocol.ts'
import { serveCompute } from './serve-compute.ts'

serveCompute<'bake'>(
  self as unknown as Port,
  bakeHandlers(() => performance.now()),
)
