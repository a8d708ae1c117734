import { preshadeEndIndex } from '../chain/preshade-end.ts'
import type { MistCoat, Recipe } from '../recipe/recipe.ts'

/** Names what advice about viewing angles was found for: the figure and the pre-shade on it, nothing above. */
export function angleAdviceKey(figureId: string, recipe: Recipe): string {
  const end = preshadeEndIndex(recipe)
  const coats = end === null ? [] : recipe.coats.slice(0, end + 1)
  const used = new Set([recipe.primer.paint, ...coats.flatMap(coat => (coat.kind === 'varnish' ? [] : coat.paint))])
  return JSON.stringify([figureId, recipe.primer, coats, recipe.paints.filter(paint => used.has(paint.id))])
}

/** The coat whose torches light the figure: the last sprayed one of the pre-shade; null without one. */
export function preshadeMist({ coats, ...rest }: Recipe): MistCoat | null {
  const end = preshadeEndIndex({ coats, ...rest })
  const coat = end === null ? undefined : coats.slice(0, end + 1).findLast(c => c.kind === 'mist' && !c.hidden)
  return coat?.kind === 'mist' ? coat : null
}
