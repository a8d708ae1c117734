import { BAND_NM, BANDS } from './bands.ts'
import { CIE_FIRST_NM, CIE_STEP_NM, D65, X_BAR, Y_BAR, Z_BAR } from './cie-tables.ts'
import { inverse } from './inverse-3x3.ts'

/** Three rows of 16: what each band's reflectance adds to X, Y, Z (or R, G, B). */
export type BandWeights = readonly [Float64Array, Float64Array, Float64Array]

/** CIE XYZ (D65, 2°) to linear sRGB. Source: IEC 61966-2-1, at the precision that inverts its primaries and white. */
export const XYZ_TO_SRGB = [
  [3.2404541621141045, -1.5371385127977166, -0.498531409556016],
  [-0.9692660305051868, 1.8760108454466942, 0.04155601753034984],
  [0.05564343095911469, -0.20402591351675387, 1.0572251882231791],
] as const

/** White of sRGB, Y = 1: what the matrix above takes to (1, 1, 1). */
export const D65_WHITE = [0.95047, 1, 1.08883] as const

/** The lamp of most meters and of the print trade. Source: ISO 13655, ICC.1. */
export const D50_WHITE = [0.96422, 1, 0.82521] as const

/**
 * Reflectance at 16 points becomes XYZ by one matrix: between the points the spectrum is a Catmull-Rom curve, beyond
 * 400 and 700 nm it stays at its last point; each CIE value times the illuminant is shared out by that. Rows are scaled
 * so that a perfect white gives the white point exactly.
 * @param illuminant relative spectral power, 380 to 780 nm every 5 nm
 * @param white XYZ of the perfect diffuser, Y = 1
 */
export function xyzWeights(illuminant: readonly number[], white: readonly [number, number, number]): BandWeights {
  const rows = [X_BAR, Y_BAR, Z_BAR].map(bar => {
    const row = new Float64Array(BANDS)
    bar.forEach((value, i) => {
      const power = value * illuminant[i]
      for (const [band, share] of curveShares(CIE_FIRST_NM + CIE_STEP_NM * i)) row[band] += power * share
    })
    return row
  })
  return rows.map((row, c) => {
    const sum = row.reduce((a, b) => a + b, 0)
    return row.map(w => (w * white[c]) / sum)
  }) as unknown as BandWeights
}

/** Weights of the Catmull-Rom curve at one wavelength. */
function curveShares(nm: number): readonly (readonly [number, number])[] {
  const at = (nm - BAND_NM[0]) / (BAND_NM[1] - BAND_NM[0])
  if (at <= 0) return [[0, 1]]
  if (at >= BANDS - 1) return [[BANDS - 1, 1]]
  const i = Math.floor(at)
  const t = at - i
  const clamp = (band: number) => Math.min(BANDS - 1, Math.max(0, band))
  return [
    [clamp(i - 1), (-t + 2 * t * t - t * t * t) / 2],
    [i, (2 - 5 * t * t + 3 * t * t * t) / 2],
    [clamp(i + 1), (t + 4 * t * t - 3 * t * t * t) / 2],
    [clamp(i + 2), (-t * t + t * t * t) / 2],
  ]
}

export const XYZ_WEIGHTS: BandWeights = xyzWeights(D65, D65_WHITE)

/** XYZ of a perfect white under a lamp, Y = 1. */
export function whiteUnder(illuminant: readonly number[]): [number, number, number] {
  const [x, y, z] = [X_BAR, Y_BAR, Z_BAR].map(bar => bar.reduce((sum, value, i) => sum + value * illuminant[i], 0))
  return [x / y, 1, z / y]
}

/** Bradford's cone-like responses. Source: ICC.1:2022, annex E (Lam 1985). */
const BRADFORD = [
  [0.8951, 0.2664, -0.1614],
  [-0.7502, 1.7135, 0.0367],
  [0.0389, -0.0685, 1.0296],
] as const

/** XYZ under a lamp to the XYZ that looks the same under D65 (von Kries on Bradford's responses). */
export function adaptToD65(white: Row): [number, number, number][] {
  const gain = BRADFORD.map(row => dot(row, D65_WHITE) / dot(row, white))
  return inverse(BRADFORD).map(
    back =>
      [0, 1, 2].map(c => back.reduce((sum, v, i) => sum + v * gain[i] * BRADFORD[i][c], 0)) as [number, number, number],
  )
}

/**
 * Reflectance at the 16 bands to linear sRGB as an eye sees it that has got used to the lamp: a perfect white stays
 * (1, 1, 1).
 */
export function rgbWeightsUnder(illuminant: readonly number[]): BandWeights {
  const white = whiteUnder(illuminant)
  const xyz = xyzWeights(illuminant, white)
  const adapted = adaptToD65(white).map(row => combine(row, xyz))
  return rescaled(XYZ_TO_SRGB.map(row => combine(row, adapted)))
}

type Row = readonly [number, number, number]
const dot = (a: Row, b: Row): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
const combine = (by: Row, rows: readonly Float64Array[]): Float64Array =>
  rows[0].map((_, b) => by[0] * rows[0][b] + by[1] * rows[1][b] + by[2] * rows[2][b])

/** Rows that add up to 1, so that a perfect white is exactly (1, 1, 1). */
const rescaled = (rows: readonly Float64Array[]): BandWeights =>
  rows.map(row => {
    const sum = row.reduce((a, b) => a + b, 0)
    return row.map(w => w / sum)
  }) as unknown as BandWeights

/** Reflectance at the 16 bands to linear sRGB under D65; a perfect white is (1, 1, 1). */
export const RGB_WEIGHTS: BandWeights = rescaled(XYZ_TO_SRGB.map(row => combine(row, XYZ_WEIGHTS)))

/** @param reflectance 16 values as they reach the eye (surface included) */
export function linearRgbOf(
  reflectance: ArrayLike<number>,
  weights: BandWeights = RGB_WEIGHTS,
): [number, number, number] {
  const rgb: [number, number, number] = [0, 0, 0]
  for (let c = 0; c < 3; c++) for (let b = 0; b < BANDS; b++) rgb[c] += weights[c][b] * reflectance[b]
  return rgb
}
