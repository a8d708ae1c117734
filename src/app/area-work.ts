import type { StoreApi } from 'zustand/vanilla'
import { type ComputeClient, createComputeClient, isCancelled } from '../compute/compute-client.ts'
import { problemOf } from '../core/problem.ts'
import type { FigurePanels } from '../core/surface/figure-panels.ts'
import type { AppEnvironment } from './app-environment.ts'
import type { AppState, Derived } from './app-state.ts'

/** Figures whose areas stay at hand, so that undo need not look for them again. */
const FIGURES_AT_HAND = 4

export interface AreaWork {
  /** The state has changed: looks for the areas of a figure that stands painted, once. */
  follow(): void
  /** Looks for them after all. */
  find(): void
  cancel(): void
  close(): void
}

/** Finds the areas of the figure in a worker of its own, after the picture is there: it has the first claim on the cores. */
export function createAreaWork(
  { startWorker }: Pick<AppEnvironment, 'startWorker'>,
  store: StoreApi<AppState>,
  onFound: (panels: FigurePanels) => void,
): AreaWork {
  const known = new Map<string, FigurePanels>()
  let finding: { readonly figureId: string; readonly client: ComputeClient<'surface'> } | null = null
  /** Asked for already, found or not. */
  let triedId: string | null = null
  const setDerived = (patch: Partial<Derived>) => store.setState(state => ({ derived: { ...state.derived, ...patch } }))

  function stop(): void {
    finding?.client.close()
    finding = null
    if (store.getState().derived.findingAreas !== null) setDerived({ findingAreas: null })
  }

  function show(panels: FigurePanels): void {
    known.delete(panels.figureId)
    known.set(panels.figureId, panels)
    const [oldest] = known.keys()
    if (known.size > FIGURES_AT_HAND) known.delete(oldest)
    setDerived({ panels })
    onFound(panels)
  }

  async function find(): Promise<void> {
    const { figure } = store.getState().derived
    if (!figure || finding) return
    triedId = figure.id
    const found = known.get(figure.id)
    if (found) return show(found)
    const mine = { figureId: figure.id, client: createComputeClient<'surface'>(startWorker('surface')) }
    finding = mine
    setDerived({ findingAreas: 0 })
    try {
      const onProgress = (findingAreas: number) => finding === mine && setDerived({ findingAreas })
      const panels = await mine.client.call('findPanels', { figure }, { onProgress })
      if (finding !== mine) return
      stop()
      show(panels)
    } catch (thrown) {
      if (finding !== mine) return
      stop()
      if (!isCancelled(thrown)) store.setState(state => ({ session: { ...state.session, problem: problemOf(thrown) } }))
    }
  }

  return {
    follow() {
      const { figure, progress, sides } = store.getState().derived
      if (finding && finding.figureId !== figure?.id) stop()
      if (figure && figure.id !== triedId && progress === null && sides.main?.quality === 'refined') void find()
    },
    find: () => void find(),
    cancel: stop,
    close: stop,
  }
}
