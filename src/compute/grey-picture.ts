import { luminanceOfLStar } from '../core/colour/lab.ts'
import { encodeSrgb } from '../core/colour/srgb.ts'
import type { Figure } from '../core/mesh/figure.ts'
import { NOTHING, type ViewRaster } from '../core/reading/raster-view.ts'
import type { GreyPicture } from './protocol.ts'

/**
 * A field of 0…1 as a grey that is even in L*, seen as the raster has it, with square pixels and softened edges.
 * @param pixels of the longer side, at most half of the raster's
 */
export function greyPicture(
  { triangles }: Figure,
  raster: ViewRaster,
  field: Float32Array,
  pixels: number,
): GreyPicture {
  const aspect = (raster.pixelWidthMm * raster.width) / (raster.pixelHeightMm * raster.height)
  const width = Math.max(1, Math.round(aspect > 1 ? pixels : pixels * aspect))
  const height = Math.max(1, Math.round(aspect > 1 ? pixels / aspect : pixels))
  const sums = new Float32Array(width * height)
  const covered = new Uint16Array(width * height)
  const all = new Uint16Array(width * height)
  const { triangle, b1, b2 } = raster
  for (let pixel = 0; pixel < triangle.length; pixel++) {
    const x = Math.floor(((pixel % raster.width) * width) / raster.width)
    const y = Math.floor((Math.floor(pixel / raster.width) * height) / raster.height)
    const into = y * width + x
    all[into]++
    if (triangle[pixel] === NOTHING) continue
    const t = 3 * triangle[pixel]
    const a = field[triangles[t]]
    const value = a + b1[pixel] * (field[triangles[t + 1]] - a) + b2[pixel] * (field[triangles[t + 2]] - a)
    covered[into]++
    sums[into] += encodeSrgb(luminanceOfLStar(100 * Math.max(0, Math.min(1, value))))
  }
  const grey = new Uint8ClampedArray(width * height)
  const opacity = new Uint8ClampedArray(width * height)
  for (let i = 0; i < grey.length; i++) {
    if (covered[i] === 0) continue
    grey[i] = (255 * sums[i]) / covered[i]
    opacity[i] = (255 * covered[i]) / all[i]
  }
  return { width, height, grey, opacity }
}
