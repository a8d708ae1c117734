import { type FieldNeed, fieldsNeeded } from '../core/chain/fields-needed.ts'
import type { LookGround } from '../core/chain/look.ts'
import type { Figure } from '../core/mesh/figure.ts'
import type { Recipe } from '../core/recipe/recipe.ts'
import type { GreycoatDocument } from '../document/document.ts'

/** What a side of the picture is to show. */
export interface AskedSide {
  readonly recipe: Recipe
  readonly ground: LookGround
}

/** What stands on each side; null: nothing does. */
export function sidesOf({ recipe, compare }: GreycoatDocument): { main: AskedSide; other: AskedSide | null } {
  const main: AskedSide = { recipe, ground: { kind: 'preshade' } }
  switch (compare.kind) {
    case 'off':
      return { main, other: null }
    case 'flat':
      return { main, other: { recipe, ground: { kind: 'flat', greyY: compare.greyY } } }
    case 'recipe':
      return { main, other: { recipe: compare.recipe, ground: { kind: 'preshade' } } }
  }
}

/** Every field either side needs, once each. */
export function needsOf(figure: Figure, document: GreycoatDocument): FieldNeed[] {
  const { main, other } = sidesOf(document)
  const needs = new Map<string, FieldNeed>()
  for (const side of [main, other])
    if (side) for (const need of fieldsNeeded(figure, side.recipe)) needs.set(need.key, need)
  return [...needs.values()]
}
