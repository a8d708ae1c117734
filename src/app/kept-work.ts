import { type Problem, problemOf } from '../core/problem.ts'
import type { KeyValueStorage } from './app-environment.ts'
import type { Preferences } from './app-state.ts'
import type { FigureFile } from './figure-source.ts'

/** What this browser keeps between visits. The figure lies apart from the document: it is large and changes rarely. */
export interface KeptWork {
  /** Text of a saved document, or null. */
  document(): Promise<string | null>
  preferences(): Promise<Partial<Preferences>>
  figure(): Promise<{ readonly key: string; readonly file: FigureFile } | null>
  keepDocument(text: string): Promise<Problem | null>
  keepPreferences(preferences: Preferences): Promise<Problem | null>
  /** null forgets the figure that was kept. */
  keepFigure(figure: { readonly key: string; readonly file: FigureFile } | null): Promise<Problem | null>
}

export function keptWork(storage: KeyValueStorage): KeptWork {
  /** Storage is read as what strangers wrote: it may be of another version, or damaged. */
  const read = async (key: string): Promise<unknown> => {
    try {
      return await storage.get(key)
    } catch {
      // Found again when something is to be kept; until then the page simply starts fresh.
      return undefined
    }
  }
  const write = async (key: string, value: unknown): Promise<Problem | null> => {
    try {
      await storage.set(key, value)
      return null
    } catch (thrown) {
      return storageProblem(thrown)
    }
  }
  return {
    async document() {
      const text = await read('document')
      return typeof text === 'string' ? text : null
    },
    async preferences() {
      const value = await read('preferences')
      if (typeof value !== 'object' || value === null) return {}
      const { cautionsSeen, startSeen, readingFolded, openSections, screenPxPerMm } = value as Record<string, unknown>
      return {
        ...(typeof cautionsSeen === 'boolean' ? { cautionsSeen } : {}),
        ...(typeof startSeen === 'boolean' ? { startSeen } : {}),
        ...(typeof readingFolded === 'boolean' ? { readingFolded } : {}),
        ...(isNames(openSections) ? { openSections } : {}),
        ...(isScreenScale(screenPxPerMm) ? { screenPxPerMm } : {}),
      }
    },
    async figure() {
      const value = await read('figure')
      if (typeof value !== 'object' || value === null) return null
      const { key, fileName, content, sideFiles } = value as Record<string, unknown>
      if (typeof key !== 'string' || typeof fileName !== 'string' || !(content instanceof Blob)) return null
      const beside = sideFiles instanceof Map ? [...sideFiles].filter(([, file]) => file instanceof Blob) : []
      return { key, file: { fileName, content, sideFiles: new Map(beside) } }
    },
    keepDocument: text => write('document', text),
    keepPreferences: preferences => write('preferences', preferences),
    async keepFigure(figure) {
      if (figure) return write('figure', { key: figure.key, ...figure.file })
      try {
        await storage.remove('figure')
        return null
      } catch (thrown) {
        return storageProblem(thrown)
      }
    },
  }
}

const isNames = (value: unknown): value is string[] =>
  Array.isArray(value) && value.length < 100 && value.every(name => typeof name === 'string')

/** A screen between a wall and a telephone. */
const isScreenScale = (value: unknown): value is number => typeof value === 'number' && value >= 0.5 && value <= 30

function storageProblem(thrown: unknown): Problem {
  const name = (thrown as { name?: unknown } | null)?.name
  if (name === 'QuotaExceededError') return { code: 'storage/full' }
  const problem = problemOf(thrown)
  return problem.code === 'internal' ? { code: 'storage/unavailable' } : problem
}
