import { expect, test } from 'vitest'
import { defaultDocument } from './default-document.ts'
import { openDocument, saveDocument } from './document-file.ts'
import { renameArea, setFigure, setMeantDark } from './edit-areas.ts'

test('an area takes a name, gives it back, and says nothing changed where nothing did', () => {
  const before = defaultDocument()
  const named = renameArea(before, 'cloak:back:1', 'lining')
  expect(named.panels.names).toEqual({ 'cloak:back:1': 'lining' })
  expect(renameArea(named, 'cloak:back:1', 'lining')).toBe(named)
  expect(renameArea(named, 'cloak:back:1', '').panels.names).toEqual({})
  expect(renameArea(before, 'cloak:back:1', '')).toBe(before)
})

test('areas are meant to stay dark until they are not, and a file remembers both', () => {
  const both = setMeantDark(setMeantDark(defaultDocument(), 'base:underneath:1', true), 'hood:front:2', true)
  expect(both.panels.meantDark).toEqual(['base:underneath:1', 'hood:front:2'])
  expect(setMeantDark(both, 'hood:front:2', true)).toBe(both)
  const opened = openDocument(saveDocument(renameArea(both, 'hood:front:2', 'under the hood')), 'a.json')
  if (!opened.ok) throw new Error(opened.problem.code)
  expect(opened.value.panels).toEqual({
    names: { 'hood:front:2': 'under the hood' },
    meantDark: ['base:underneath:1', 'hood:front:2'],
  })
  expect(setMeantDark(both, 'base:underneath:1', false).panels.meantDark).toEqual(['hood:front:2'])
})

test('the same figure placed anew keeps what was said of its areas; another one begins without', () => {
  const marked = setMeantDark(defaultDocument(), 'base:underneath:1', true)
  const taller = { ...marked.figure, placement: { ...marked.figure.placement, heightMm: 54 } }
  expect(setFigure(marked, taller).panels.meantDark).toEqual(['base:underneath:1'])
  const other = setFigure(marked, { ...taller, source: { kind: 'built-in', name: 'cone' } })
  expect(other.panels).toEqual({ names: {}, meantDark: [] })
})
