import { createStore, type StoreApi } from 'zustand/vanilla'
import { createBakePool, poolSize } from '../compute/bake-pool.ts'
import { ProblemError } from '../core/problem.ts'
import { openDocument } from '../document/document-file.ts'
import { startHistory } from '../document/history.ts'
import { isTaskText, openTask } from '../document/task-file.ts'
import { createAdvice } from './advice.ts'
import type { AppEnvironment } from './app-environment.ts'
import type { AppState, Session } from './app-state.ts'
import { createAreaWork } from './area-work.ts'
import { type Autosave, createAutosave } from './autosave.ts'
import type { Commands } from './commands.ts'
import { createCommands } from './create-commands.ts'
import { createEditor } from './edit-document.ts'
import { extensionOf } from './figure-source.ts'
import { createFigureWork } from './figure-work.ts'
import { createGuessWork } from './guess-work.ts'
import { initialState } from './initial-state.ts'
import { keptWork } from './kept-work.ts'
import { createPicture } from './picture.ts'
import { readSpectra } from './read-spectra.ts'
import { createSideCheck } from './side-check.ts'

export interface App {
  readonly store: StoreApi<AppState>
  readonly commands: Commands
  /** Resolves when the last work, or the demo, stands or has failed to. */
  readonly started: Promise<void>
  /** Writes what waits to be kept at once. */
  saveNow(): Promise<void>
  /** Ends every worker and timer. */
  close(): void
}

/** The whole app without a page: main.tsx hands it the browser, tests hand it stand-ins. */
export function createApp(environment: AppEnvironment): App {
  const store = createStore<AppState>(initialState)
  const editor = createEditor(store)
  const setSession = (patch: Partial<Session>) => store.setState(state => ({ session: { ...state.session, ...patch } }))

  const bakers = poolSize(environment.cores)
  const pool = createBakePool(bakers, () => environment.startWorker('bake'))
  const picture = createPicture(environment, store, pool)
  const advice = createAdvice(store, pool, picture.scanFields)
  const sides = createSideCheck(store, pool, picture.checkSides)
  const figures = createFigureWork(environment, store, editor, 1 + bakers, picture.setFigure)
  const areas = createAreaWork(environment, store, picture.setPanels)
  const kept = keptWork(environment.storage)
  let autosave: Autosave | null = null
  environment.onHidden(() => void autosave?.saveNow())
  let closed = false

  // Only what feeds the picture wakes it: hovering, dialogs and progress come far more often.
  const unsubscribe = store.subscribe((state, before) => {
    if (!state.session.ready) return
    if (state.history.present.figure !== before.history.present.figure) void figures.follow()
    if (state.history.present !== before.history.present || state.session.gesture !== before.session.gesture)
      picture.wake()
    if (state.derived.figure !== before.derived.figure || state.derived.progress !== before.derived.progress)
      areas.follow()
  })

  async function start(): Promise<void> {
    const [text, preferences, figure] = await Promise.all([kept.document(), kept.preferences(), kept.figure()])
    if (closed) return
    if (figure) figures.remember(figure.key, figure.file)
    const opened = text === null ? null : openDocument(text, 'your last work')
    store.setState(state => ({
      preferences: { ...state.preferences, ...preferences },
      history: opened?.ok ? startHistory(opened.value) : state.history,
      session: { ...state.session, problem: opened && !opened.ok ? opened.problem : null },
    }))
    autosave = createAutosave(store, kept, environment, figures.fileOf, figure?.key ?? null)
    await figures.follow()
    if (closed) return
    setSession({ ready: true })
    // What was changed while the figure was still being read.
    void figures.follow()
    picture.wake()
  }

  const guessing = createGuessWork(store, picture)
  const commands: Commands = createCommands(store, editor, {
    // What is opened belongs to the user's own work.
    async openFiles(files) {
      const [file] = files
      if (files.length === 1 && extensionOf(file.name) === 'json') {
        const text = await file.text().catch(() => '')
        if (isTaskText(text)) {
          const opened = openTask(text, file.name)
          if (opened.ok) return commands.practise(opened.value)
          return setSession({ problem: opened.problem, notice: null })
        }
      }
      const { learning } = store.getState().session
      // A task may wait for the mesh it was set on.
      const waits = learning?.lesson === 'guess' && store.getState().derived.figure === null
      if (learning && !waits) commands.stopLearning()
      return figures.openFiles(files)
    },
    openBuiltIn(name) {
      if (store.getState().session.learning) commands.stopLearning()
      return figures.openBuiltIn(name)
    },
    builtInFigures: figures.builtInFigures,
    cancelIntake: figures.cancelIntake,
    hover: picture.hover,
    armsLength: picture.armsLength,
    turnedPortraits: picture.turnedPortraits,
    brushGuess: guessing.brushGuess,
    judgeGuess: guessing.judgeGuess,
    scanAngles: advice.scanAngles,
    scanLights: advice.scanLights,
    cancelScan: advice.cancel,
    checkSides: sides.check,
    cancelSideCheck: sides.cancel,
    findAreas: areas.find,
    cancelFindingAreas: areas.cancel,
    readSpectra: file => readSpectra(environment, file),
    async exportGlb(side) {
      const { derived, history } = store.getState()
      if (!derived.figure) throw new ProblemError({ code: 'internal', detail: 'there is no figure yet' })
      const { source } = history.present.figure
      const name = source.kind === 'file' ? source.fileName.replace(/\.[^.]*$/, '') : source.name
      return { fileName: `${name}-painted.glb`, bytes: await picture.exportGlb(side) }
    },
  })

  return {
    store,
    commands,
    started: start().catch((thrown: unknown) => {
      setSession({ ready: true, problem: { code: 'internal', detail: String(thrown) } })
    }),
    saveNow: async () => autosave?.saveNow(),
    close() {
      closed = true
      unsubscribe()
      autosave?.close()
      figures.close()
      advice.cancel()
      sides.cancel()
      areas.close()
      picture.close()
    },
  }
}
