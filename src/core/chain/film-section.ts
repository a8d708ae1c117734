import { BANDS } from '../colour/bands.ts'
import type { Lamp } from '../colour/illuminants.ts'
import { labOfLinearRgb } from '../colour/lab.ts'
import { lampWeights } from '../colour/lamp-weights.ts'
import { hexOf } from '../colour/srgb.ts'
import { coatFilm, coatOver, paintOf, primerReflectance, seenRgb, withSurface } from '../film/coat-film.ts'
import { FINISH_SHARE, internalReflectance } from '../film/saunderson.ts'
import type { FilmLayer } from '../reading/reading.ts'
import type { PartId, Recipe } from '../recipe/recipe.ts'
import { preshadeEndIndex } from './preshade-end.ts'
import { overpainted } from './surface-shares.ts'

/** Where and how the stack is looked at. */
export interface SectionView {
  /** Grey (seen Y) in the place of primer and pre-shade; null: the recipe's own. */
  readonly flatY?: number | null
  /** What colours are shown under; L* is read under D65 all the same. */
  readonly lamp?: Lamp
  /** A varnish may leave parts out. */
  readonly partId?: PartId
}

/**
 * The stack at one point, bottom first: thickness of every coat there and the colour after it, by the exact path.
 * Coats that leave nothing there are left out; the ground is always first.
 * @param thicknessUm one number a coat, dry µm, in the recipe's order
 */
export function filmSection(
  recipe: Recipe,
  thicknessUm: readonly number[],
  { flatY = null, lamp = 'D65', partId = '' }: SectionView = {},
): FilmLayer[] {
  const end = preshadeEndIndex(recipe)
  const from = flatY === null ? 0 : (end ?? -1) + 1
  let internal =
    flatY === null ? primerReflectance(recipe) : new Float64Array(BANDS).fill(Math.max(0, internalReflectance(flatY)))
  let share = FINISH_SHARE.matt
  const layers: FilmLayer[] = [
    flatY === null
      ? layer(null, paintOf(recipe, recipe.primer.paint).name, recipe.primer.thicknessUm)
      : layer(null, 'One flat grey', recipe.primer.thicknessUm),
  ]
  recipe.coats.forEach((coat, i) => {
    if (i < from || coat.hidden) return
    if (coat.kind === 'varnish') {
      if (coat.parts[partId] === 'absent') return
      share = FINISH_SHARE[coat.finish]
      layers.push({ ...layer(coat.id, coat.name, 0), varnish: coat.finish })
    } else if (thicknessUm[i] > 0) {
      const film = coatFilm(coat, recipe)
      internal = coatOver(film, thicknessUm[i], internal)
      share = overpainted(share, film, thicknessUm[i])
      layers.push(layer(coat.id, coat.name, thicknessUm[i]))
    }
  })
  return layers

  function layer(coatId: string | null, name: string, thickness: number): FilmLayer {
    const shown = withSurface(seenRgb(internal, lampWeights(lamp)), share)
    const lStar = labOfLinearRgb(...seenRgb(internal))[0]
    return { coatId, name, thicknessUm: thickness, hex: hexOf(...shown), lStar, varnish: null }
  }
}
