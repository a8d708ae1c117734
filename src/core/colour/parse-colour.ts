import { adaptToD65, D50_WHITE, D65_WHITE, XYZ_TO_SRGB } from './band-weights.ts'
import { labOfLinearRgb, xyzOfLab } from './lab.ts'
import { decodeSrgb, hexOf, type LinearRgb, linearRgbOfHex } from './srgb.ts'

/**
 * A colour as it is written: '#4a6b8c', '4a6b8c' or '#48c', or Lab as three numbers with blanks, commas or semicolons
 * between, under D65 unless 'D50' follows.
 * @returns linear sRGB, which may leave 0…1, or null where it is no colour
 */
export function parseColour(text: string): LinearRgb | null {
  const trimmed = text.trim()
  const short = /^#?([0-9a-f])([0-9a-f])([0-9a-f])$/i.exec(trimmed)
  if (short) return [1, 2, 3].map(i => decodeSrgb(Number.parseInt(short[i], 16) / 15)) as unknown as LinearRgb
  if (/^#?[0-9a-f]{6}$/i.test(trimmed)) return linearRgbOfHex(trimmed)
  const lab = /^(?:lab\b)?[\s(]*(\S+?)[\s,;]+(\S+?)[\s,;]+(\S+?)[\s)]*(D50|D65)?$/i.exec(trimmed.replaceAll('−', '-'))
  if (!lab) return null
  const [l, a, b] = [lab[1], lab[2], lab[3]].map(n => (/^[-+]?(\d+\.?\d*|\.\d+)$/.test(n) ? Number(n) : Number.NaN))
  if (!(l >= 0 && l <= 100 && Math.abs(a) <= 200 && Math.abs(b) <= 200)) return null
  const d50 = lab[4]?.toUpperCase() === 'D50'
  const xyz = xyzOfLab([l, a, b], d50 ? D50_WHITE : D65_WHITE)
  return times(XYZ_TO_SRGB, d50 ? times(adaptToD65(D50_WHITE), xyz) : xyz)
}

/** The shortest text that `parseColour` reads as this colour: hex where it is an 8-bit one, else Lab to 0.01. */
export function colourText(rgb: LinearRgb): string {
  const hex = hexOf(...rgb)
  const same = linearRgbOfHex(hex).every((value, c) => Math.abs(value - rgb[c]) < 1e-6)
  return same
    ? hex
    : labOfLinearRgb(...rgb)
        .map(n => Number(n.toFixed(2)))
        .join(' ')
}

const times = (matrix: readonly (readonly number[])[], v: readonly number[]): LinearRgb =>
  matrix.map(m => m[0] * v[0] + m[1] * v[1] + m[2] * v[2]) as unknown as LinearRgb
