import { expect, test } from 'vitest'
import { openSaved } from './document-file.ts'
import { solidFigure, taskAsSet, taskDocument } from './lessons.ts'
import { firstTask, isTaskText, openTask, saveTask, TASK_VERSION } from './task-file.ts'

test('a task comes back as it was saved, and stands on the stage as it was set', () => {
  const task = { ...firstTask(), title: 'From behind', level: 0.3 }
  expect(openTask(saveTask(task), 'a.json')).toEqual({ ok: true, value: task })
  const document = taskDocument(task)
  expect(taskAsSet(task, document)).toEqual(task)
  const turned = { ...document, camera: { ...document.camera, azimuthDegrees: -40 }, figure: solidFigure('cone') }
  expect(taskAsSet(task, turned)).toMatchObject({ camera: { azimuthDegrees: -40 }, figure: solidFigure('cone') })
})

test.each<[string, (file: Record<string, unknown>) => unknown, string]>([
  ['another format', file => ({ ...file, format: 'greycoat-recipe' }), 'document/not-ours'],
  ['a newer version', file => ({ ...file, version: TASK_VERSION + 1 }), 'document/newer'],
  ['no torch', file => ({ ...file, task: { ...firstTask(), torch: undefined } }), 'document/invalid'],
  ['a level that nothing reaches', file => ({ ...file, task: { ...firstTask(), level: 7 } }), 'document/invalid'],
  ['something we do not know', file => ({ ...file, task: { ...firstTask(), answer: 42 } }), 'document/invalid'],
])('%s is refused', (_, damage, code) => {
  const opened = openTask(JSON.stringify(damage(JSON.parse(saveTask(firstTask())))), 'a.json')
  expect(opened).toMatchObject({ ok: false, problem: { code } })
})

test('a task is told from a recipe by its first words, and is no document', () => {
  expect(isTaskText(saveTask(firstTask()))).toBe(true)
  expect(isTaskText('{"format":"greycoat-recipe","task":"greycoat-task"}')).toBe(false)
  expect(openSaved(saveTask(firstTask()), 'a.json').ok).toBe(false)
})
