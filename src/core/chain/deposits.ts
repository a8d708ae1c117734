import { paintOf } from '../film/coat-film.ts'
import { type Figure, vertexCount } from '../mesh/figure.ts'
import type { Coat, MistCoat, Recipe, Torch } from '../recipe/recipe.ts'
import { addDeposit, filmOfPass, type PassFilm } from '../spray/film-per-pass.ts'

/** Where baked fields come from; null while one is still missing (it then counts as nothing). */
export interface Fields {
  /** Exposure of a torch of this coat, V floats. */
  exposureOf(coat: MistCoat, torch: Torch): Float32Array | null
  /** Openness under the coat's part states, V floats. */
  opennessOf(coat: MistCoat): Float32Array | null
}

/**
 * Dry film of every coat at every vertex: V floats a coat, µm, in the recipe's order. Hidden coats are all zero; so are
 * parts that are absent while a coat goes on, and varnish, which leaves no pigment.
 */
export function depositsUm(figure: Figure, recipe: Recipe, fields: Fields): Float32Array[] {
  return recipe.coats.map(coat => depositUm(figure, recipe, coat, fields))
}

function depositUm(figure: Figure, recipe: Recipe, coat: Coat, fields: Fields): Float32Array {
  const deposit = new Float32Array(vertexCount(figure))
  if (coat.hidden || coat.kind === 'varnish') return deposit
  if (coat.kind === 'even') {
    for (const part of figure.parts) {
      if (coat.parts[part.id] === 'absent') continue
      deposit.fill(coat.thicknessUm, part.firstVertex, part.firstVertex + part.vertexCount)
    }
    return deposit
  }
  for (const { torch, film } of sprayedFilms(recipe, coat)) {
    const exposure = fields.exposureOf(coat, torch)
    if (!exposure) continue
    addDeposit(deposit, exposure, film.diffuseUm > 0 ? fields.opennessOf(coat) : null, film, torch.passes)
  }
  return deposit
}

/** What one pass of each torch of a coat leaves; muted torches are left out. */
export function sprayedFilms(recipe: Recipe, coat: MistCoat): { readonly torch: Torch; readonly film: PassFilm }[] {
  const { volumeSolids } = paintOf(recipe, coat.paint)
  return coat.torches
    .filter(torch => !torch.muted)
    .map(torch => ({ torch, film: filmOfPass(torch, coat.airbrush, coat.mix, volumeSolids, recipe.dropMl) }))
}

/**
 * Direct exposure, summed over the torches that sprayed the pre-shade: what light, mid and dark are judged by. V floats.
 * @param lastCoat index of the coat that ends the pre-shade; null sums over every sprayed coat
 */
export function directExposure(figure: Figure, recipe: Recipe, fields: Fields, lastCoat: number | null): Float32Array {
  const sum = new Float32Array(vertexCount(figure))
  const coats = lastCoat === null ? recipe.coats : recipe.coats.slice(0, lastCoat + 1)
  for (const coat of coats) {
    if (coat.kind !== 'mist' || coat.hidden) continue
    for (const torch of coat.torches) {
      const exposure = torch.muted || torch.passes === 0 ? null : fields.exposureOf(coat, torch)
      if (exposure) for (let v = 0; v < sum.length; v++) sum[v] += exposure[v]
    }
  }
  return sum
}
