import { converter } from 'culori'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { linearRgbOf } from '../core/colour/band-weights.ts'
import { BAND_NM } from '../core/colour/bands.ts'
import { CGATS_LIMITS, readCgats } from './read-cgats.ts'

const NM = Array.from({ length: 36 }, (_, i) => 380 + 10 * i)
/** A reflectance that differs at every wavelength and on both sides of the middle. */
const curve = (nm: number) => 0.1 + 0.6 / (1 + Math.exp((560 - nm) / 25)) + 0.0001 * (nm - 400)

const table = (fields: string, rows: readonly string[], header = '') =>
  `CGATS.17\n${header}\nNUMBER_OF_FIELDS ${fields.split(' ').length}\nBEGIN_DATA_FORMAT\n${fields}\nEND_DATA_FORMAT
NUMBER_OF_SETS ${rows.length}\nBEGIN_DATA\n${rows.join('\n')}\nEND_DATA\n`

const read = (text: string) => {
  const result = readCgats('swatches.txt', text)
  if (!result.ok) throw new Error(JSON.stringify(result.problem))
  return result.value
}
const refusal = (text: string) => {
  const result = readCgats('swatches.txt', text)
  if (result.ok) throw new Error('was read')
  return result.problem.code === 'spectra/unusable' ? result.problem.detail : result.problem.code
}
/** The 16 bands lie on the 10 nm grid: the readings there come through as they are. */
const expectCurve = (reflectance: readonly number[], tolerance = 1e-12) =>
  BAND_NM.forEach((nm, b) => {
    expect(Math.abs(reflectance[b] - curve(nm)), `${nm} nm`).toBeLessThan(tolerance)
  })

describe('spectra', () => {
  test.each(['SPECTRAL_NM', 'SPECTRAL_NM_', 'SPECTRAL_', 'SPEC_', 'nm', 'R_'])('columns called %s380', prefix => {
    const [sample] = read(table(`SAMPLE_ID ${NM.map(nm => prefix + nm).join(' ')}`, [`A1 ${NM.map(curve).join(' ')}`]))
    expect([sample.name, sample.basis]).toEqual(['A1', 'spectrum'])
    expectCurve(sample.reflectance)
  })

  test('per cent, quoted names with doubled quotes, comments, tabs, columns in any order, CRLF', () => {
    const backwards = [...NM].reverse()
    const [sample] = read(
      table(
        `${backwards.map(nm => `SPECTRAL_NM${nm}`).join(' ')} SAMPLE_NAME`,
        [`${backwards.map(nm => 100 * curve(nm)).join('\t')} "over ""black"" card"`],
        '# BEGIN_DATA in a comment\nORIGINATOR "someone"',
      ).replaceAll('\n', '\r\n'),
    )
    expect(sample.name).toBe('over "black" card')
    expectCurve(sample.reflectance)
  })

  test('pairs of wavelength and per cent in one row, and one pair a row', () => {
    const pair = (nm: number) => `${nm} ${100 * curve(nm)}`
    const wide = read(
      table(`SAMPLE_ID ${NM.map(() => 'SPECTRAL_NM SPECTRAL_PCT').join(' ')}`, [`A1 ${NM.map(pair).join(' ')}`]),
    )
    const long = read(
      table('SAMPLE_ID SPECTRAL_NM SPECTRAL_PCT', [...NM.map(nm => `A1 ${pair(nm)}`), ...NM.map(nm => `A2 ${nm} 5`)]),
    )
    expectCurve(wide[0].reflectance)
    expectCurve(long[0].reflectance)
    expect(long.map(s => s.name)).toEqual(['A1', 'A2'])
    for (const value of long[1].reflectance) expect(value).toBeCloseTo(0.05, 12)
  })

  test('a dark patch in per cent is told by its own luminance', () => {
    const fields = `SAMPLE_ID ${NM.map(nm => `SPEC_${nm}`).join(' ')}`
    const values = NM.map(() => 1.2).join(' ')
    // Y = 1.2 of 100 is L* 10.6.
    const [sample] = read(table(`${fields} LAB_L LAB_A LAB_B`, [`A1 ${values} 10.6 0 0`]))
    for (const value of sample.reflectance) expect(value).toBeCloseTo(0.012, 12)
    const [fluorescent] = read(table(`${fields} LAB_L LAB_A LAB_B`, [`A1 ${values} 107 0 0`]))
    for (const value of fluorescent.reflectance) expect(value).toBe(1)
  })

  test('off the grid a straight line, exact on a straight spectrum; 5 nm short at the ends', () => {
    const odd = Array.from({ length: 16 }, (_, i) => 405 + 19.4 * i)
    const straight = (nm: number) => 0.2 + (nm - 400) / 1000
    const [sample] = read(
      table(`SAMPLE_ID ${odd.map(nm => `SPECTRAL_${nm.toFixed(1)}`).join(' ')}`, [
        `A1 ${odd.map(nm => straight(Number(nm.toFixed(1)))).join(' ')}`,
      ]),
    )
    BAND_NM.forEach((nm, b) => {
      const reached = Math.min(696, Math.max(405, nm))
      expect(sample.reflectance[b]).toBeCloseTo(straight(reached), 9)
    })
  })

  test('two tables, the second with fields of its own', () => {
    const one = table(`SAMPLE_ID ${NM.map(nm => `nm${nm}`).join(' ')}`, [`A1 ${NM.map(curve).join(' ')}`])
    const two = table('SAMPLE_NAME LAB_L LAB_A LAB_B', ['grey 50 0 0'])
    expect(read(one + two).map(s => [s.name, s.basis])).toEqual([
      ['A1', 'spectrum'],
      ['grey', 'colour'],
    ])
  })
})

describe('colours alone', () => {
  const toRgb = converter('lrgb')
  const expectRgb = (reflectance: readonly number[], r: number, g: number, b: number) => {
    for (const [c, value] of linearRgbOf(reflectance).entries()) expect(value).toBeCloseTo([r, g, b][c], 2.5)
  }
  // culori adapts from D50 by Bradford as well: an independent path.
  test.each([
    ['', 'lab', '52 31 -18'],
    ['WEIGHTING_FUNCTION "ILLUMINANT, D50"', 'lab', '71 -22 40'],
    ['WEIGHTING_FUNCTION "ILLUMINANT, D65"', 'lab65', '71 -22 40'],
    ['ILLUMINATION_NAME "D65"', 'lab65', '40 12 -33'],
  ] as const)('Lab, header %s, is as culori has it', (header, mode, values) => {
    const [sample] = read(table('SAMPLE_ID LAB_L LAB_A LAB_B', [`A1 ${values}`], header))
    const [l, a, b] = values.split(' ').map(Number)
    const { r, g, b: blue } = toRgb({ mode, l, a, b })
    expect(sample.basis).toBe('colour')
    expectRgb(sample.reflectance, r, g, blue)
  })

  test('XYZ of 100', () => {
    const [sample] = read(table('SAMPLE_ID XYZ_X XYZ_Y XYZ_Z', ['A1 31 24 19']))
    const { r, g, b } = toRgb({ mode: 'xyz50', x: 0.31, y: 0.24, z: 0.19 })
    expectRgb(sample.reflectance, r, g, b)
  })
})

describe('what is wrong is said', () => {
  const fields = `SAMPLE_ID ${NM.map(nm => `nm${nm}`).join(' ')}`
  const good = `A1 ${NM.map(curve).join(' ')}`
  test.each([
    ['  \n ', 'file/empty'],
    ['solid cube\nfacet normal 0 0 1', 'no CGATS text'],
    [table(fields, [good]).replace('END_DATA\n', ''), 'ends before END_DATA'],
    [table(fields, [good]).replace('END_DATA_FORMAT', ''), 'ends before END_DATA_FORMAT'],
    [table(fields, [good]).replace('NUMBER_OF_SETS 1', 'NUMBER_OF_SETS 4294967295'), 'announces 4294967295 samples'],
    [table(fields, [good]).replace('NUMBER_OF_SETS 1', 'NUMBER_OF_SETS NaN'), 'announces NaN samples'],
    [table(fields, [`${good} 0.5`]), 'do not fill rows'],
    [table(fields, [good.replace(/ 0\.\d+/, ' NaN')]), "'NaN' as NM380"],
    [table(fields, [good.replace(/ 0\.\d+/, ' 0x1F')]), "'0x1F' as NM380"],
    [table(fields, [good.replace(/ 0\.\d+/, ' 1e999')]), "'1e999' as NM380"],
    [table(fields, [good.replace(/ 0\.\d+/, ' -0.4')]), 'no paint reflects'],
    [table(fields, [`A1 ${NM.map(() => 400).join(' ')}`]), 'no paint reflects'],
    [table('SAMPLE_ID CMYK_C', ['A1 4']), 'wavelength, Lab or XYZ'],
    [table('SAMPLE_ID LAB_L LAB_A', ['A1 4 5']), 'wavelength, Lab or XYZ'],
    [table('SAMPLE_ID nm500 nm510', ['A1 0.4 0.5']), '400 to 700 nm are needed'],
    [table('SAMPLE_ID nm400 nm550 nm700', ['A1 0.4 0.5 0.6']), '150 nm between readings'],
    [table(fields.replace('nm390', 'nm380'), [good]), 'two readings at 380 nm'],
    [table(fields, []), 'no sample'],
    ['CGATS.17\nBEGIN_DATA\n1 2 3\nEND_DATA', 'BEGIN_DATA_FORMAT is missing'],
    [table(`SAMPLE_ID ${'X '.repeat(1001)}`, ['1']), '1000 is the most'],
    [table('SAMPLE_ID LAB_L LAB_A LAB_B', Array(10_001).fill('1 2 3 4')), '10000 is the most'],
    [' '.repeat(CGATS_LIMITS.bytes) + 1, 'file/too-large'],
  ])('case %#: %.20s', (text, sentence) => {
    expect(refusal(text)).toContain(sentence)
  })

  test('whatever the text, it answers with samples in range or a problem, and never throws', () => {
    const word = fc.oneof(
      fc.constantFrom('CGATS.17', 'BEGIN_DATA_FORMAT', 'END_DATA_FORMAT', 'BEGIN_DATA', 'END_DATA', 'NUMBER_OF_SETS'),
      fc.constantFrom(
        'SAMPLE_ID',
        'SPECTRAL_NM',
        'SPECTRAL_PCT',
        'LAB_L',
        'LAB_A',
        'LAB_B',
        'nm400',
        'nm700',
        '"',
        '#',
      ),
      fc.double().map(String),
      fc.string(),
    )
    fc.assert(
      fc.property(fc.array(word, { maxLength: 60 }), words => {
        const result = readCgats('any.txt', words.join(' '))
        if (result.ok)
          for (const { reflectance } of result.value) {
            expect(reflectance.length).toBe(16)
            expect(reflectance.every(v => v >= 0 && v <= 1)).toBe(true)
          }
      }),
      { numRuns: 500 },
    )
  })
})
