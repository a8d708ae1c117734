import { labOfLinearRgb } from '../colour/lab.ts'
import { hexOf } from '../colour/srgb.ts'
import { type CoatFilm, coatFilm, coatOver, primerReflectance, seenRgb } from '../film/coat-film.ts'
import { DARK_VALUE, greyGround, LIGHT_VALUE } from '../film/grey-ground.ts'
import type { MistCoat, PaintCoat, Recipe } from '../recipe/recipe.ts'
import { filmOfPass } from '../spray/film-per-pass.ts'

/** One coat from none to twice what is planned, over three grounds: the answer to 'how thin must I go?'. */
export interface ThicknessStrip {
  /** Dry µm, in the middle of each row. */
  readonly plannedUm: number
  /**
   * '#rrggbb' at STRIP_COLUMNS thicknesses: over black, over what lies under this coat where the surface faces its torches, over
   * white.
   */
  readonly overBlack: readonly string[]
  readonly overPreshade: readonly string[]
  readonly overWhite: readonly string[]
  /** Share of the difference between pre-shade values 30 and 80 that is left at the planned thickness, 0…1. */
  readonly keptAtPlanned: number
  /** Passes beyond the planned ones until half of it is gone; 0 when it already is, null for an even coat or when 40 do not do it. */
  readonly passesToHalf: number | null
}

/** Matt black primer and white card, L*. */
const BLACK_VALUE = 28
const WHITE_VALUE = 95

/** Dry µm that the coat leaves where a surface faces its first torch, all passes; an even coat's own thickness. */
export function plannedUm(coat: PaintCoat, recipe: Recipe): number {
  if (coat.kind === 'even') return coat.thicknessUm
  const solids = recipe.paints.find(p => p.id === coat.paint)?.volumeSolids ?? 0
  const sprayed = coat.torches.filter(t => !t.muted)
  return Math.max(
    0,
    ...sprayed.map(t => t.passes * filmOfPass(t, coat.airbrush, coat.mix, solids, recipe.dropMl).directUm),
  )
}

/** Evenly from none to twice the plan; the middle one is the plan. */
export const STRIP_COLUMNS = 21

export function thicknessStrip(coat: PaintCoat, recipe: Recipe): ThicknessStrip {
  const film = coatFilm(coat, recipe)
  const planned = plannedUm(coat, recipe)
  const thicknessUm = Array.from({ length: STRIP_COLUMNS }, (_, i) => (2 * planned * i) / (STRIP_COLUMNS - 1))
  const hexes = (ground: Float64Array) => thicknessUm.map(x => hexOf(...seenRgb(coatOver(film, x, ground))))
  return {
    plannedUm: planned,
    overBlack: hexes(greyGround(BLACK_VALUE)),
    overPreshade: hexes(litGround(coat, recipe)),
    overWhite: hexes(greyGround(WHITE_VALUE)),
    keptAtPlanned: contrastKept(film, planned),
    passesToHalf: coat.kind === 'even' ? null : passesToHalf(film, coat, planned),
  }
}

/** Internal reflectance of the stack under a coat, every coat of it as thick as planned. */
function litGround(coat: PaintCoat, recipe: Recipe): Float64Array {
  let ground = primerReflectance(recipe)
  for (const below of recipe.coats) {
    if (below.id === coat.id) break
    if (!below.hidden && below.kind !== 'varnish')
      ground = coatOver(coatFilm(below, recipe), plannedUm(below, recipe), ground)
  }
  return ground
}

/** (L* over value 80 − L* over value 30)/50. */
export function contrastKept(film: CoatFilm, thicknessUm: number): number {
  const value = (ground: number) => labOfLinearRgb(...seenRgb(coatOver(film, thicknessUm, greyGround(ground))))[0]
  return (value(LIGHT_VALUE) - value(DARK_VALUE)) / (LIGHT_VALUE - DARK_VALUE)
}

/**
 * L* after 0, 1, 2 … passes of a sprayed coat over what lies under it, where a surface faces its heaviest torch: how the
 * greys come up. An even coat has but two entries, without and with it.
 */
export function valuesByPass(coat: PaintCoat, recipe: Recipe, passes = 12): number[] {
  const film = coatFilm(coat, recipe)
  const ground = litGround(coat, recipe)
  const value = (um: number) => labOfLinearRgb(...seenRgb(coatOver(film, um, ground)))[0]
  if (coat.kind === 'even') return [value(0), value(coat.thicknessUm)]
  const once = plannedUm({ ...coat, torches: coat.torches.map(torch => ({ ...torch, passes: 1 })) }, recipe)
  return Array.from({ length: passes + 1 }, (_, n) => value(n * once))
}

const MOST_MORE_PASSES = 40

function passesToHalf(film: CoatFilm, coat: MistCoat, planned: number): number | null {
  const passes = Math.max(...coat.torches.filter(t => !t.muted).map(t => t.passes), 0)
  if (!(planned > 0) || passes === 0) return null
  for (let more = 0; more <= MOST_MORE_PASSES; more++) {
    if (contrastKept(film, (planned * (passes + more)) / passes) <= 0.5) return more
  }
  return null
}
