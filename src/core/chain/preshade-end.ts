import { isAchromatic, paintOf } from '../film/coat-film.ts'
import type { Recipe } from '../recipe/recipe.ts'

/**
 * Index of the coat that ends the pre-shade: the marked one, else the last achromatic coat before the first coloured
 * one; null where there is none. Hidden coats are passed over.
 */
export function preshadeEndIndex(recipe: Pick<Recipe, 'coats' | 'paints' | 'preshadeEnd'>): number | null {
  const marked = recipe.coats.findIndex(coat => coat.id === recipe.preshadeEnd && !coat.hidden)
  if (marked >= 0) return marked
  let end: number | null = null
  for (const [index, coat] of recipe.coats.entries()) {
    if (coat.hidden) continue
    if (!isAchromatic(paintOf(recipe, coat.paint))) break
    end = index
  }
  return end
}
