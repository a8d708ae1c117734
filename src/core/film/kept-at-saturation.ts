import { labOfLinearRgb } from '../colour/lab.ts'
import { hexOf } from '../colour/srgb.ts'
import type { Paint } from '../recipe/recipe.ts'
import { coatOver, isAchromatic, seenRgb } from './coat-film.ts'
import { greyGround } from './grey-ground.ts'
import { filmKeeps } from './half-kept.ts'
import { paintOptics } from './paint-optics.ts'

/** A coloured paint laid just so thick that it is as saturated as others laid by the same rule. */
export interface AtSaturation {
  /** Dry µm of an even film. */
  readonly thicknessUm: number
  /** Share of the step between pre-shade values 30 and 80 that is left there. */
  readonly kept: number
}

/** Saturation is judged over a light pre-shade, where a glaze shows most of its colour. */
const JUDGED_OVER = 90
/** Of the most chroma that any thickness gives: more costs much paint for little colour. */
const SATURATED = 0.8
/** Dry µm searched, evenly in the logarithm: 8 % a step. */
const [THINNEST_UM, THICKEST_UM, STEPS] = [0.02, 400, 125]

/**
 * 'Equally saturated': the least thickness at which the chroma over value 90 is 80 % of the most this paint can give
 * there, and what such a film keeps of the pre-shade. Linear between steps.
 * @returns null for white, grey and black paints, which have no colour to compare
 */
export function atSaturation(paint: Pick<Paint, 'body'>): AtSaturation | null {
  const known = cache.get(paint.body)
  if (known !== undefined) return known
  const found = isAchromatic(paint) ? null : search(paint)
  cache.set(paint.body, found)
  return found
}

const cache = new WeakMap<Paint['body'], AtSaturation | null>()

/** '#rrggbb' of an even film of the paint over a neutral ground of value `lStar`, seen matt. */
export const hexOverValue = (paint: Pick<Paint, 'body'>, thicknessUm: number, lStar: number): string =>
  hexOf(...seenRgb(coatOver({ optics: paintOptics(paint), dropletUm: 0 }, thicknessUm, greyGround(lStar))))

function search(paint: Pick<Paint, 'body'>): AtSaturation {
  const optics = paintOptics(paint)
  const ground = greyGround(JUDGED_OVER)
  const um = (step: number) => THINNEST_UM * (THICKEST_UM / THINNEST_UM) ** (step / STEPS)
  const chroma = Array.from({ length: STEPS + 1 }, (_, step) => {
    const [, a, b] = labOfLinearRgb(...seenRgb(coatOver({ optics, dropletUm: 0 }, um(step), ground)))
    return Math.hypot(a, b)
  })
  const wanted = SATURATED * Math.max(...chroma)
  const reached = chroma.findIndex(c => c >= wanted)
  const before = chroma[reached - 1]
  const thicknessUm = um(reached > 0 ? reached - (chroma[reached] - wanted) / (chroma[reached] - before) : 0)
  return { thicknessUm, kept: filmKeeps(optics, thicknessUm) }
}
