import { preshadeEndIndex } from '../core/chain/preshade-end.ts'
import type { ViewReading } from '../core/reading/reading.ts'
import type { Recipe } from '../core/recipe/recipe.ts'
import { type Compare, flatBaseOf } from '../document/document.ts'

/** Whether a visible coat lies over the pre-shade: without one, 'contrast left' would be an empty 100 %. */
export function hasCoatOverPreshade(recipe: Recipe): boolean {
  const end = preshadeEndIndex(recipe)
  return end !== null && recipe.coats.some((coat, index) => index > end && !coat.hidden)
}

/** The reading as it is shown for a recipe. */
export const shownReading = (reading: ViewReading, recipe: Recipe): ViewReading =>
  hasCoatOverPreshade(recipe) ? reading : { ...reading, contrastLeft: null, preshadeHistogram: null }

/** The reading of what is compared with: over one grey there is no pre-shade that something could be left of. */
export function shownBeside(reading: ViewReading, recipe: Recipe, compare: Compare): ViewReading {
  if (flatBaseOf(compare)) return { ...reading, contrastLeft: null }
  return shownReading(reading, compare.kind === 'recipe' ? compare.recipe : recipe)
}
