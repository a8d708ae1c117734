import { describe, expect, test } from 'vitest'
import { parseBakeOptions, UsageError } from './bake-options.ts'

const parse = (line: string) => parseBakeOptions(line.split(' ').filter(Boolean))

test('everything said', () => {
  expect(parse('a.stl --recipe r.json --out o --unit um --up -z --front +y --height 28.5 --surface')).toEqual({
    figure: 'a.stl',
    recipe: 'r.json',
    out: 'o',
    unit: 'µm',
    up: '-z',
    front: '+y',
    heightMm: 28.5,
    surface: true,
  })
})

test('nothing said but the least', () => {
  expect(parse('--out=o sentinel')).toEqual({
    figure: 'sentinel',
    recipe: null,
    out: 'o',
    unit: null,
    up: null,
    front: null,
    heightMm: null,
    surface: false,
  })
  expect(parse('--help')).toBe('help')
})

test('both signs for micro, an axis without a sign', () => {
  expect(parse('a --out o --unit \u00b5m --up z')).toMatchObject({ unit: 'µm', up: '+z' })
  expect(parse('a --out o --unit \u03bcm --front -X')).toMatchObject({ unit: 'µm', front: '-x' })
})

describe('what cannot be done is said in one sentence', () => {
  test.each([
    ['', /No figure/],
    ['a.stl', /--out DIR/],
    ['a.stl b.stl --out o', /b\.stl is one too many/],
    ['a.stl --out o --frobnicate', /--frobnicate/],
    ['a.stl --out', /--out/],
    ['a.stl --out o --unit furlong', /furlong/],
    ['a.stl --out o --unit toString', /toString/],
    ['a.stl --out o --up w', /--up w/],
    ['a.stl --out o --height 0', /--height 0/],
    ['a.stl --out o --height tall', /tall/],
    ['a.stl --out o --height Infinity', /Infinity/],
  ])('%s', (line, words) => {
    expect(() => parse(line)).toThrow(UsageError)
    expect(() => parse(line)).toThrow(words)
    try {
      parse(line)
    } catch (thrown) {
      expect((thrown as Error).message).toMatch(/^[^\n]*\.$/)
    }
  })
})
