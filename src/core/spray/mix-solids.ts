import type { Mix } from '../recipe/recipe.ts'

/** Volume of one drop of each, mL. Drops differ: thinner has less surface tension than paint (Tate's law). */
export interface DropVolumes {
  readonly paintMl: number
  readonly thinnerMl: number
  readonly mediumMl: number
}

/** 20 to 50 µL; eye-drop bottles 24.5 to 47.8 µL, USP <1101> dropper 45 to 55 µL of water. */
export const EQUAL_DROPS: DropVolumes = { paintMl: 0.04, thinnerMl: 0.04, mediumMl: 0.04 }

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
export function mixSolids(mix: Mix, volumeSolids: number, drops: DropVolumes = EQUAL_DROPS): MixSolids {
  const paintMl = mix.paintDrops * drops.paintMl
  const mediumMl = mix.mediumDrops * drops.mediumMl
  const allMl = paintMl + mediumMl + mix.thinnerDrops * drops.thinnerMl
  if (!(allMl > 0)) return { paint: 0, medium: 0, total: 0 }
  const paint = (volumeSolids * paintMl) / allMl
  const medium = (MEDIUM_VOLUME_SOLIDS * mediumMl) / allMl
  return { paint, medium, total: paint + medium }
}
