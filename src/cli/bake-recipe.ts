import type { Fields } from '../core/chain/deposits.ts'
import { emittersFor, fieldsNeeded, opennessKey } from '../core/chain/fields-needed.ts'
import { type FigureLook, lookOf } from '../core/chain/look.ts'
import type { Figure } from '../core/mesh/figure.ts'
import type { Recipe } from '../core/recipe/recipe.ts'
import { createBakeKernel, REFINED } from '../core/spray/bake-exposure.ts'
import { torchFieldKey } from '../core/spray/torch-field-key.ts'
import type { NamedField } from '../io/write-ply.ts'

export interface BakedRecipe {
  readonly look: FigureLook
  readonly fields: Fields
  /** Of every torch, muted ones and those of hidden coats too, by id. */
  readonly exposures: readonly NamedField[]
  /** Of every coat, dry µm, by id; all zero where the coat is hidden. */
  readonly deposits: readonly NamedField[]
  readonly ms: { readonly bake: number; readonly paint: number }
}

/** Fields at the finest quality, then deposits and colours: what the page shows once the hand rests. */
export function bakeRecipe(
  figure: Figure,
  recipe: Recipe,
  now: () => number,
  onProgress: (share: number) => void,
): BakedRecipe {
  const started = now()
  const fields = new Map<string, Float32Array>()
  const needs = fieldsNeeded(figure, withEverythingShown(recipe))
  const kernel = createBakeKernel(figure)
  try {
    needs.forEach((need, i) => {
      const emitters = emittersFor(need, figure, 'refined')
      fields.set(need.key, kernel.bake(need.partStates, emitters, { bufferSize: REFINED.bufferSize }))
      onProgress((i + 1) / needs.length)
    })
  } finally {
    kernel.dispose()
  }
  const baked = now()
  const found: Fields = {
    exposureOf: (coat, torch) => fields.get(torchFieldKey(figure.id, coat.parts, torch)) ?? null,
    opennessOf: coat => fields.get(opennessKey(figure.id, coat.parts)) ?? null,
  }
  const look = lookOf(figure, recipe, found)
  const exposures: NamedField[] = []
  for (const coat of recipe.coats) {
    if (coat.kind !== 'mist') continue
    for (const torch of coat.torches) {
      const exposure = fields.get(torchFieldKey(figure.id, coat.parts, torch))
      if (!exposure) throw new Error(`torch ${torch.id} was not baked`)
      exposures.push([torch.id, exposure])
    }
  }
  return {
    look,
    fields: found,
    exposures,
    deposits: recipe.coats.map((coat, i) => [coat.id, look.deposits[i]] as const),
    ms: { bake: baked - started, paint: now() - baked },
  }
}

const withEverythingShown = (recipe: Recipe): Recipe => ({
  ...recipe,
  coats: recipe.coats.map(coat => {
    const shown = { ...coat, hidden: false }
    return shown.kind === 'mist'
      ? { ...shown, torches: shown.torches.map(torch => ({ ...torch, muted: false })) }
      : shown
  }),
})
