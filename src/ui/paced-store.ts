import type { StoreApi } from 'zustand'
import type { AppState } from '../app/app-state.ts'

/** How a gesture's key begins while something on the stage itself is moved. */
export const ON_STAGE = 'stage '

/** Panels show at most this often what moves on the stage, ms: a frame of the stage is worth more than their numbers. */
const EVERY_MS = 400

/** The store as panels see it: at once, but for a drag on the stage, which they follow in steps. */
export function pacedStore(store: StoreApi<AppState>): StoreApi<AppState> {
  let shown = store.getState()
  let waiting: ReturnType<typeof setTimeout> | undefined
  const listeners = new Set<(state: AppState, before: AppState) => void>()

  function show(): void {
    clearTimeout(waiting)
    waiting = undefined
    const before = shown
    shown = store.getState()
    if (shown !== before) for (const listener of [...listeners]) listener(shown, before)
  }

  store.subscribe(({ session }) => {
    if (!session.gesture?.startsWith(ON_STAGE)) show()
    else waiting ??= setTimeout(show, EVERY_MS)
  })
  return {
    ...store,
    getState: () => shown,
    subscribe(listener) {
      listeners.add(listener)
      return () => listeners.delete(listener)
    },
  }
}
