import { intakeHandlers } from './intake-handlers.ts'
import type { Port } from './protocol.ts'
import { serveCompute } from './serve-compute.ts'

serveCompute<'intake'>(self as unknown as Port, intakeHandlers(self.crossOriginIsolated))
