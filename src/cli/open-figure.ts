import { readdir, readFile, stat } from 'node:fs/promises'
import { basename, dirname, extname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import type { BuiltInFigure } from '../app/built-in-figures.ts'
import type { FileMesh } from '../core/mesh/file-mesh.ts'
import { extentAlong, guessPlacement, MM_PER_UNIT, usualFront } from '../core/mesh/guess-placement.ts'
import type { Placement } from '../core/mesh/placement.ts'
import type { WeldedMesh } from '../core/mesh/weld-file-mesh.ts'
import { readMesh } from '../io/read-mesh.ts'
import { type BakeOptions, UsageError } from './bake-options.ts'

const MODELS = fileURLToPath(new URL('../../models/', import.meta.url))

/** A file on disk that stands where the page would be handed one. */
export interface FoundFigure {
  readonly path: string
  readonly fileName: string
  readonly builtIn: BuiltInFigure | null
}

/** A file of that path, else a built-in figure of that name. @throws UsageError */
export async function findFigure(figure: string): Promise<FoundFigure> {
  const kind = await stat(figure).then(
    found => (found.isFile() ? 'file' : 'other'),
    () => null,
  )
  if (kind === 'file') return { path: figure, fileName: basename(figure), builtIn: null }
  const listed: BuiltInFigure[] = JSON.parse(await readFile(join(MODELS, 'figures.json'), 'utf8'))
  const builtIn = listed.find(({ name }) => name === figure)
  if (builtIn) return { path: join(MODELS, builtIn.file), fileName: builtIn.file, builtIn }
  if (kind === 'other') throw new UsageError(`${figure} is not a file.`)
  const names = listed.map(({ name }) => name).join(', ')
  throw new UsageError(`There is no file ${figure}, and the built-in figures are ${names}.`)
}

/** @throws UsageError, ProblemError */
export async function readFigureFile(
  { path, fileName }: FoundFigure,
  onProgress: (share: number) => void,
): Promise<FileMesh> {
  return readMesh(fileName, await bytesOf(path), await sideFilesOf(path), { onProgress })
}

export async function bytesOf(path: string): Promise<Uint8Array> {
  try {
    return await readFile(path)
  } catch (thrown) {
    const { code } = thrown as NodeJS.ErrnoException
    throw new UsageError(`${path} cannot be read (${code ?? String(thrown)}).`)
  }
}

/** A .gltf keeps its numbers in .bin files beside it; a reader picks the ones it names and never looks elsewhere. */
async function sideFilesOf(path: string): Promise<Map<string, Uint8Array>> {
  const beside = new Map<string, Uint8Array>()
  if (extname(path).toLowerCase() !== '.gltf') return beside
  for (const name of await readdir(dirname(path)))
    if (extname(name).toLowerCase() === '.bin') beside.set(name, await bytesOf(join(dirname(path), name)))
  return beside
}

/** The figure bar's guess, or a built-in figure's own placement, with what was said in its place. @throws UsageError */
export function placementFor(
  mesh: WeldedMesh,
  builtIn: BuiltInFigure | null,
  said: Pick<BakeOptions, 'unit' | 'up' | 'front' | 'heightMm'>,
): Placement {
  const guess = builtIn
    ? ({ up: builtIn.up, front: builtIn.front, heightMm: builtIn.heightMm, unit: null } as Placement)
    : guessPlacement(mesh)
  const up = said.up ?? guess.up
  const front = said.front ?? (up === guess.up ? guess.front : usualFront(up))
  if (front[1] === up[1]) throw new UsageError(`The figure cannot look along ${front} while ${up} is up.`)
  if (said.heightMm !== null) return { up, front, heightMm: said.heightMm, unit: null }
  const unit = said.unit ?? guess.unit
  if (unit === null) return { up, front, heightMm: guess.heightMm, unit }
  return { up, front, heightMm: Number((extentAlong(mesh, up) * MM_PER_UNIT[unit]).toPrecision(6)), unit }
}
