import type { StoreApi } from 'zustand/vanilla'
import { saveDocument } from '../document/document-file.ts'
import type { AppEnvironment } from './app-environment.ts'
import { type AppState, ownHistory } from './app-state.ts'
import { type FigureFile, sourceKey } from './figure-source.ts'
import type { KeptWork } from './kept-work.ts'

/** Long enough that a drag does not write at every step, short enough that nothing is lost. */
const SAVE_AFTER_MS = 300

export interface Autosave {
  /** Writes what is waiting at once: when the page is hidden or closed. */
  saveNow(): Promise<void>
  close(): void
}

/**
 * Keeps the work in this browser after every change. What cannot be kept is said once, not at every change, and stops
 * nothing.
 * @param fileOf the bytes of a source, null where they are not at hand (a built-in figure needs none)
 */
export function createAutosave(
  store: StoreApi<AppState>,
  kept: KeptWork,
  { clock }: Pick<AppEnvironment, 'clock'>,
  fileOf: (key: string) => FigureFile | null,
  /** Source of the figure that is kept already, or null. */
  keptFigure: string | null,
): Autosave {
  const start = store.getState()
  let savedDocument = ownHistory(start).present
  let savedPreferences = start.preferences
  let savedFigure = keptFigure
  let callOff: (() => void) | null = null
  let said = false
  let writing: Promise<void> = Promise.resolve()

  const write = async () => {
    const { preferences } = store.getState()
    const document = ownHistory(store.getState()).present
    const problems = []
    if (document !== savedDocument) {
      savedDocument = document
      problems.push(await kept.keepDocument(saveDocument(document)))
    }
    const { source } = document.figure
    const key = sourceKey(source)
    if (key !== savedFigure) {
      const file = source.kind === 'file' ? fileOf(key) : null
      if (source.kind === 'built-in') problems.push(await kept.keepFigure(null))
      else if (file) problems.push(await kept.keepFigure({ key, file }))
      // A file that is still missing is looked for again at the next change.
      if (file || source.kind === 'built-in') savedFigure = key
    }
    if (preferences !== savedPreferences) {
      savedPreferences = preferences
      problems.push(await kept.keepPreferences(preferences))
    }
    const problem = problems.find(p => p !== null)
    if (!problem) said = false
    else if (!said) {
      said = true
      store.setState(state => ({ session: { ...state.session, problem } }))
    }
  }
  const saveNow = () => {
    callOff?.()
    callOff = null
    // One after another: an older write must not land on a newer one.
    writing = writing.then(write)
    return writing
  }

  const unsubscribe = store.subscribe(state => {
    if (ownHistory(state).present === savedDocument && state.preferences === savedPreferences) return
    callOff?.()
    callOff = clock.after(SAVE_AFTER_MS, () => void saveNow())
  })
  return {
    saveNow,
    close() {
      unsubscribe()
      callOff?.()
    },
  }
}
