import type { Recipe } from '../core/recipe/recipe.ts'

/** Makes an id that is new to the document: 'coat_4'. Ids are [a-z0-9_]+, so that they may name file columns. */
export type NextId = (prefix: string) => string

/** Continues each prefix's numbers after the highest one in use: the same edits on the same recipe give the same ids. */
export function nextIdAfter(recipe: Recipe): NextId {
  const highest = new Map<string, number>()
  const saw = (id: string) => {
    const [, prefix, number] = /^(.*)_(\d{1,9})$/.exec(id) ?? []
    if (prefix !== undefined) highest.set(prefix, Math.max(highest.get(prefix) ?? 0, Number(number)))
  }
  for (const paint of recipe.paints) saw(paint.id)
  for (const coat of recipe.coats) {
    saw(coat.id)
    if (coat.kind === 'mist') for (const torch of coat.torches) saw(torch.id)
  }
  return prefix => {
    const number = (highest.get(prefix) ?? 0) + 1
    highest.set(prefix, number)
    return `${prefix}_${number}`
  }
}
