import { expect, test } from 'vitest'
import { FieldIndex } from './field-index.ts'

const NONE = new Set<string>()

test('drops the longest unused first, and only as many as the limit asks', () => {
  const fields = new FieldIndex(100)
  for (const key of ['a', 'b', 'c']) expect(fields.add(key, 'refined', 30, NONE)).toEqual([])
  fields.use(['a'])
  expect(fields.add('d', 'refined', 30, NONE)).toEqual(['b'])
  expect(['a', 'b', 'c', 'd'].map(key => fields.qualityOf(key))).toEqual(['refined', null, 'refined', 'refined'])
})

test('what is needed stays, whatever it takes', () => {
  const fields = new FieldIndex(50)
  fields.add('a', 'refined', 40, NONE)
  expect(fields.add('b', 'refined', 40, new Set(['a', 'b']))).toEqual([])
  expect(fields.add('c', 'refined', 40, new Set(['b', 'c']))).toEqual(['a'])
})

test('coarse fields of a drag go as soon as nobody needs them', () => {
  const fields = new FieldIndex(1000)
  fields.add('first', 'coarse', 10, new Set(['first']))
  expect(fields.add('second', 'coarse', 10, new Set(['second']))).toEqual(['first'])
})

test('a refined field takes the place of the coarse one and its bytes', () => {
  const fields = new FieldIndex(50)
  fields.add('a', 'coarse', 30, new Set(['a']))
  expect(fields.add('a', 'refined', 30, new Set(['a']))).toEqual([])
  expect(fields.qualityOf('a')).toBe('refined')
  expect(fields.add('b', 'refined', 20, new Set(['b']))).toEqual([])
})
