import { figurePanels } from '../core/surface/figure-panels.ts'
import type { Handlers } from './serve-compute.ts'

/** One figure, one answer: the worker is ended when it is not wanted any more. */
export function surfaceHandlers(): Handlers<'surface'> {
  return {
    findPanels: ({ figure }, { onProgress }) => figurePanels(figure, onProgress),
  }
}
