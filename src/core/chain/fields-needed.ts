import type { Figure } from '../mesh/figure.ts'
import type { PartId, PartState, Recipe, Torch } from '../recipe/recipe.ts'
import { opennessEmitters, REFINED } from '../spray/bake-exposure.ts'
import { coarseEmittersOf, type Emitter, emittersOf } from '../spray/emitters.ts'
import { partsKey, torchFieldKey } from '../spray/torch-field-key.ts'

/** Names an exposure or openness field: see `torchFieldKey`. */
export type FieldKey = string

/** One field that a recipe needs on a figure. */
export interface FieldNeed {
  readonly key: FieldKey
  readonly partStates: Readonly<Record<PartId, PartState>>
  /** null: openness, which belongs to no torch. */
  readonly torch: Torch | null
}

export const opennessKey = (figureId: string, partStates: Readonly<Record<PartId, PartState>>): FieldKey =>
  `open ${partsKey(figureId, partStates)}`

export function fieldsNeeded(figure: Figure, recipe: Recipe): FieldNeed[] {
  const needs = new Map<FieldKey, FieldNeed>()
  for (const coat of recipe.coats) {
    if (coat.hidden || coat.kind !== 'mist') continue
    const { parts: partStates } = coat
    for (const torch of coat.torches) {
      if (torch.muted) continue
      const key = torchFieldKey(figure.id, partStates, torch)
      needs.set(key, { key, partStates, torch })
    }
    if (coat.airbrush.diffuseShare > 0 && coat.torches.some(t => !t.muted)) {
      const key = opennessKey(figure.id, partStates)
      needs.set(key, { key, partStates, torch: null })
    }
  }
  return [...needs.values()]
}

/** Openness is a twentieth of a deposit and smooth: it needs directions over the whole sphere, but no more of them. */
export function emittersFor({ torch }: FieldNeed, figure: Figure, quality: 'coarse' | 'refined'): Emitter[] {
  if (!torch) return opennessEmitters(quality === 'coarse' ? 32 : 2 * REFINED.directions)
  const refined = emittersOf(torch, figure, REFINED.directions)
  return quality === 'coarse' ? coarseEmittersOf(torch, figure, refined) : refined
}
