import type { FigureReference } from '../document/document.ts'

/** The file a figure came from, with what came beside it. Blobs: the bytes stay out of the page's memory. */
export interface FigureFile {
  readonly fileName: string
  readonly content: Blob
  readonly sideFiles: ReadonlyMap<string, Blob>
}

/** Names the bytes a document asks for. */
export const sourceKey = (source: FigureReference['source']): string =>
  source.kind === 'built-in' ? `built-in ${source.name}` : `file ${source.sha256}`

/** What makes one figure differ from another: the bytes, how they are placed, how they are refined. */
export const figureKey = (reference: FigureReference): string =>
  JSON.stringify([sourceKey(reference.source), reference.placement, reference.refinement])

const MESH_EXTENSIONS = ['stl', 'obj', 'ply', 'glb', 'gltf', '3mf']

export const extensionOf = (fileName: string): string => /\.([a-z0-9]+)$/i.exec(fileName)?.[1].toLowerCase() ?? ''

/** One mesh among files that were dropped together, the others beside it; the first file where none looks like one. */
export function meshAmong(files: readonly File[]): FigureFile | null {
  const mesh = files.find(file => MESH_EXTENSIONS.includes(extensionOf(file.name))) ?? files[0]
  if (!mesh) return null
  return {
    fileName: mesh.name,
    content: mesh,
    sideFiles: new Map(files.filter(file => file !== mesh).map(file => [file.name, file])),
  }
}
