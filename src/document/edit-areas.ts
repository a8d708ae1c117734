import type { FigureReference, GreycoatDocument } from './document.ts'

/** Another figure has other areas: what was said of the old one's is forgotten. The same one placed anew keeps it. */
export function setFigure(document: GreycoatDocument, figure: FigureReference): GreycoatDocument {
  const same = JSON.stringify(document.figure.source) === JSON.stringify(figure.source)
  return { ...document, figure, panels: same ? document.panels : { names: {}, meantDark: [] } }
}

/** An empty name gives the area its own name back. */
export function renameArea(document: GreycoatDocument, id: string, name: string): GreycoatDocument {
  const { [id]: before, ...others } = document.panels.names
  if ((before ?? '') === name) return document
  const names = name === '' ? others : { ...others, [id]: name }
  return { ...document, panels: { ...document.panels, names } }
}

/** Marked in the order of marking. */
export function setMeantDark(document: GreycoatDocument, id: string, meantDark: boolean): GreycoatDocument {
  const marked = document.panels.meantDark
  if (marked.includes(id) === meantDark) return document
  const without = marked.filter(other => other !== id)
  return { ...document, panels: { ...document.panels, meantDark: meantDark ? [...without, id] : without } }
}
