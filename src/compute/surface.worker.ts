import type { Port } from './protocol.ts'
import { serveCompute } from './serve-compute.ts'
import { surfaceHandlers } from './surface-handlers.ts'

serveCompute<'surface'>(self as unknown as Port, surfaceHandlers())
