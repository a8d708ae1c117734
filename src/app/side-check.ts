import type { StoreApi } from 'zustand/vanilla'
import type { BakePool } from '../compute/bake-pool.ts'
import { isCancelled } from '../compute/compute-client.ts'
import { problemOf } from '../core/problem.ts'
import {
  AIMS,
  type Aim,
  aimTrial,
  bestAim,
  lightingCoats,
  partsToTry,
  partTrial,
  type Remedy,
  type Trial,
  torchTrial,
  worthDoing,
} from '../core/reading/remedies.ts'
import type { AppState, Derived } from './app-state.ts'
import type { Picture } from './picture.ts'

/** Looks at the figure from its four sides on request, then tries what would light what is unlit. Changes nothing else. */
export interface SideCheckWork {
  check(): Promise<void>
  cancel(): void
}

export function createSideCheck(
  store: StoreApi<AppState>,
  pool: BakePool,
  unlitSides: Picture['checkSides'],
): SideCheckWork {
  let running: AbortController | null = null
  /** What the answer that stands, or the check that runs, is about. */
  let about: readonly unknown[] = []
  const setDerived = (patch: Partial<Derived>) => store.setState(state => ({ derived: { ...state.derived, ...patch } }))

  async function look(signal: AbortSignal): Promise<void> {
    const { derived, history, session } = store.getState()
    const { figure, panels } = derived
    const { recipe, thresholds } = history.present
    if (!figure || panels?.figureId !== figure.id) return
    const { dark } = thresholds
    const unlit = await unlitSides({ figureId: figure.id, dark, litShare: session.litShare }, signal)
    const show = (remediesOf: (i: number) => readonly Remedy[] | null) =>
      setDerived({
        sideCheck: {
          figureId: figure.id,
          unlit: unlit.map(({ spots, ...of }, i) => ({ ...of, remedies: remediesOf(i) })),
        },
      })
    show(() => null)
    const coats = lightingCoats(recipe)
    const coat = coats.at(-1)
    if (!coat || unlit.length === 0) return show(() => [])

    const parts = partsToTry(recipe, panels)
    const spots = unlit.map(u => u.spots)
    let done = 0
    const steps = AIMS.length + 2 * parts.length + 8
    const reachedBy = async (trials: readonly Trial[]): Promise<readonly (readonly number[])[]> => {
      const rows: (readonly number[])[] = []
      await pool.deal<Trial, readonly number[]>(
        {
          items: trials,
          handful: 1,
          ask: async (worker, items, s) => {
            const request = { figureId: figure.id, trials: items, spots, dark }
            return (await worker.call('tryRemedies', request, { signal: s })).reached
          },
          onResults(first, results) {
            results.forEach((row, i) => {
              rows[first + i] = row
            })
            done += results.length
            setDerived({ checkingSides: Math.min(1, done / steps) })
          },
        },
        signal,
      )
      return rows
    }

    // Chosen by one direction each, stated by what the whole torch from there reaches.
    const byAim = await reachedBy(AIMS.map(aim => aimTrial(coat, aim)))
    const aims = unlit.map(({ side }, i) =>
      bestAim(
        side,
        byAim.map(row => row[i]),
      ),
    )
    const used = [...new Set(aims.filter((aim): aim is Aim => aim !== null))]
    const torches = used.map(aim => torchTrial(figure, coat, aim))
    const byTorch = await reachedBy(torches.filter((trial): trial is Trial => trial !== null))
    const byPart = await reachedBy(parts.map(partId => partTrial(figure, coats, partId)))
    show(i => {
      const own = panels.panels[unlit[i].panel].partId
      const aim = aims[i]
      const torch: Remedy[] =
        aim && torches.every(t => t !== null) ? [{ kind: 'torch', ...aim, reached: byTorch[used.indexOf(aim)][i] }] : []
      const part = parts
        .map((partId, p): Remedy => ({ kind: 'part', partId, reached: byPart[p][i] }))
        .filter(r => r.kind === 'part' && r.partId !== own)
        .sort((x, y) => y.reached - x.reached)
        .slice(0, 1)
      return worthDoing([...torch, ...part])
    })
  }

  return {
    async check() {
      const { derived, history, session } = store.getState()
      const { recipe, thresholds } = history.present
      const asked = [derived.panels, recipe, thresholds.dark, session.litShare]
      if (asked.every((part, i) => part === about[i])) return
      running?.abort(new DOMException('another check', 'AbortError'))
      about = asked
      const mine = new AbortController()
      running = mine
      // A hand on a torch wants the workers now.
      const unsubscribe = store.subscribe(state => {
        const same = state.derived.figure === derived.figure && state.history.present.recipe === recipe
        if (!same) mine.abort(new DOMException('something changed', 'AbortError'))
      })
      setDerived({ checkingSides: 0 })
      try {
        await look(mine.signal)
      } catch (thrown) {
        if (about === asked) about = []
        if (!isCancelled(thrown))
          store.setState(state => ({ session: { ...state.session, problem: problemOf(thrown) } }))
      } finally {
        unsubscribe()
        if (running === mine) {
          running = null
          setDerived({ checkingSides: null })
        }
      }
    },
    cancel: () => running?.abort(new DOMException('cancelled', 'AbortError')),
  }
}
