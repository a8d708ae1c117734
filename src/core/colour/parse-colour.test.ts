import { converter } from 'culori'
import { expect, test } from 'vitest'
import { colourText, parseColour } from './parse-colour.ts'
import { encodeSrgb, linearRgbOfHex } from './srgb.ts'

const rgb = converter('rgb')
const encoded = (text: string) => parseColour(text)?.map(encodeSrgb)

test.each(['#4a6b8c', '4a6b8c', ' #4A6B8C '])('%s is a hex colour', text => {
  expect(parseColour(text)).toEqual(linearRgbOfHex('#4a6b8c'))
})

test('three digits stand for six', () => expect(encoded('#48c')).toEqual(encoded('#4488cc')))

/** culori, an independent implementation; its Lab conversions know D50 and D65. */
test.each([
  ['42.5 -3.25 -20', 'lab65', [42.5, -3.25, -20]],
  ['42.5; −3.25; −20', 'lab65', [42.5, -3.25, -20]],
  ['lab(71, 30, 40)', 'lab65', [71, 30, 40]],
  ['42.5 -3.25 -20 D50', 'lab', [42.5, -3.25, -20]],
  ['61 20 33 d65', 'lab65', [61, 20, 33]],
] as const)('%s is Lab', (text, mode, [l, a, b]) => {
  const expected = rgb({ mode, l, a, b })
  const found = encoded(text)!
  expect(found[0]).toBeCloseTo(expected.r, 3)
  expect(found[1]).toBeCloseTo(expected.g, 3)
  expect(found[2]).toBeCloseTo(expected.b, 3)
})

test.each(['', '#12345', 'blue', '1 2', '120 0 0', '50 x 3', '50 0 0 D93', '1 2 3 4'])('%j is none', text => {
  expect(parseColour(text)).toBeNull()
})

test('what is written is read as the same colour', () => {
  expect(colourText(linearRgbOfHex('#0fa27c'))).toBe('#0fa27c')
  const precise = [0.1234, 0.3217, 0.0429] as const
  parseColour(colourText(precise))!.forEach((value, c) => {
    expect(value).toBeCloseTo(precise[c], 3)
  })
  // Outside what a display shows.
  const wide = parseColour('60 90 20')!
  expect(Math.min(...wide)).toBeLessThan(0)
  expect(parseColour(colourText(wide))![1]).toBeCloseTo(wide[1], 3)
})
