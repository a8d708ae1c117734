/** An item as it stood when it was picked up: the middle of its box and its height, px. */
export interface Row {
  readonly id: string
  readonly middle: number
  readonly height: number
}

/**
 * Where the held item would come to lie.
 * @param rows top of the page first
 * @param movedBy px since it was picked up, down is positive
 * @returns row from the top, 0…rows − 1
 */
export function rowUnder(rows: readonly Row[], heldId: string, movedBy: number): number {
  const held = rows.find(row => row.id === heldId)
  if (!held) return 0
  const middle = held.middle + movedBy
  return rows.filter(row => row.id !== heldId && row.middle < middle).length
}

/** How far another item makes room for the held one, px; 0 for the held one itself. */
export function roomFor(rows: readonly Row[], heldId: string, movedBy: number, id: string, gap: number): number {
  const from = rows.findIndex(row => row.id === heldId)
  const row = rows.findIndex(r => r.id === id)
  if (from < 0 || row < 0 || row === from) return 0
  const to = rowUnder(rows, heldId, movedBy)
  const step = rows[from].height + gap
  if (row > from && row <= to) return -step
  return row < from && row >= to ? step : 0
}
