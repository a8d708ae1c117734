import { DROP_ML } from '../recipe/drops.ts'
import type { DropSizes, Mix } from '../recipe/recipe.ts'

/** Clear medium is mostly binder in water; solids by volume from memory, 0.25 to 0.40. */
export const MEDIUM_VOLUME_SOLIDS = 0.3

export interface MixSolids {
  /** Dry volume that comes of the paint, over wet volume of the mix, 0…1. */
  readonly paint: number
  /** The same of the clear medium. */
  readonly medium: number
  /** Dry film over wet film: `paint + medium`. */
  readonly total: number
}

/**
 * Solids by volume of a mix: VS = VS0 · paint / (paint + thinner + medium), volumes not drops. Test C22.
 * @param volumeSolids of the paint in the pot, 0…1
 */
export function mixSolids(mix: Mix, volumeSolids: number, dropMl: DropSizes = DROP_ML): MixSolids {
  const paintMl = mix.paintDrops * dropMl.paint
  const mediumMl = mix.mediumDrops * dropMl.medium
  const allMl = paintMl + mediumMl + mix.thinnerDrops * dropMl.thinner
  if (!(allMl > 0)) return { paint: 0, medium: 0, total: 0 }
  const paint = (volumeSolids * paintMl) / allMl
  const medium = (MEDIUM_VOLUME_SOLIDS * mediumMl) / allMl
  return { paint, medium, total: paint + medium }
}
