import type { Finish } from '../recipe/recipe.ts'

/**
 * What can be measured of a look from one viewing angle. Visible surface weighted by projected area; colours D65,
 * unlit, matt surface term included; value = CIE L*.
 */
export interface ViewReading {
  /** 5th and 95th percentile of L*, and their difference: the contrast. */
  readonly valueFrom: number
  readonly valueTo: number
  readonly contrast: number
  /** Contrast over the contrast of this recipe's pre-shade; null where no pre-shade lies under it (or it has none). */
  readonly contrastLeft: number | null
  /** Shares of the visible surface by summed direct exposure of the pre-shade's torches; they add up to 1. */
  readonly light: number
  readonly mid: number
  readonly dark: number
  /** Share of the whole surface, by area, seen or not, that any direct spray reaches: exposure above REACHED. */
  readonly reachedArea: number
  /** Share of visible surface per L* bin, HISTOGRAM_BINS bins over 0…100, adding up to 1. */
  readonly histogram: readonly number[]
  readonly preshadeHistogram: readonly number[] | null
  /** Mean luminance Y (0…1) of the pre-shade over the visible surface, or null without one. */
  readonly preshadeMeanY: number | null
}

export const HISTOGRAM_BINS = 50

/** Exposures at which lines are drawn on the surface. */
export const ISOLINE_LEVELS = [0.1, 0.25, 0.5, 0.75, 1] as const

/** The stack at one point of the surface, bottom first. */
export interface FilmLayer {
  readonly coatId: string | null
  readonly name: string
  /** Dry film, µm. */
  readonly thicknessUm: number
  /** Colour after this layer under the lamp that is chosen, sRGB '#rrggbb'. */
  readonly hex: string
  /** Of the matt surface, D65: as it is read. */
  readonly lStar: number
  /** The finish where the layer is a varnish, which has no thickness here; else null. */
  readonly varnish: Finish | null
}
