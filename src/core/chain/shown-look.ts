import type { Lamp } from '../colour/illuminants.ts'
import { lampWeights } from '../colour/lamp-weights.ts'
import type { Figure } from '../mesh/figure.ts'
import type { Recipe } from '../recipe/recipe.ts'
import type { FigureLook } from './look.ts'
import { preshadeEndIndex } from './preshade-end.ts'
import { stackColours } from './stack-colours.ts'
import { surfaceShares } from './surface-shares.ts'

/** A painted look as the picture shows it. */
export interface ShownLook {
  /** 3·V linear sRGB of a matt surface under the lamp, to an eye that has got used to it; may leave 0…1. */
  readonly linearRgb: Float32Array
  /** What else the surface has; null: nothing. */
  readonly surface: Uint8Array | null
}

/** Bytes a vertex of `ShownLook.surface`: shine (0 matt, 255 gloss: the surface's reflection goes to the mirror angle). */
export const SURFACE_BYTES = 4

/** Readings keep to `look.linearRgb`: daylight, matt. */
export function shownLook(figure: Pick<Figure, 'parts'>, recipe: Recipe, look: FigureLook, lamp: Lamp): ShownLook {
  const { deposits, flatY } = look
  const afterCoat = preshadeEndIndex(recipe)
  const from = flatY === null ? 0 : (afterCoat ?? -1) + 1
  const shares = surfaceShares(figure, recipe, deposits, from)
  return { linearRgb: underLamp(), surface: shares && surfaceOf(shares) }

  function underLamp(): Float32Array {
    if (lamp === 'D65') return look.linearRgb
    const ground =
      flatY === null ? ({ kind: 'primer' } as const) : ({ kind: 'flat', luminanceY: flatY, afterCoat } as const)
    const vertices = look.directExposure.length
    return stackColours(recipe, deposits, vertices, ground, null, lampWeights(lamp)).linearRgb
  }
}

function surfaceOf(shares: Float32Array): Uint8Array {
  const surface = new Uint8Array(SURFACE_BYTES * shares.length)
  shares.forEach((share, v) => {
    surface[SURFACE_BYTES * v] = Math.round(255 * (1 - share))
  })
  return surface
}
