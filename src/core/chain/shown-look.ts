import type { Lamp } from '../colour/illuminants.ts'
import { lampWeights } from '../colour/lamp-weights.ts'
import type { Figure } from '../mesh/figure.ts'
import type { Recipe } from '../recipe/recipe.ts'
import type { FigureLook } from './look.ts'
import { metalShares } from './metal-shares.ts'
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

/**
 * Bytes a vertex of `ShownLook.surface`: shine (0 matt, 255 gloss: the surface's reflection goes to the mirror angle), metal
 * (how much of the look is that of flakes), two to spare.
 */
export const SURFACE_BYTES = 4

/** Readings keep to `look.linearRgb`: daylight, matt. */
export function shownLook(figure: Pick<Figure, 'parts'>, recipe: Recipe, look: FigureLook, lamp: Lamp): ShownLook {
  const { deposits, flatY } = look
  const afterCoat = preshadeEndIndex(recipe)
  const from = flatY === null ? 0 : (afterCoat ?? -1) + 1
  const matt = surfaceShares(figure, recipe, deposits, from)
  const metal = metalShares(recipe, deposits, from)
  return { linearRgb: underLamp(), surface: surfaceOf(matt, metal) }

  function underLamp(): Float32Array {
    if (lamp === 'D65') return look.linearRgb
    const ground =
      flatY === null ? ({ kind: 'primer' } as const) : ({ kind: 'flat', luminanceY: flatY, afterCoat } as const)
    const vertices = look.directExposure.length
    return stackColours(recipe, deposits, vertices, ground, null, lampWeights(lamp)).linearRgb
  }
}

function surfaceOf(matt: Float32Array | null, metal: Float32Array | null): Uint8Array | null {
  const vertices = (matt ?? metal)?.length
  if (vertices === undefined) return null
  const surface = new Uint8Array(SURFACE_BYTES * vertices)
  const byte = (share: number) => Math.round(255 * share)
  for (let v = 0; v < vertices; v++) {
    if (matt) surface[SURFACE_BYTES * v] = byte(1 - matt[v])
    if (metal) surface[SURFACE_BYTES * v + 1] = byte(metal[v])
  }
  return surface
}
