import { luminanceOf } from './lab.ts'
import { decodeSrgb, type LinearRgb } from './srgb.ts'

/** A small disc of a photo. */
export interface PhotoPatch {
  /** Mean light, linear sRGB 0…1. */
  readonly mean: LinearRgb
  /** Share of its pixels with a channel at the top or bottom of what 8 bits hold, 0…1. */
  readonly clipped: number
  /** Standard deviation of luminance over its mean: glare, grain or an edge. */
  readonly unevenness: number
}

const BRIGHTEST = 254
const DARKEST = 1

/**
 * Averages the disc that fills a square of pixels, in linear light.
 * @param rgba size × size pixels, 8-bit sRGB, rows from the top
 */
export function photoPatch(rgba: Uint8ClampedArray, size: number): PhotoPatch {
  const sum = [0, 0, 0]
  let [count, clipped, light, lightSquared] = [0, 0, 0, 0]
  for (let y = 0; y < size; y++) {
    for (let x = 0; x < size; x++) {
      if (Math.hypot(x + 0.5 - size / 2, y + 0.5 - size / 2) > size / 2) continue
      const codes = rgba.subarray(4 * (y * size + x), 4 * (y * size + x) + 3)
      const [r, g, b] = Array.from(codes, code => decodeSrgb(code / 255))
      sum[0] += r
      sum[1] += g
      sum[2] += b
      count++
      if (Math.max(...codes) >= BRIGHTEST || Math.max(...codes) <= DARKEST) clipped++
      const luminance = luminanceOf(r, g, b)
      light += luminance
      lightSquared += luminance * luminance
    }
  }
  const mean: LinearRgb = [sum[0] / count, sum[1] / count, sum[2] / count]
  const variance = Math.max(0, lightSquared / count - (light / count) ** 2)
  return { mean, clipped: clipped / count, unevenness: Math.sqrt(variance) / Math.max(1e-4, light / count) }
}

/**
 * What a patch would read where the grey card reads its own grey: each channel scaled by itself, in linear light
 * (von Kries 1902, on the camera's own channels). It takes out the lamp's colour and the exposure at once.
 * @param greyY reflectance of the grey card, 0…1
 */
export const balancedOnGrey = (patch: LinearRgb, grey: LinearRgb, greyY: number): LinearRgb => [
  (patch[0] * greyY) / grey[0],
  (patch[1] * greyY) / grey[1],
  (patch[2] * greyY) / grey[2],
]
