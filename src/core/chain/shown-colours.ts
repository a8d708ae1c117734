import type { Lamp } from '../colour/illuminants.ts'
import { lampWeights } from '../colour/lamp-weights.ts'
import type { Recipe } from '../recipe/recipe.ts'
import type { FigureLook } from './look.ts'
import { preshadeEndIndex } from './preshade-end.ts'
import { stackColours } from './stack-colours.ts'

/**
 * A painted look as the picture shows it: under the chosen lamp, to an eye that has got used to it. Readings keep to
 * `look.linearRgb`.
 * @returns 3·V linear sRGB; may be the look's own array
 */
export function shownColours(recipe: Recipe, look: FigureLook, lamp: Lamp): Float32Array {
  if (lamp === 'D65') return look.linearRgb
  const vertices = look.directExposure.length
  const ground =
    look.flatY === null
      ? ({ kind: 'primer' } as const)
      : ({ kind: 'flat', luminanceY: look.flatY, afterCoat: preshadeEndIndex(recipe) } as const)
  return stackColours(recipe, look.deposits, vertices, ground, null, lampWeights(lamp)).linearRgb
}
