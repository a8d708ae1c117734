import { type ShownLook, SURFACE_BYTES } from '../chain/shown-look.ts'
import { isOutside, type ScreenGamut } from '../colour/display-p3.ts'
import { SURFACE } from '../film/saunderson.ts'
import type { Figure } from '../mesh/figure.ts'
import { NOTHING, type ViewRaster } from './raster-view.ts'

/** Share of what is seen, 0…1, whose colour a screen of each kind must clip. */
export type OutsideScreen = Readonly<Record<ScreenGamut, number>>

/** @returns null where nothing is seen */
export function outsideScreen(
  { triangle, b1, b2 }: ViewRaster,
  { triangles }: Figure,
  { linearRgb, surface }: ShownLook,
): OutsideScreen | null {
  const counts = { srgb: 0, 'display-p3': 0 }
  let seen = 0
  for (let pixel = 0; pixel < triangle.length; pixel++) {
    if (triangle[pixel] === NOTHING) continue
    seen++
    const [a, b, c] = [0, 1, 2].map(k => triangles[3 * triangle[pixel] + k])
    const between = (values: ArrayLike<number>, stride: number, k: number) => {
      const first = values[stride * a + k]
      return first + b1[pixel] * (values[stride * b + k] - first) + b2[pixel] * (values[stride * c + k] - first)
    }
    const mirrored = surface ? (SURFACE.k1 * between(surface, SURFACE_BYTES, 0)) / 255 : 0
    const [red, green, blue] = [0, 1, 2].map(k => between(linearRgb, 3, k) - mirrored)
    // What P3 must clip sRGB must clip as well: its primaries lie outside.
    if (!isOutside('srgb', red, green, blue)) continue
    counts.srgb++
    if (isOutside('display-p3', red, green, blue)) counts['display-p3']++
  }
  return seen > 0 ? { srgb: counts.srgb / seen, 'display-p3': counts['display-p3'] / seen } : null
}
