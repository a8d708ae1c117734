import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { amend, edit, endGesture, type History, redo, startHistory, undo } from './history.ts'

interface Page {
  readonly words: readonly string[]
  readonly eye: number
}
const keepEye = (from: Page, into: Page): Page => ({ ...into, eye: from.eye })
const add = (word: string, gesture?: string) => (h: History<Page>) =>
  edit(h, { label: word, apply: p => ({ ...p, words: [...p.words, word] }), gesture })

type Step = (h: History<Page>) => History<Page>
const anyStep: fc.Arbitrary<Step> = fc.oneof(
  fc.string({ maxLength: 3 }).map(word => add(word)),
  fc.tuple(fc.string({ maxLength: 3 }), fc.constantFrom('a', 'b')).map(([word, gesture]) => add(word, gesture)),
  fc.constant(endGesture as Step),
  fc.integer().map(eye => (h: History<Page>) => amend(h, p => ({ ...p, eye }))),
  fc.constant((h: History<Page>) => undo(h, keepEye)),
  fc.constant((h: History<Page>) => redo(h, keepEye)),
)
const START: Page = { words: ['start'], eye: 1 }
const afterAll = (steps: readonly Step[]) => steps.reduce((h, step) => step(h), startHistory(START))
const repeated = (h: History<Page>, move: Step): History<Page> => {
  let next = move(h)
  while (next !== h) {
    h = next
    next = move(h)
  }
  return h
}

test('whatever was done, undoing all of it gives the start back, and redoing all of it the end', () => {
  fc.assert(
    fc.property(fc.array(anyStep, { maxLength: 60 }), steps => {
      const end = afterAll(steps)
      const ahead = repeated(end, h => redo(h, keepEye))
      const back = repeated(end, h => undo(h, keepEye))
      expect(back.present.words).toEqual(START.words)
      expect(back.present.eye).toBe(end.present.eye)
      expect(repeated(back, h => redo(h, keepEye)).present).toEqual(ahead.present)
    }),
    { seed: 2611 },
  )
})

test('one undo takes one step back, and redo is its inverse', () => {
  fc.assert(
    fc.property(fc.array(anyStep, { maxLength: 40 }), steps => {
      const h = afterAll(steps)
      if (h.past.length === 0) return
      expect(redo(undo(h, keepEye), keepEye).present).toEqual(h.present)
    }),
    { seed: 2612 },
  )
})

describe('gestures', () => {
  test('the changes of one gesture are one step, named after the first', () => {
    const h = [add('a', 'drag'), add('b', 'drag'), add('c', 'drag')].reduce((x, step) => step(x), startHistory(START))
    expect(h.past.map(s => s.label)).toEqual(['a'])
    expect(undo(h).present).toBe(START)
  })
  test('letting go begins a new step, so does another gesture and an undo', () => {
    const once = add('a', 'drag')(startHistory(START))
    expect(add('b', 'drag')(endGesture(once)).past).toHaveLength(2)
    expect(add('b', 'other')(once).past).toHaveLength(2)
    expect(add('c', 'drag')(undo(add('b', 'drag')(endGesture(once)))).past).toHaveLength(2)
  })
})

test('an edit without effect leaves no step and keeps what can be redone', () => {
  const h = undo(add('a')(startHistory(START)))
  expect(edit(h, { label: 'nothing', apply: p => p })).toBe(h)
  expect(h.future).toHaveLength(1)
  expect(add('b')(h).future).toHaveLength(0)
})

test('the oldest steps go when there are too many', () => {
  let h = startHistory(START)
  for (let i = 0; i < 7; i++) h = edit(h, { label: `${i}`, apply: p => ({ ...p, words: [`${i}`] }) }, 5)
  expect(h.past.map(s => s.label)).toEqual(['2', '3', '4', '5', '6'])
  expect(repeated(h, undo).present.words).toEqual(['1'])
})
