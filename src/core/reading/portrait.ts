import { srgbByte } from '../colour/srgb.ts'
import type { Figure } from '../mesh/figure.ts'
import { NOTHING, rasterView, type ViewPoint } from './raster-view.ts'

/** A small picture of the figure's own colours, drawn without a graphics card. */
export interface Portrait {
  readonly width: number
  readonly height: number
  /** Size of a pixel on the plane through the looked-at point; pixels need not be square. */
  readonly pixelWidthMm: number
  readonly pixelHeightMm: number
  /** sRGB bytes r g b a, rows from the top; transparent around the figure. */
  readonly rgba: Uint8ClampedArray<ArrayBuffer>
}

/** Samples a pixel along each side: edges are averaged in linear light. */
const FINER = 3

/**
 * @param linearRgb 3·V
 * @param size pixels along both sides
 */
export function portrait(figure: Figure, linearRgb: Float32Array, view: ViewPoint, size: number): Portrait {
  const raster = rasterView(figure, view, size * FINER)
  const { triangles } = figure
  const sum = new Float32Array(4 * size * size)
  for (let sample = 0; sample < raster.triangle.length; sample++) {
    if (raster.triangle[sample] === NOTHING) continue
    const t = 3 * raster.triangle[sample]
    const [a, b, c] = [3 * triangles[t], 3 * triangles[t + 1], 3 * triangles[t + 2]]
    const [wb, wc] = [raster.b1[sample], raster.b2[sample]]
    const column = Math.floor((sample % raster.width) / FINER)
    const to = 4 * (Math.floor(sample / raster.width / FINER) * size + column)
    for (let k = 0; k < 3; k++)
      sum[to + k] += (1 - wb - wc) * linearRgb[a + k] + wb * linearRgb[b + k] + wc * linearRgb[c + k]
    sum[to + 3]++
  }
  const rgba = new Uint8ClampedArray(sum.length)
  for (let i = 0; i < sum.length; i += 4) {
    if (sum[i + 3] === 0) continue
    for (let k = 0; k < 3; k++) rgba[i + k] = srgbByte(sum[i + k] / sum[i + 3])
    rgba[i + 3] = Math.round((255 * sum[i + 3]) / FINER ** 2)
  }
  return {
    width: size,
    height: size,
    pixelWidthMm: raster.pixelWidthMm * FINER,
    pixelHeightMm: raster.pixelHeightMm * FINER,
    rgba,
  }
}
