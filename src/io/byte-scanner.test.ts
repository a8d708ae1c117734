import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { ByteScanner, lineOf, NotANumber } from './byte-scanner.ts'

const scan = (text: string) => new ByteScanner(new TextEncoder().encode(text))

describe('numbers', () => {
  test('up to 15 digits are those of JavaScript’s own reader to the last bit', () => {
    fc.assert(
      fc.property(fc.integer({ min: -999_999_999, max: 999_999_999 }), fc.integer({ min: -21, max: 13 }), (m, e) => {
        for (const text of [`${m}e${e}`, `${m}.5E${e}`, `+${Math.abs(m)}.`, `-.${Math.abs(m)}`])
          expect(scan(text).number(), text).toBe(Number(text))
      }),
      { seed: 3, numRuns: 500 },
    )
  })
  test('any float32, written with all its digits, comes back', () => {
    fc.assert(
      fc.property(fc.float({ noNaN: true, noDefaultInfinity: true }), value => {
        expect(Math.fround(scan(String(value)).number())).toBe(value)
        expect(Math.fround(scan(value.toExponential(8)).number())).toBe(value)
      }),
      { seed: 4, numRuns: 1000 },
    )
  })
  test.each([
    ['nan', Number.NaN],
    ['-NaN', Number.NaN],
    ['inf', Infinity],
    ['-Infinity', -Infinity],
    ['1e21', 1e21],
    ['1e999', Infinity],
    ['0e999', 0],
    ['1e-999', 0],
    ['0000000000000000000000000000012', 12],
  ])('%s', (text, expected) => {
    expect(scan(text).number()).toEqual(expected)
  })
  test.each(['nought', '1,5', '--1', '1e', '.', '1.2.3', '0x10', '5m'])('%s is none', text => {
    const s = scan(`${text} 7`)
    // No word is half a number.
    expect(() => s.number()).toThrow(NotANumber)
    expect(s.at).toBe(0)
  })
  test('a megabyte of digits is read once through', () => {
    const started = performance.now()
    expect(scan('9'.repeat(1 << 20)).number()).toBe(Infinity)
    expect(performance.now() - started).toBeLessThan(500)
  })
})

describe('lines', () => {
  test.each(['\n', '\r', '\r\n'])('end with %j', end => {
    const s = scan(`a b${end}c${end}${end}d`)
    const words: string[] = []
    for (;;) {
      while (s.skipBlanks()) words.push(s.word())
      if (s.at >= s.end) break
      s.skipLine()
      words.push('|')
    }
    expect(words).toEqual(['a', 'b', '|', 'c', '|', '|', 'd'])
    expect(lineOf(s.bytes, s.end)).toBe(4)
  })
  test('a word is taken whole or not at all, in any case', () => {
    const s = scan('Vertex vertexes')
    expect(s.takes('vertex')).toBe(true)
    s.skipBlanks()
    expect(s.takes('vertex')).toBe(false)
  })
})
