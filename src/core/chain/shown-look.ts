import type { Lamp } from '../colour/illuminants.ts'
import { lampWeights } from '../colour/lamp-weights.ts'
import type { Figure } from '../mesh/figure.ts'
import type { Recipe } from '../recipe/recipe.ts'
import { grainOf } from './grain.ts'
import type { FigureLook } from './look.ts'
import { metalShares } from './metal-shares.ts'
import { preshadeEndIndex } from './preshade-end.ts'
import { type Ground, paintedLayers, stackColours } from './stack-colours.ts'
import { surfaceShares } from './surface-shares.ts'

/** A painted look as the picture shows it. */
export interface ShownLook {
  /** 3·V linear sRGB of a matt surface under the lamp, to an eye that has got used to it; may leave 0…1. */
  readonly linearRgb: Float32Array
  /** What else the surface has; null: nothing. */
  readonly surface: Uint8Array | null
}

/**
 * Bytes a vertex of `ShownLook.surface`: shine (0 matt, 255 gloss: the surface's reflection goes to the mirror angle), metal
 * (how much of the look is that of flakes), grain (spread of luminance over its mean, 255 is 1), one to spare.
 */
export const SURFACE_BYTES = 4

/**
 * Readings keep to `look.linearRgb`: daylight, matt.
 * @param withGrain costs about as much as the colours
 */
export function shownLook(
  figure: Pick<Figure, 'parts'>,
  recipe: Recipe,
  look: FigureLook,
  lamp: Lamp,
  withGrain: boolean,
): ShownLook {
  const { deposits, flatY } = look
  const afterCoat = preshadeEndIndex(recipe)
  const from = flatY === null ? 0 : (afterCoat ?? -1) + 1
  const matt = surfaceShares(figure, recipe, deposits, from)
  const metal = metalShares(recipe, deposits, from)
  const vertices = look.directExposure.length
  const ground: Ground = flatY === null ? { kind: 'primer' } : { kind: 'flat', luminanceY: flatY, afterCoat }
  const grain = withGrain ? grainOf(paintedLayers(recipe, deposits, ground), vertices) : null
  const linearRgb =
    lamp === 'D65'
      ? look.linearRgb
      : stackColours(recipe, deposits, vertices, ground, null, lampWeights(lamp)).linearRgb
  return { linearRgb, surface: surfaceOf([matt?.map(share => 1 - share) ?? null, metal, grain]) }
}

/** One byte of each a vertex, 255 is 1; null where there is none of them. */
function surfaceOf(columns: readonly (Float32Array | null)[]): Uint8Array | null {
  const vertices = columns.find(column => column !== null)?.length
  if (vertices === undefined) return null
  const surface = new Uint8Array(SURFACE_BYTES * vertices)
  columns.forEach((column, k) => {
    if (!column) return
    for (let v = 0; v < vertices; v++) surface[SURFACE_BYTES * v + k] = Math.round(255 * Math.min(1, column[v]))
  })
  return surface
}
