import { preshadeEndIndex } from '../core/chain/preshade-end.ts'
import type { ViewReading } from '../core/reading/reading.ts'
import type { Recipe } from '../core/recipe/recipe.ts'

/** Whether a visible coat lies over the pre-shade: without one, 'contrast left' would be an empty 100 %. */
export function hasCoatOverPreshade(recipe: Recipe): boolean {
  const end = preshadeEndIndex(recipe)
  return end !== null && recipe.coats.some((coat, index) => index > end && !coat.hidden)
}

/** The reading as it is shown for a recipe. */
export const shownReading = (reading: ViewReading, recipe: Recipe): ViewReading =>
  hasCoatOverPreshade(recipe) ? reading : { ...reading, contrastLeft: null, preshadeHistogram: null }
