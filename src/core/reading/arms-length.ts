import { lStarOfLuminance, luminanceOf } from '../colour/lab.ts'
import { decodeSrgb, srgbByte } from '../colour/srgb.ts'
import type { Figure } from '../mesh/figure.ts'
import { NOTHING, rasterView, type ViewPoint } from './raster-view.ts'
import { percentile } from './read-view.ts'

/** What an eye keeps of a look from a distance. */
export interface ArmsLengthView {
  readonly width: number
  readonly height: number
  /** Size of a pixel on the plane through the looked-at point; pixels need not be square. */
  readonly pixelWidthMm: number
  readonly pixelHeightMm: number
  /** sRGB bytes r g b a, rows from the top, on the neutral surround: as it is, and as it is seen. */
  readonly sharp: Uint8ClampedArray<ArrayBuffer>
  readonly seen: Uint8ClampedArray<ArrayBuffer>
  /** 95th minus 5th percentile of L* over what is seen of the figure: as it is, and as it is seen. */
  readonly contrast: number
  readonly contrastSeen: number
}

/** Width of one minute of arc at a distance. */
export const arcMinuteMm = (distanceMm: number): number => 2 * distanceMm * Math.tan(Math.PI / (180 * 60) / 2)

/**
 * σ of the Gaussian that stands for the eye: its full width at half its height is one minute of arc, so that two points
 * closer than that run into one. One minute is normal acuity (ISO 8596: a Landolt ring of decimal acuity 1.0 has a gap
 * of 1′); that the blur is a Gaussian of this width is our choice.
 */
export const acuitySigmaMm = (distanceMm: number): number => arcMinuteMm(distanceMm) / (2 * Math.sqrt(2 * Math.LN2))

/** As around the figure on the stage: sRGB #777777, linear. */
const SURROUND = decodeSrgb(0x77 / 255)
/** Pixels a σ: enough for a kernel that is weighed by its mass over each pixel. */
const PIXELS_A_SIGMA = 1.25
const SIZES = [192, 1024] as const
/** σ beyond which a Gaussian has nothing left. */
const REACH = 4

/**
 * The figure from a view point's direction at its distance, blurred in linear light. What lies around the figure is not
 * mixed into the contrast: each pixel is the mean of the figure's own surface under the kernel.
 * @param linearRgb 3·V
 * @returns null where nothing is seen
 */
export function armsLengthView(figure: Figure, linearRgb: Float32Array, view: ViewPoint): ArmsLengthView | null {
  const sigma = acuitySigmaMm(view.distanceMm)
  const size = Math.min(SIZES[1], Math.max(SIZES[0], Math.ceil((PIXELS_A_SIGMA * figure.heightMm) / sigma)))
  const raster = rasterView(figure, view, size)
  const { pixelWidthMm, pixelHeightMm } = raster
  const across = gaussianWeights(sigma / pixelWidthMm)
  const down = gaussianWeights(sigma / pixelHeightMm)
  const [padX, padY] = [across.length - 1, down.length - 1]
  const width = size + 2 * padX
  const height = size + 2 * padY
  const planes = Array.from({ length: 4 }, () => new Float32Array(width * height))
  const { triangles } = figure
  const shown: number[] = []
  for (let pixel = 0; pixel < raster.triangle.length; pixel++) {
    if (raster.triangle[pixel] === NOTHING) continue
    const t = 3 * raster.triangle[pixel]
    const [a, b, c] = [3 * triangles[t], 3 * triangles[t + 1], 3 * triangles[t + 2]]
    const [wb, wc] = [raster.b1[pixel], raster.b2[pixel]]
    const at = (Math.floor(pixel / size) + padY) * width + (pixel % size) + padX
    for (let k = 0; k < 3; k++)
      planes[k][at] = (1 - wb - wc) * linearRgb[a + k] + wb * linearRgb[b + k] + wc * linearRgb[c + k]
    planes[3][at] = 1
    shown.push(at)
  }
  if (shown.length === 0) return null
  const blurred = planes.map(plane => blur(plane, width, height, across, down))
  return {
    width,
    height,
    pixelWidthMm,
    pixelHeightMm,
    sharp: onSurround(planes),
    seen: onSurround(blurred),
    contrast: contrastOf(planes, shown),
    contrastSeen: contrastOf(blurred, shown),
  }
}

/** Half of a symmetric kernel, middle first, each weight the Gaussian's mass over its pixel; all of it adds up to 1. */
export function gaussianWeights(sigmaPx: number): Float64Array {
  const half = Math.max(1, Math.ceil(REACH * sigmaPx))
  const below = (x: number) => 0.5 * (1 + erf(x / (sigmaPx * Math.SQRT2)))
  const weights = Float64Array.from({ length: half + 1 }, (_, i) => below(i + 0.5) - below(i - 0.5))
  const sum = weights.reduce((all, w, i) => all + (i === 0 ? w : 2 * w), 0)
  return weights.map(w => w / sum)
}

/** Abramowitz & Stegun 7.1.26, error below 1.5e-7. */
function erf(x: number): number {
  const t = 1 / (1 + 0.3275911 * Math.abs(x))
  const poly = t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))))
  return Math.sign(x) * (1 - poly * Math.exp(-x * x))
}

/** Rows, then columns; what lies beyond the rim is 0. */
export function blur(
  plane: Float32Array,
  width: number,
  height: number,
  across: Float64Array,
  down: Float64Array,
): Float32Array {
  return alongLines(alongLines(plane, across, width, height, 1, width), down, height, width, width, 1)
}

function alongLines(
  plane: Float32Array,
  weights: Float64Array,
  length: number,
  lines: number,
  step: number,
  lineStep: number,
): Float32Array {
  const out = new Float32Array(plane.length)
  for (let line = 0; line < lines; line++) {
    const start = line * lineStep
    for (let i = 0; i < length; i++) {
      let sum = weights[0] * plane[start + i * step]
      for (let k = 1; k < weights.length; k++) {
        if (i >= k) sum += weights[k] * plane[start + (i - k) * step]
        if (i + k < length) sum += weights[k] * plane[start + (i + k) * step]
      }
      out[start + i * step] = sum
    }
  }
  return out
}

function contrastOf([r, g, b, cover]: readonly Float32Array[], shown: readonly number[]): number {
  const values = Float32Array.from(shown, i => lStarOfLuminance(luminanceOf(r[i], g[i], b[i]) / cover[i])).sort()
  return percentile(values, 0.95) - percentile(values, 0.05)
}

function onSurround([r, g, b, cover]: readonly Float32Array[]): Uint8ClampedArray<ArrayBuffer> {
  const bytes = new Uint8ClampedArray(4 * cover.length)
  for (let i = 0; i < cover.length; i++) {
    const rest = (1 - cover[i]) * SURROUND
    bytes[4 * i] = srgbByte(r[i] + rest)
    bytes[4 * i + 1] = srgbByte(g[i] + rest)
    bytes[4 * i + 2] = srgbByte(b[i] + rest)
    bytes[4 * i + 3] = 255
  }
  return bytes
}
