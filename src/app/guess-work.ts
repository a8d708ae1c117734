import type { StoreApi } from 'zustand/vanilla'
import type { Ray } from '../compute/protocol.ts'
import type { AppState, Guess } from './app-state.ts'
import type { Picture } from './picture.ts'

export interface GuessWork {
  /** Along lines of sight; none starts the guess anew. */
  brushGuess(strokes: readonly Ray[]): Promise<void>
  judgeGuess(): Promise<void>
}

/** One brush stroke at a time in the worker; what comes meanwhile goes along with the next. */
export function createGuessWork(
  store: StoreApi<AppState>,
  picture: Pick<Picture, 'brushGuess' | 'judgeGuess'>,
): GuessWork {
  const guess = () => store.getState().session.guess
  let waiting: Ray[] = []
  let brushing = false

  async function flush(): Promise<void> {
    if (brushing) return
    brushing = true
    try {
      while (waiting.length > 0) {
        const strokes = waiting
        waiting = []
        const asked = guess()
        if (asked) await picture.brushGuess(strokes, asked.brushMm, asked.tool !== 'rub')
      }
    } finally {
      brushing = false
    }
  }

  const setGuess = (patch: Partial<Guess>) =>
    store.setState(state =>
      state.session.guess
        ? { session: { ...state.session, guess: { ...state.session.guess, ...patch } } }
        : { session: state.session },
    )

  return {
    async brushGuess(strokes) {
      const asked = guess()
      if (!asked) return
      if (strokes.length === 0) {
        waiting = []
        setGuess({ score: null, shows: 'guess' })
        return picture.brushGuess([], asked.brushMm, true)
      }
      if (asked.score !== null) return
      waiting.push(...strokes)
      return flush()
    },
    async judgeGuess() {
      const asked = guess()
      if (!asked) return
      const score = await picture.judgeGuess(asked.task.level)
      if (score) setGuess({ score, shows: 'guess' })
    },
  }
}
