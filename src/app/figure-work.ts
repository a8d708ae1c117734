import type { StoreApi } from 'zustand/vanilla'
import { isCancelled } from '../compute/compute-client.ts'
import type { Figure } from '../core/mesh/figure.ts'
import type { Axis, IntakeNote } from '../core/mesh/file-mesh.ts'
import { type Problem, ProblemError, problemOf } from '../core/problem.ts'
import type { FigureReference } from '../document/document.ts'
import { openSaved } from '../document/document-file.ts'
import { setFigure } from '../document/edit-areas.ts'
import type { AppEnvironment } from './app-environment.ts'
import type { AppState, Session } from './app-state.ts'
import { type BuiltInFigure, builtInFigures } from './built-in-figures.ts'
import type { Editor } from './edit-document.ts'
import { type ReadFigure, readFigure } from './figure-shop.ts'
import { extensionOf, type FigureFile, figureKey, meshAmong, sourceKey } from './figure-source.ts'

/** Files whose bytes stay at hand, so that undo can go back to a figure that was replaced. */
const FILES_AT_HAND = 4

export interface FigureWork {
  openFiles(files: readonly File[]): Promise<void>
  openBuiltIn(name: string): Promise<void>
  builtInFigures(): Promise<readonly BuiltInFigure[]>
  cancelIntake(): void
  /** Bytes that were kept from an earlier visit. */
  remember(key: string, file: FigureFile): void
  fileOf(key: string): FigureFile | null
  /** The document's figure may have changed: places it anew, or reads its file first. Resolves when it stands. */
  follow(): Promise<void>
  close(): void
}

/**
 * Keeps `derived.figure` what the document refers to. A file is read and placed before the document names it, so that
 * whatever goes wrong leaves the figure that was there.
 */
export function createFigureWork(
  environment: Pick<AppEnvironment, 'startWorker' | 'clock' | 'fetchModel'>,
  store: StoreApi<AppState>,
  editor: Editor,
  /** Copies of the figure that other workers need. */
  copies: number,
  show: (figure: Figure, copies: readonly Figure[]) => void,
): FigureWork {
  const builtIn = builtInFigures(environment.fetchModel)
  const files = new Map<string, FigureFile>()
  let current: { key: string; fileName: string; read: ReadFigure } | null = null
  /** `figureKey` of what is shown. */
  let standing: string | null = null
  let intake: AbortController | null = null

  const setSession = (patch: Partial<Session>) => store.setState(state => ({ session: { ...state.session, ...patch } }))
  const reference = () => editor.document().figure
  const report = (thrown: unknown) => {
    if (!isCancelled(thrown)) setSession({ problem: problemOf(thrown) })
  }

  function remember(key: string, file: FigureFile): void {
    files.delete(key)
    files.set(key, file)
    for (const old of files.keys()) {
      if (files.size <= FILES_AT_HAND) break
      files.delete(old)
    }
  }

  /** Runs one intake; a newer one ends it. */
  async function taking<T>(fileName: string, run: (signal: AbortSignal) => Promise<T>): Promise<T | null> {
    intake?.abort(new DOMException('another file', 'AbortError'))
    const mine = new AbortController()
    intake = mine
    setSession({ intake: { fileName, stage: 'reading', fraction: 0 } })
    try {
      return await run(mine.signal)
    } catch (thrown) {
      if (!mine.signal.aborted) report(thrown)
      return null
    } finally {
      if (intake === mine) {
        intake = null
        setSession({ intake: null })
      }
    }
  }

  const reading = (file: FigureFile, signal: AbortSignal): Promise<ReadFigure> =>
    readFigure(environment, file, signal, fraction => {
      const shown = store.getState().session.intake
      if (shown && !signal.aborted && fraction - shown.fraction >= 0.02)
        setSession({ intake: { ...shown, stage: 'reading', fraction } })
    })

  /** Reads and places, then makes it the figure: all or nothing. */
  async function take(
    file: FigureFile,
    signal: AbortSignal,
    referenceFor: (read: ReadFigure) => FigureReference,
  ): Promise<FigureReference> {
    const read = await reading(file, signal)
    try {
      setSession({ intake: { fileName: file.fileName, stage: 'preparing', fraction: 1 } })
      const next = referenceFor(read)
      const placed = await read.place(next.placement, next.refinement, copies, signal)
      signal.throwIfAborted()
      const key = sourceKey(next.source)
      if (next.source.kind === 'file') remember(key, file)
      current?.read.close()
      current = { key, fileName: file.fileName, read }
      adopt(next, placed)
      return next
    } catch (thrown) {
      read.close()
      throw thrown
    }
  }

  function adopt(
    next: FigureReference,
    placed: { figure: Figure; copies: readonly Figure[]; notes: readonly IntakeNote[] },
  ): void {
    const { facts } = current!.read
    standing = figureKey(next)
    const before = editor.document().figure
    store.setState(state => ({
      session: { ...state.session, pointedArea: null, openArea: null },
      derived: {
        ...state.derived,
        figure: placed.figure,
        fewTriangles: null,
        file: {
          fileName: current!.fileName,
          format: facts.format,
          statedUnit: facts.statedUnit,
          statedUp: facts.statedUp,
          triangles: facts.triangles,
          extents: facts.extents,
        },
        notes: placed.notes,
        // Colours of another figure's vertices mean nothing on this one.
        sides: { main: null, other: null },
        readings: { main: null, other: null },
        difference: null,
        panels: null,
        areas: null,
        outside: null,
        sideCheck: null,
      },
    }))
    if (figureKey(before) !== standing) {
      editor.change('Open figure', document => setFigure(document, next))
    }
    show(placed.figure, placed.copies)
  }

  // Following the document -----------------------------------------------------------------------------------------

  let running: Promise<void> | null = null
  /** What is being made to stand. */
  let placing: { readonly key: string; readonly abort: AbortController } | null = null
  /** What could not be made to stand, so that it is not tried again at every change. */
  let failedKey: string | null = null

  function follow(): Promise<void> {
    const key = figureKey(reference())
    if (placing && placing.key !== key) placing.abort.abort(new DOMException('another placement', 'AbortError'))
    if (key === standing) return running ?? Promise.resolve()
    running ??= run().finally(() => {
      running = null
    })
    return running
  }

  async function run(): Promise<void> {
    for (let next = reference(); figureKey(next) !== standing && figureKey(next) !== failedKey; next = reference()) {
      const abort = new AbortController()
      placing = { key: figureKey(next), abort }
      try {
        await stand(next, abort.signal)
        failedKey = null
      } catch (thrown) {
        if (isCancelled(thrown)) {
          // Another placement came: try that. The same one was called off by hand: leave what stands.
          if (figureKey(reference()) === figureKey(next)) failedKey = figureKey(next)
          continue
        }
        failedKey = figureKey(next)
        report(thrown)
      } finally {
        placing = null
      }
    }
  }

  async function stand(next: FigureReference, signal: AbortSignal): Promise<void> {
    const key = sourceKey(next.source)
    if (current?.key !== key) {
      const file = next.source.kind === 'built-in' ? await builtIn.file(next.source.name) : (files.get(key) ?? null)
      if (!file) {
        const fileName = next.source.kind === 'file' ? next.source.fileName : next.source.name
        throw new ProblemError({ code: 'document/figure-missing', fileName })
      }
      let taken: FigureReference | null = null
      let problem: unknown = null
      await taking(file.fileName, async intakeSignal => {
        try {
          taken = await take(file, AbortSignal.any([intakeSignal, signal]), () => next)
        } catch (thrown) {
          problem = thrown
        }
      })
      if (!taken) throw problem
      return
    }
    store.setState(state => ({ derived: { ...state.derived, progress: { what: 'exposure', fraction: 0 } } }))
    const placed = await current.read.place(next.placement, next.refinement, copies, signal)
    signal.throwIfAborted()
    adopt(next, placed)
  }

  // Opening --------------------------------------------------------------------------------------------------------

  async function openSavedFile(file: File): Promise<void> {
    let text: string
    try {
      text = await file.text()
    } catch {
      return setSession({ problem: { code: 'document/not-ours', fileName: file.name, detail: 'it cannot be read' } })
    }
    const opened = openSaved(text, file.name)
    if (!opened.ok) return setSession({ problem: opened.problem, notice: null })
    setSession({ problem: null, notice: `Opened ${file.name}` })
    failedKey = null
    if (opened.value.kind === 'recipe') {
      const { recipe } = opened.value
      editor.changeRecipe('Open recipe', () => recipe)
    } else {
      const { document } = opened.value
      editor.change('Open file', () => document)
      await follow()
    }
  }

  async function openMesh(file: FigureFile): Promise<void> {
    setSession({ problem: null, notice: null })
    await taking(file.fileName, signal =>
      take(file, signal, ({ facts }) => {
        const wanted = reference()
        const source = { kind: 'file', fileName: file.fileName, sha256: facts.sha256 } as const
        // The file that an opened document asks for, or a newer export of it, stands as that document says.
        const asked = wanted.source.kind === 'file' && current?.key !== sourceKey(wanted.source) ? wanted.source : null
        const known = asked !== null && (asked.sha256 === facts.sha256 || asked.fileName === file.fileName)
        return { source, placement: known ? wanted.placement : facts.guess, refinement: wanted.refinement }
      }),
    )
  }

  return {
    async openFiles(list) {
      const [only] = list
      if (!only) return
      if (list.length === 1 && extensionOf(only.name) === 'json') return openSavedFile(only)
      const mesh = meshAmong(list)
      if (mesh) await openMesh(mesh)
    },
    async openBuiltIn(name) {
      const entry = await builtIn.entry(name)
      if (!entry) return setSession({ problem: missingBuiltIn(name) })
      failedKey = null
      setSession({ problem: null, notice: null })
      editor.change('Open figure', document =>
        setFigure(document, {
          source: { kind: 'built-in', name },
          placement: { up: entry.up as Axis, front: entry.front as Axis, heightMm: entry.heightMm, unit: null },
          refinement: document.figure.refinement,
        }),
      )
      await follow()
    },
    builtInFigures: () => builtIn.list().catch(() => []),
    cancelIntake() {
      intake?.abort(new DOMException('cancelled', 'AbortError'))
    },
    remember,
    fileOf: key => files.get(key) ?? null,
    follow,
    close() {
      intake?.abort(new DOMException('closed', 'AbortError'))
      placing?.abort.abort(new DOMException('closed', 'AbortError'))
      current?.read.close()
    },
  }
}

const missingBuiltIn = (name: string): Problem => ({ code: 'document/figure-missing', fileName: name })
