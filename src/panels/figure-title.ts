import type { FigureReference } from '../document/document.ts'

/** What the figure is called on the page: the file's name without its extension, or the built-in figure's name. */
export function figureTitle({ source }: FigureReference): string {
  if (source.kind === 'file') return source.fileName.replace(/\.[^.]*$/, '')
  const words = source.name.replaceAll('-', ' ')
  return words[0].toUpperCase() + words.slice(1)
}
