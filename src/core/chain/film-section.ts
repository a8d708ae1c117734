import { BANDS } from '../colour/bands.ts'
import type { Lamp } from '../colour/illuminants.ts'
import { labOfLinearRgb } from '../colour/lab.ts'
import { lampWeights } from '../colour/lamp-weights.ts'
import { hexOf } from '../colour/srgb.ts'
import { coatFilm, coatOver, paintOf, primerReflectance, seenRgb } from '../film/coat-film.ts'
import { internalReflectance } from '../film/saunderson.ts'
import type { FilmLayer } from '../reading/reading.ts'
import type { Recipe } from '../recipe/recipe.ts'
import { preshadeEndIndex } from './preshade-end.ts'

/**
 * The stack at one point, bottom first: thickness of every coat there and the colour after it, by the exact path.
 * Coats that leave nothing there are left out; the ground is always first.
 * @param thicknessUm one number a coat, dry µm, in the recipe's order
 * @param flatY grey (seen Y) in the place of primer and pre-shade; null: the recipe's own
 * @param lamp what colours are shown under; L* is read under D65 all the same
 */
export function filmSection(
  recipe: Recipe,
  thicknessUm: readonly number[],
  flatY: number | null = null,
  lamp: Lamp = 'D65',
): FilmLayer[] {
  const end = preshadeEndIndex(recipe)
  const from = flatY === null ? 0 : (end ?? -1) + 1
  let ground =
    flatY === null ? primerReflectance(recipe) : new Float64Array(BANDS).fill(Math.max(0, internalReflectance(flatY)))
  const layers: FilmLayer[] = [
    flatY === null
      ? layer(null, paintOf(recipe, recipe.primer.paint).name, recipe.primer.thicknessUm)
      : layer(null, 'One flat grey', recipe.primer.thicknessUm),
  ]
  recipe.coats.forEach((coat, i) => {
    if (i < from || coat.hidden || !(thicknessUm[i] > 0)) return
    ground = coatOver(coatFilm(coat, recipe), thicknessUm[i], ground)
    layers.push(layer(coat.id, coat.name, thicknessUm[i]))
  })
  return layers

  function layer(coatId: string | null, name: string, thickness: number): FilmLayer {
    const hex = hexOf(...seenRgb(ground, lampWeights(lamp)))
    return { coatId, name, thicknessUm: thickness, hex, lStar: labOfLinearRgb(...seenRgb(ground))[0] }
  }
}
