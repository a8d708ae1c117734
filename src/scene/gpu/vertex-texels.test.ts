import { describe, expect, test } from 'vitest'
import { COLUMNS, texelRectangles, texelRows } from './vertex-texels.ts'

describe('texelRectangles', () => {
  // By counting: every texel of the range once, no other.
  test.each([
    [0, 1],
    [5, 0],
    [0, COLUMNS],
    [17, 3 * COLUMNS + 5],
    [COLUMNS - 1, 2],
    [3 * COLUMNS, 2 * COLUMNS],
    [2 * COLUMNS + 9, COLUMNS - 9],
  ])('vertices from %i, %i of them', (first, count) => {
    const covered: number[] = []
    const rectangles = texelRectangles(first, count)
    for (const [x, y, width, height] of rectangles)
      for (let row = 0; row < height; row++) for (let i = 0; i < width; i++) covered.push((y + row) * COLUMNS + x + i)
    expect(rectangles.length).toBeLessThanOrEqual(3)
    expect(covered.sort((a, b) => a - b)).toEqual(Array.from({ length: count }, (_, i) => first + i))
    expect(rectangles.every(([x, y, w, h]) => x + w <= COLUMNS && y + h <= texelRows(first + count))).toBe(true)
  })
})
