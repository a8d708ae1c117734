import { createContext, createElement, type ReactNode, useContext } from 'react'
import { type StoreApi, useStore } from 'zustand'
import type { AppState } from '../app/app-state.ts'
import type { Commands } from '../app/commands.ts'
import type { GreycoatDocument } from '../document/document.ts'

/** What the app room hands to everything that draws: one store to read, one set of commands to call. */
export interface AppHandle {
  readonly store: StoreApi<AppState>
  readonly commands: Commands
}

const AppContext = createContext<AppHandle | null>(null)

export function AppProvider({ app, children }: { readonly app: AppHandle; readonly children?: ReactNode }) {
  return createElement(AppContext, { value: app }, children)
}

/** The handle itself: for event handlers and frame loops that read the state without being drawn again by it. */
export function useAppHandle(): AppHandle {
  const app = useContext(AppContext)
  if (!app) throw new Error('useApp needs an <AppProvider> above it')
  return app
}

/** Draws the component again when the selected value changes (compared with Object.is: select small, stable things). */
export function useApp<T>(selector: (state: AppState) => T): T {
  return useStore(useAppHandle().store, selector)
}

/** The same for the present document. */
export function useDocument<T>(selector: (document: GreycoatDocument) => T): T {
  return useApp(state => selector(state.history.present))
}

/** Stable for the life of the app. */
export function useCommands(): Commands {
  return useAppHandle().commands
}
