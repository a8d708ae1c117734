import { converter } from 'culori'
import { describe, expect, test } from 'vitest'
import { isOutside, SRGB_TO_P3 } from './display-p3.ts'
import { encodeSrgb } from './srgb.ts'

test('linear sRGB becomes Display P3 as culori has it', () => {
  const toP3 = converter('p3')
  for (const [r, g, b] of [
    [0.02, 0.3, 0.75],
    [0.9, 0.05, 0.001],
    [1.02, -0.05, 0.4],
    [1, 1, 1],
  ] as const) {
    const expected = toP3({ mode: 'lrgb', r, g, b })
    const ours = SRGB_TO_P3.map(row => encodeSrgb(row[0] * r + row[1] * g + row[2] * b))
    ;[expected.r, expected.g, expected.b].forEach((value, c) => {
      expect(Math.abs(ours[c] - value), `channel ${c} of ${r} ${g} ${b}`).toBeLessThan(1e-4)
    })
  }
})

describe('colour that a screen must clip is told from colour on its rim', () => {
  test('sRGB', () => {
    expect(isOutside('srgb', 0, 1, 0.5)).toBe(false)
    expect(isOutside('srgb', -0.0001, 1.003, 0.5)).toBe(false)
    expect(isOutside('srgb', 0.2, 1.02, 0.5)).toBe(true)
    expect(isOutside('srgb', 0.2, 0.3, -0.002)).toBe(true)
  })
  test('P3 takes more, but not all', () => {
    // P3's own green, (0, 1, 0) there, is (-0.2249, 1.042, -0.0786) in linear sRGB (CSS Color 4's matrices).
    expect(isOutside('srgb', -0.2249, 1.0421, -0.0786)).toBe(true)
    expect(isOutside('display-p3', -0.2249, 1.042, -0.0786)).toBe(false)
    expect(isOutside('display-p3', -0.24, 1.042, -0.0786)).toBe(true)
    expect(isOutside('display-p3', 0, 0, 1)).toBe(false)
  })
})
