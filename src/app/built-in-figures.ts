import { ProblemError } from '../core/problem.ts'
import type { FigureFile } from './figure-source.ts'

/** A line of figures.json, beside the page. */
export interface BuiltInFigure {
  readonly name: string
  readonly title: string
  readonly file: string
  readonly up: string
  readonly front: string
  readonly heightMm: number
  readonly about: string
}

export interface BuiltInFigures {
  list(): Promise<readonly BuiltInFigure[]>
  entry(name: string): Promise<BuiltInFigure | null>
  /** @throws ProblemError document/figure-missing where the folder lacks it */
  file(name: string): Promise<FigureFile>
}

export function builtInFigures(fetchModel: (fileName: string) => Promise<Uint8Array>): BuiltInFigures {
  let listed: Promise<readonly BuiltInFigure[]> | null = null
  const list = () => {
    listed ??= fetchModel('figures.json').then(bytes => JSON.parse(new TextDecoder().decode(bytes)))
    // What failed once may work the next time.
    listed.catch(() => {
      listed = null
    })
    return listed
  }
  const entry = async (name: string) => {
    try {
      return (await list()).find(figure => figure.name === name) ?? null
    } catch {
      return null
    }
  }
  return {
    list,
    entry,
    async file(name) {
      try {
        // Its place in the folder follows from its name: the first picture need not wait for the list.
        const bytes = await fetchModel(`${name}.glb`)
        return { fileName: `${name}.glb`, content: new Blob([bytes as Uint8Array<ArrayBuffer>]), sideFiles: new Map() }
      } catch {
        throw new ProblemError({ code: 'document/figure-missing', fileName: name })
      }
    },
  }
}
