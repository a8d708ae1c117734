import { deltaE2000 } from '../colour/delta-e-2000.ts'
import { labOfLinearRgb } from '../colour/lab.ts'
import type { Figure } from '../mesh/figure.ts'
import { NOTHING, type ViewRaster } from './raster-view.ts'

/** How two looks of the same figure differ over what is seen of it. */
export interface Difference {
  /** ΔE00, mean over what is seen. */
  readonly meanDeltaE: number
  /** Share of what is seen in each of DIFFERENCE_BANDS; they add up to 1. */
  readonly shares: readonly number[]
}

/**
 * Bands of ΔE00, and what an eye makes of them side by side. 2.3 is the step just noticed in CIELAB (Mahy, Van Eycken,
 * Oosterlinck 1994, from memory); the others are common practice, no source. `lStar` is the grey of the band on the map:
 * none is like the surround (L* 50), so that the outline stays seen.
 */
export const DIFFERENCE_BANDS = [
  { below: 1, bounds: 'under 1', words: 'nothing to see', lStar: 10 },
  { below: 2.3, bounds: '1 to 2.3', words: 'only side by side', lStar: 30 },
  { below: 5, bounds: '2.3 to 5', words: 'small but there', lStar: 62 },
  { below: 10, bounds: '5 to 10', words: 'plain', lStar: 80 },
  { below: Infinity, bounds: 'over 10', words: 'another colour', lStar: 97 },
] as const

export const differenceBand = (deltaE: number): number => DIFFERENCE_BANDS.findIndex(band => deltaE < band.below)

/** A difference costs far more than a value, and a mean needs fewer places: every so many of the pixels seen. */
const STRIDE = 5

/**
 * Between vertices colours are those of the picture: linear in linear light.
 * @param rgbA, rgbB 3·V, linear sRGB primaries
 * @returns null where nothing is seen
 */
export function differenceOf(
  raster: ViewRaster,
  { triangles }: Figure,
  rgbA: Float32Array,
  rgbB: Float32Array,
): Difference | null {
  const { triangle, b1, b2 } = raster
  const counts = DIFFERENCE_BANDS.map(() => 0)
  let sum = 0
  let seen = 0
  let counted = 0
  for (let pixel = 0; pixel < triangle.length; pixel++) {
    if (triangle[pixel] === NOTHING || seen++ % STRIDE !== 0) continue
    counted++
    const t = 3 * triangle[pixel]
    const a = 3 * triangles[t]
    const b = 3 * triangles[t + 1]
    const c = 3 * triangles[t + 2]
    const wa = 1 - b1[pixel] - b2[pixel]
    const labIn = (rgb: Float32Array) => {
      const channel = (k: number) => wa * rgb[a + k] + b1[pixel] * rgb[b + k] + b2[pixel] * rgb[c + k]
      return labOfLinearRgb(channel(0), channel(1), channel(2))
    }
    const deltaE = deltaE2000(labIn(rgbA), labIn(rgbB))
    sum += deltaE
    counts[differenceBand(deltaE)]++
  }
  return counted > 0 ? { meanDeltaE: sum / counted, shares: counts.map(n => n / counted) } : null
}

/** ΔE00 at every vertex. @param rgbA, rgbB 3·V, linear sRGB primaries */
export function deltaEField(rgbA: Float32Array, rgbB: Float32Array): Float32Array {
  const labAt = (rgb: Float32Array, v: number) => labOfLinearRgb(rgb[3 * v], rgb[3 * v + 1], rgb[3 * v + 2])
  return Float32Array.from({ length: rgbA.length / 3 }, (_, v) => deltaE2000(labAt(rgbA, v), labAt(rgbB, v)))
}
