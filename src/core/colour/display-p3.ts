import { D65_WHITE, XYZ_TO_SRGB } from './band-weights.ts'
import { inverse } from './inverse-3x3.ts'

/** What a screen can show: its primaries. Both have the white and the curve of sRGB. */
export type ScreenGamut = 'srgb' | 'display-p3'

/** Chromaticities x, y of red, green and blue. Source: SMPTE EG 432-1 (DCI-P3), with the white of D65 as in CSS Color 4. */
const P3_PRIMARIES = [
  [0.68, 0.32],
  [0.265, 0.69],
  [0.15, 0.06],
] as const

type Row = readonly [number, number, number]

/** Linear sRGB to linear Display P3, 3 rows. */
export const SRGB_TO_P3: readonly Row[] = srgbToP3()

function srgbToP3(): Row[] {
  const [red, green, blue] = P3_PRIMARIES.map(([x, y]): Row => [x / y, 1, (1 - x - y) / y])
  const columns = [0, 1, 2].map((row): Row => [red[row], green[row], blue[row]])
  // As much of each primary as makes white together.
  const amounts = inverse(columns).map(row => dot(row, D65_WHITE))
  const p3ToXyz = columns.map(([r, g, b]): Row => [r * amounts[0], g * amounts[1], b * amounts[2]])
  const srgbToXyz = inverse(XYZ_TO_SRGB)
  const column = (c: number): Row => [srgbToXyz[0][c], srgbToXyz[1][c], srgbToXyz[2][c]]
  return inverse(p3ToXyz).map((row): Row => [dot(row, column(0)), dot(row, column(1)), dot(row, column(2))])
}

function dot(a: Row, b: Row): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/** A channel beyond 0…1 by more than half an 8-bit step, as linear light: what a screen must clip. */
export const CLIPPED_BELOW = -0.5 / 255 / 12.92
export const CLIPPED_ABOVE = ((1 + 0.5 / 255 + 0.055) / 1.055) ** 2.4

/** Whether a screen must clip this colour. @param r, g, b linear sRGB */
export function isOutside(gamut: ScreenGamut, r: number, g: number, b: number): boolean {
  const channels = gamut === 'srgb' ? [r, g, b] : SRGB_TO_P3.map(row => dot(row, [r, g, b]))
  return channels.some(c => c < CLIPPED_BELOW || c > CLIPPED_ABOVE)
}
