import { D65_WHITE, XYZ_TO_SRGB } from './band-weights.ts'
import { inverse } from './inverse-3x3.ts'

/** CIE L*a*b*, D65, 2° observer. */
export type Lab = readonly [number, number, number]

/** CIE 015:2018: L* of a relative luminance Y (white is 1). */
export const lStarOfLuminance = (y: number): number => 116 * cubeRootOrLine(y) - 16

/** The inverse. */
export const luminanceOfLStar = (l: number): number => (l > 8 ? ((l + 16) / 116) ** 3 : (l * 27) / 24389)

const cubeRootOrLine = (t: number): number => (t > 216 / 24389 ? Math.cbrt(t) : ((24389 / 27) * t + 16) / 116)

export function labOfXyz(x: number, y: number, z: number): Lab {
  const fx = cubeRootOrLine(x / D65_WHITE[0])
  const fy = cubeRootOrLine(y / D65_WHITE[1])
  const fz = cubeRootOrLine(z / D65_WHITE[2])
  return [116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)]
}

/** The inverse, relative to any white. */
export const xyzOfLab = (
  [l, a, b]: Lab,
  white: readonly [number, number, number],
): readonly [number, number, number] => [
  // Every axis has the curve of luminance.
  white[0] * luminanceOfLStar(l + (116 * a) / 500),
  white[1] * luminanceOfLStar(l),
  white[2] * luminanceOfLStar(l - (116 * b) / 200),
]

export function labOfLinearRgb(r: number, g: number, b: number): Lab {
  const [x, y, z] = SRGB_TO_XYZ.map(row => row[0] * r + row[1] * g + row[2] * b)
  return labOfXyz(x, y, z)
}

/** Y of linear sRGB. */
export const luminanceOf = (r: number, g: number, b: number): number =>
  SRGB_TO_XYZ[1][0] * r + SRGB_TO_XYZ[1][1] * g + SRGB_TO_XYZ[1][2] * b

/** The inverse of the published direction, so that the two never disagree. */
const SRGB_TO_XYZ = inverse(XYZ_TO_SRGB)
