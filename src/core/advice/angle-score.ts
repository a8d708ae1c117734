import type { DomeDirection } from './dome.ts'
import type { ViewMeasures } from './view-measures.ts'

/**
 * What a viewing angle is judged by.
 *
 *   visible    share of the whole surface that is seen
 *   size       seen surface, square to the line of sight, over its mean over all directions (¼ of the surface for a
 *              convex body: Cauchy)
 *   outline    length of the outline over that of a disc of the mean size
 *   saliency   share of the figure's saliency that is seen; null while it is not known
 *   evenness   KL divergence, bits: less is better
 *   values     contrast of the pre-shade, L*; null without one
 */
export const ANGLE_TERMS = ['visible', 'size', 'outline', 'saliency', 'evenness', 'values'] as const
export type AngleTerm = (typeof ANGLE_TERMS)[number]

/**
 * What scores 0 and what scores 1, the same for every figure; beyond them nothing is gained or lost. A convex body that
 * looks the same from behind shows half of its surface, so no less than 1 bit of divergence; a thin plate has size 2
 * face on and 0 edge on; a sphere has size 1, outline 1 and 1.28 bits. The other ends: what figures were seen to have, rounded; no source.
 */
export const ANGLE_BOUNDS: { readonly [T in AngleTerm]: { readonly none: number; readonly full: number } } = {
  visible: { none: 0.1, full: 0.5 },
  size: { none: 0, full: 2 },
  outline: { none: 1, full: 2.5 },
  saliency: { none: 0.1, full: 0.5 },
  evenness: { none: 3, full: 1 },
  values: { none: 0, full: 60 },
}

export interface AngleReading {
  readonly terms: { readonly [T in AngleTerm]: number | null }
  /** Mean of the terms' scores, each weighing the same: untuned. 0…1. */
  readonly score: number
}

/** 0…1 between a term's bounds; null stays null. */
export function termScore(term: AngleTerm, value: number | null): number | null {
  if (value === null) return null
  const { none, full } = ANGLE_BOUNDS[term]
  return Math.max(0, Math.min(1, (value - none) / (full - none)))
}

/**
 * Readings of the directions measured so far.
 * @param measures one a direction; null where it is still to come
 */
export function readAngles(
  dome: readonly DomeDirection[],
  measures: readonly (ViewMeasures | null)[],
): (AngleReading | null)[] {
  let weighted = 0
  let share = 0
  measures.forEach((m, i) => {
    if (!m) return
    weighted += dome[i].share * m.projectedMm2
    share += dome[i].share
  })
  // What is seen from behind has the same outline: the mean over the upper half is that over the whole sphere.
  const meanMm2 = weighted / share
  return measures.map(m => {
    if (!m) return null
    const terms = {
      visible: m.visibleShare,
      size: m.projectedMm2 / meanMm2,
      outline: m.silhouetteMm / (2 * Math.sqrt(Math.PI * meanMm2)),
      saliency: m.saliencyShare,
      evenness: m.klBits,
      values: m.valueRange,
    }
    const scores = ANGLE_TERMS.flatMap(term => termScore(term, terms[term]) ?? [])
    return { terms, score: scores.reduce((sum, s) => sum + s, 0) / scores.length }
  })
}
