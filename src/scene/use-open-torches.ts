import type { AppState } from '../app/app-state.ts'
import type { Torch } from '../core/recipe/recipe.ts'
import { useApp } from '../ui/use-app.ts'

const NONE: readonly Torch[] = []

/** Torches of the open coat, in their order; none where no sprayed coat is open. Stable while they are unchanged. */
export function selectOpenTorches({ history, session }: AppState): readonly Torch[] {
  const coat = history.present.recipe.coats.find(c => c.id === session.openCoat)
  return coat?.kind === 'mist' ? coat.torches : NONE
}

export function useOpenTorches(): { torches: readonly Torch[]; selected: string | null } {
  return { torches: useApp(selectOpenTorches), selected: useApp(state => state.session.selectedTorch) }
}
