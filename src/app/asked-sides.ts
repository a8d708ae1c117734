import { type FieldNeed, fieldsNeeded } from '../core/chain/fields-needed.ts'
import type { LookGround } from '../core/chain/look.ts'
import type { Figure } from '../core/mesh/figure.ts'
import type { Recipe } from '../core/recipe/recipe.ts'
import { flatBaseOf, type GreycoatDocument } from '../document/document.ts'

/** What a side of the picture is to show. */
export interface AskedSide {
  readonly recipe: Recipe
  readonly ground: LookGround
}

/** What stands on each side; null: nothing does. */
export function sidesOf({ recipe, compare }: GreycoatDocument): { main: AskedSide; other: AskedSide | null } {
  const main: AskedSide = { recipe, ground: { kind: 'preshade' } }
  if (compare.kind === 'off') return { main, other: null }
  const flat = flatBaseOf(compare)
  return {
    main,
    other: {
      recipe: compare.kind === 'recipe' ? compare.recipe : recipe,
      ground: flat ? { kind: 'flat', greyY: flat.greyY } : { kind: 'preshade' },
    },
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
