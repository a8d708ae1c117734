import { createStore, type StoreApi } from 'zustand/vanilla'
import type { AppEnvironment } from './app-environment.ts'
import type { AppState } from './app-state.ts'
import type { Commands } from './commands.ts'
import { createCommands, type Work } from './create-commands.ts'
import { createEditor } from './edit-document.ts'
import { initialState } from './initial-state.ts'

export interface App {
  readonly store: StoreApi<AppState>
  readonly commands: Commands
}

/** The whole app without a page: main.tsx hands it the browser, tests hand it stand-ins. */
export function createApp(_environment: AppEnvironment): App {
  const store = createStore<AppState>(initialState)
  const editor = createEditor(store)
  const work: Work = {
    openFiles: async () => {},
    openBuiltIn: async () => {},
    cancelIntake: () => {},
    hover: () => {},
    exportGlb: async () => ({ fileName: 'figure.glb', bytes: new Uint8Array() }),
  }
  return { store, commands: createCommands(store, editor, work) }
}
