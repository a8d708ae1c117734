import { expect, test } from 'vitest'
import { PlaceTable } from './place-table.ts'

test('agrees with a Map a piece, while the table grows from 16 places to thousands', () => {
  const table = new PlaceTable(1)
  const bits = (n: number) => Math.imul(n, 2654435761) | 0
  let before = 0
  for (let piece = 0; piece < 3; piece++) {
    table.startPiece()
    const known = new Map<string, number>()
    // Every place comes three times, in an order that mixes old and new.
    for (let i = 0; i < 9000; i++) {
      const n = (i * i + 7 * i) % 3001
      const place = [bits(n % 37), bits(n % 11), bits(n)] as const
      const key = place.join(' ')
      if (!known.has(key)) known.set(key, before + known.size)
      expect(table.numberOf(...place), `piece ${piece}, step ${i}`).toBe(known.get(key))
    }
    before += known.size
    expect(table.count).toBe(before)
  }
  expect(table.positions().length).toBe(3 * before)
})
