import { describe, expect, test } from 'vitest'
import { type Row, roomFor, rowUnder } from './reorder-rows.ts'

/** Boxes of unequal height, stacked without gaps: 0–40, 40–60, 60–160, 160–190. */
const ROWS: readonly Row[] = [
  { id: 'a', middle: 20, height: 40 },
  { id: 'b', middle: 50, height: 20 },
  { id: 'c', middle: 110, height: 100 },
  { id: 'd', middle: 175, height: 30 },
]

describe('rowUnder: counts the middles that were passed', () => {
  test.each([
    ['a', 0, 0],
    ['a', 29, 0],
    ['a', 31, 1],
    ['a', 91, 2],
    ['a', 1000, 3],
    ['d', -64, 3],
    ['d', -66, 2],
    ['d', -1000, 0],
    ['c', -61, 1],
    ['unknown', 500, 0],
  ])('%s moved by %d px lies in row %d', (id, movedBy, row) => expect(rowUnder(ROWS, id, movedBy)).toBe(row))
})

test('those between make room by the height of the held one and the gap, the others stand still', () => {
  const room = (held: string, by: number) => ROWS.map(row => roomFor(ROWS, held, by, row.id, 3))
  expect(room('a', 95)).toEqual([0, -43, -43, 0])
  expect(room('d', -70)).toEqual([0, 0, 33, 0])
  expect(room('b', 0)).toEqual([0, 0, 0, 0])
})
