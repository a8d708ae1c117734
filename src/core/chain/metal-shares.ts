import { coatFilm, paintOf } from '../film/coat-film.ts'
import { halfKeptUm } from '../film/half-kept.ts'
import type { Recipe } from '../recipe/recipe.ts'
import { uncovered } from './surface-shares.ts'

/**
 * How much of the look at every vertex is that of metal flakes, 0…1: the share that metallic paint covers, and of that what
 * paint over it lets through (half at the thickness that leaves half of a pre-shade). An approximation: see
 * docs/models/film.md.
 *
 * @param deposits V floats a coat, dry µm
 * @param from the first coat that is there
 * @returns V floats, or null where there is no metallic paint
 */
export function metalShares(recipe: Recipe, deposits: readonly Float32Array[], from = 0): Float32Array | null {
  let shares: Float32Array | null = null
  recipe.coats.forEach((coat, i) => {
    if (coat.hidden || coat.kind === 'varnish' || i < from) return
    const film = coatFilm(coat, recipe)
    const deposit = deposits[i]
    if (paintOf(recipe, coat.paint).body.kind === 'metallic') {
      shares ??= new Float32Array(deposit.length)
      for (let v = 0; v < shares.length; v++) shares[v] = 1 - (1 - shares[v]) * uncovered(film, deposit[v])
    } else if (shares) {
      const half = halfKeptUm(film.optics)
      for (let v = 0; v < shares.length; v++) shares[v] *= 2 ** (-deposit[v] / half)
    }
  })
  return shares
}
