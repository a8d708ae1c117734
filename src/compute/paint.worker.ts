import { paintHandlers } from './paint-handlers.ts'
import type { Port } from './protocol.ts'
import { serveCompute } from './serve-compute.ts'

serveCompute<'paint'>(self as unknown as Port, paintHandlers())
