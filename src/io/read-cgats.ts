import { adaptToD65, D50_WHITE, D65_WHITE, linearRgbOf, XYZ_TO_SRGB } from '../core/colour/band-weights.ts'
import { BAND_NM } from '../core/colour/bands.ts'
import { luminanceOf, xyzOfLab } from '../core/colour/lab.ts'
import { reflectanceOfRgb } from '../core/film/reflectance-of-rgb.ts'
import { fail, ok, type Result } from '../core/problem.ts'

/** One measured patch of a CGATS file. */
export interface CgatsSample {
  readonly name: string
  /** As seen (surface included), 0…1, at the 16 bands. */
  readonly reflectance: readonly number[]
  /** colour: the file has Lab or XYZ alone; this is the smoothest reflectance of that colour, so an estimate. */
  readonly basis: 'spectrum' | 'colour'
}

export const CGATS_LIMITS = { bytes: 4 * 2 ** 20, fields: 1000, rows: 10_000 }

/** Readings must come this close to 400 and 700 nm, and stand no further apart than this. */
const END_GAP_NM = 10
const WIDEST_STEP_NM = 20
/** No paint reflects this much: such readings are per cent. */
const LARGEST_FRACTION = 1.5

/**
 * Reads CGATS text (ANSI CGATS.17, ISO 28178): keywords, a list of fields, a table; more tables may follow. Spectra are
 * columns named after their wavelength (SPECTRAL_NM380, SPECTRAL_380, SPEC_380, nm380, R_380), or pairs of SPECTRAL_NM and
 * SPECTRAL_PCT or SPECTRAL_DEC, in one row or one pair a row; between readings goes a straight line. Without spectra
 * LAB_L, LAB_A, LAB_B or XYZ_X, XYZ_Y, XYZ_Z count: under D50 unless the header says D65 (ISO 13655), Y of white 100.
 *
 * @returns at least one sample, in file order
 * @remarks Few files say whether they count in fractions or per cent. A table counts in per cent where a reading is above
 * 1.5, else where its own Lab or XYZ fits better so; a lone near-black patch without either counts in fractions.
 */
export function readCgats(fileName: string, text: string): Result<CgatsSample[]> {
  if (text.trim() === '') return fail({ code: 'file/empty', fileName })
  if (text.length > CGATS_LIMITS.bytes)
    return fail({ code: 'file/too-large', fileName, found: text.length, limit: CGATS_LIMITS.bytes, what: 'bytes' })
  try {
    return ok(tablesOf(text).flatMap(samplesOf))
  } catch (thrown) {
    if (thrown instanceof Unusable) return fail({ code: 'spectra/unusable', fileName, detail: thrown.message })
    throw thrown
  }
}

/** Its message is a sentence for the user. */
class Unusable extends Error {}

interface Table {
  readonly fields: readonly string[]
  readonly rows: readonly (readonly string[])[]
  readonly isD65: boolean
}

function tablesOf(text: string): Table[] {
  const tokens = tokensOf(text)
  const tables: Table[] = []
  let fields: readonly string[] = []
  let isD65 = false
  let announced: string | null = null
  for (let at = 0; at < tokens.length; at++) {
    const token = tokens[at]
    if (token === 'BEGIN_DATA_FORMAT' || token === 'BEGIN_DATA') {
      const end = tokens.indexOf(token.replace('BEGIN', 'END'), at)
      if (end < 0) throw new Unusable(`It ends before ${token.replace('BEGIN', 'END')}`)
      const inside = tokens.slice(at + 1, end)
      at = end
      if (token === 'BEGIN_DATA_FORMAT') fields = fieldsOf(inside)
      else {
        tables.push({ fields, rows: rowsOf(inside, fields.length, announced), isD65 })
        announced = null
      }
    } else if (token === 'NUMBER_OF_SETS') announced = tokens[at + 1] ?? ''
    else if (/^(illuminant,\s*)?D(50|65)$/i.test(token)) isD65 = token.endsWith('65')
  }
  if (tables.length === 0) throw new Unusable('It has no BEGIN_DATA, so it is no CGATS text')
  return tables
}

/** Words, quoted texts without their quotes (a doubled quote is one), no comments. */
const tokensOf = (text: string): string[] =>
  Array.from(text.matchAll(/"((?:[^"\r\n]|"")*)"|(#[^\r\n]*)|\S+/g), ([word, quoted, comment]) =>
    comment === undefined ? (quoted?.replaceAll('""', '"') ?? word) : null,
  ).filter(token => token !== null)

function fieldsOf(tokens: readonly string[]): string[] {
  if (tokens.length > CGATS_LIMITS.fields)
    throw new Unusable(`It has ${tokens.length} columns, and ${CGATS_LIMITS.fields} is the most`)
  return tokens.map(token => token.toUpperCase())
}

function rowsOf(tokens: readonly string[], columns: number, announced: string | null): string[][] {
  if (columns === 0) throw new Unusable('Its columns have no names: BEGIN_DATA_FORMAT is missing')
  const rows = tokens.length / columns
  if (rows === 0) throw new Unusable('It has no sample in it')
  if (!Number.isInteger(rows))
    throw new Unusable(`${tokens.length} entries do not fill rows of ${columns}: it is cut off, or a name lacks quotes`)
  if (rows > CGATS_LIMITS.rows) throw new Unusable(`It has ${rows} rows, and ${CGATS_LIMITS.rows} is the most`)
  if (announced !== null && Number(announced) !== rows)
    throw new Unusable(`It announces ${announced.slice(0, 20)} samples and has ${rows}: it is cut off`)
  return Array.from({ length: rows }, (_, r) => tokens.slice(r * columns, (r + 1) * columns))
}

/** Wavelength and reading, as the file has it. */
type Reading = readonly [nm: number, value: number]

function samplesOf({ fields, rows, isD65 }: Table): CgatsSample[] {
  const nameAt = fields.indexOf('SAMPLE_NAME')
  const idAt = fields.findIndex(field => field === 'SAMPLE_ID' || field === 'SAMPLEID')
  const nameOf = (row: readonly string[], r: number) => row[nameAt] || row[idAt] || `sample ${r + 1}`
  const colourOf = colourReader(fields, isD65)

  const named = fields.flatMap((field, at) => {
    const nm = /^(?:SPECTRAL_(?:NM_?)?|SPEC_|NM_?|R_)(\d{3,4}(?:\.\d+)?)$/.exec(field)?.[1]
    return nm === undefined ? [] : [{ nm: Number(nm), at }]
  })
  const pairs = fields.flatMap((field, at) =>
    field === 'SPECTRAL_NM' && /^SPECTRAL_(PCT|DEC)$/.test(fields[at + 1] ?? '') ? [at] : [],
  )
  if (named.length === 0 && pairs.length === 0) {
    if (!colourOf) throw new Unusable('None of its columns is a wavelength, Lab or XYZ')
    return rows.map((row, r) => {
      const name = nameOf(row, r)
      const [red, green, blue] = colourOf(row, name).map(clamped)
      return { name, reflectance: [...reflectanceOfRgb([red, green, blue])], basis: 'colour' }
    })
  }

  const measured: { name: string; row: readonly string[]; readings: Reading[] }[] = []
  rows.forEach((row, r) => {
    const name = nameOf(row, r)
    const cell = (at: number) => numberIn(row[at], name, fields[at])
    const readings: Reading[] =
      named.length > 0 ? named.map(({ nm, at }) => [nm, cell(at)]) : pairs.map(at => [cell(at), cell(at + 1)])
    const last = measured.at(-1)
    // One pair a row: a sample goes on as long as its name does.
    if (named.length === 0 && pairs.length === 1 && last?.name === name) last.readings.push(...readings)
    else measured.push({ name, row, readings })
  })
  const perUnit = unitOf(fields, measured, colourOf)
  return measured.map(({ name, readings }) => ({
    name,
    reflectance: atBands(
      readings.map(([nm, value]) => [nm, value / perUnit]),
      name,
    ),
    basis: 'spectrum',
  }))
}

/** 1 or 100: what the table counts a perfect white as. */
function unitOf(
  fields: readonly string[],
  samples: readonly { name: string; row: readonly string[]; readings: readonly Reading[] }[],
  colourOf: ((row: readonly string[], name: string) => Rgb) | null,
): 1 | 100 {
  if (fields.includes('SPECTRAL_PCT')) return 100
  if (fields.includes('SPECTRAL_DEC')) return 1
  if (samples.some(({ readings }) => readings.some(([, value]) => value > LARGEST_FRACTION))) return 100
  if (!colourOf) return 1
  // The brightest patch tells most.
  const top = (readings: readonly Reading[]) => Math.max(...readings.map(([, value]) => value))
  const { name, row, readings } = samples.reduce((a, b) => (top(b.readings) > top(a.readings) ? b : a))
  const ratio = luminanceOf(...linearRgbOf(atBands(readings, name))) / luminanceOf(...colourOf(row, name))
  // Half way, in ratio, between as stated and a hundred times that.
  return ratio > 10 ? 100 : 1
}

function atBands(readings: readonly Reading[], name: string): number[] {
  const sorted = [...readings].sort(([a], [b]) => a - b)
  const [first] = sorted[0]
  const [last] = sorted[sorted.length - 1]
  if (!(first <= BAND_NM[0] + END_GAP_NM && last >= BAND_NM[BAND_NM.length - 1] - END_GAP_NM))
    throw new Unusable(`${name} reaches from ${first} to ${last} nm, and 400 to 700 nm are needed`)
  sorted.forEach(([nm, value], i) => {
    const step = i === 0 ? 1 : nm - sorted[i - 1][0]
    if (step === 0) throw new Unusable(`${name} has two readings at ${nm} nm`)
    if (step > WIDEST_STEP_NM)
      throw new Unusable(`${name} leaves ${step} nm between readings, and ${WIDEST_STEP_NM} nm is the most`)
    if (value < -0.05 || value > LARGEST_FRACTION)
      throw new Unusable(`${name} reads ${value} at ${nm} nm, which no paint reflects`)
  })
  return BAND_NM.map(nm => {
    const above = sorted.findIndex(([at]) => at >= nm)
    if (above < 0) return clamped(sorted[sorted.length - 1][1])
    if (above === 0) return clamped(sorted[0][1])
    const [[nm0, v0], [nm1, v1]] = [sorted[above - 1], sorted[above]]
    return clamped(v0 + ((nm - nm0) / (nm1 - nm0)) * (v1 - v0))
  })
}

type Rgb = readonly [number, number, number]

/** Reads a row's Lab or XYZ as linear sRGB, or null where the table has neither. */
function colourReader(fields: readonly string[], isD65: boolean) {
  const columns = (names: readonly string[]) => {
    const at = names.map(name => fields.indexOf(name))
    return at.includes(-1) ? null : at
  }
  const lab = columns(['LAB_L', 'LAB_A', 'LAB_B'])
  const at = lab ?? columns(['XYZ_X', 'XYZ_Y', 'XYZ_Z'])
  if (!at) return null
  const white = isD65 ? D65_WHITE : D50_WHITE
  const adapt = adaptToD65(white)
  return (row: readonly string[], name: string): Rgb => {
    const [x, y, z] = at.map(column => numberIn(row[column], name, fields[column]))
    const xyz = lab ? xyzOfLab([x, y, z], white) : [x / 100, y / 100, z / 100]
    const times = (matrix: readonly (readonly number[])[], v: readonly number[]) =>
      matrix.map(m => m[0] * v[0] + m[1] * v[1] + m[2] * v[2])
    return times(XYZ_TO_SRGB, times(adapt, xyz)) as unknown as Rgb
  }
}

function numberIn(text: string, sample: string, field: string): number {
  const value = /^[-+]?(\d+\.?\d*|\.\d+)(e[-+]?\d+)?$/i.test(text) ? Number(text) : Number.NaN
  if (!Number.isFinite(value))
    throw new Unusable(`${sample} has '${text.slice(0, 40)}' as ${field}, which is no number`)
  return value
}

const clamped = (value: number): number => Math.min(1, Math.max(0, value))
