import type { WorkerPort, WorkerRole } from './protocol.ts'

/** Each role is a script of its own, so that the spraying workers do not load the file readers. */
export function startBrowserWorker(role: WorkerRole): WorkerPort {
  switch (role) {
    case 'intake':
      return new Worker(new URL('./intake.worker.ts', import.meta.url), { type: 'module', name: role })
    case 'bake':
      return new Worker(new URL('./bake.worker.ts', import.meta.url), { type: 'module', name: role })
    case 'surface':
      return new Worker(new URL('./surface.worker.ts', import.meta.url), { type: 'module', name: role })
    case 'paint':
      return new Worker(new URL('./paint.worker.ts', import.meta.url), { type: 'module', name: role })
  }
}
