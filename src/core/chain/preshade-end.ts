import { isAchromatic, paintOf } from '../film/coat-film.ts'
import type { Recipe } from '../recipe/recipe.ts'

/**
 * Index of the coat that ends the pre-shade: the marked one, else the last achromatic coat before a coloured one,
 * the first time that happens (a coloured undercoat may lie below, a grey chip above); with nothing coloured on it, the
 * last achromatic coat. null where there is none. Hidden coats and varnish are passed over.
 */
export function preshadeEndIndex(recipe: Pick<Recipe, 'coats' | 'paints' | 'preshadeEnd'>): number | null {
  const marked = recipe.coats.findIndex(coat => coat.id === recipe.preshadeEnd && !coat.hidden)
  if (marked >= 0) return marked
  let end: number | null = null
  for (const [index, coat] of recipe.coats.entries()) {
    if (coat.hidden || coat.kind === 'varnish') continue
    if (isAchromatic(paintOf(recipe, coat.paint))) end = index
    else if (end !== null) break
  }
  return end
}
