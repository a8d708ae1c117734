import { type BandWeights, linearRgbOf, RGB_WEIGHTS } from '../colour/band-weights.ts'
import { BANDS } from '../colour/bands.ts'
import { labOfLinearRgb } from '../colour/lab.ts'
import type { Paint, PaintCoat, Recipe } from '../recipe/recipe.ts'
import { mixSolids } from '../spray/mix-solids.ts'
import { opaqueReflectance } from './kubelka-munk.ts'
import { mistOver } from './mist-film.ts'
import { type Optics, paintOptics } from './paint-optics.ts'
import { internalReflectance, SURFACE, seenReflectance } from './saunderson.ts'

/** What a coat's dry film is made of, per µm, whatever its thickness. */
export interface CoatFilm {
  /** Of the whole film: the paint's own share; clear medium adds thickness alone. */
  readonly optics: Optics
  /** Dry height of one droplet, µm; 0 for an even coat. */
  readonly dropletUm: number
}

/** @throws Error when the coat's paint is not in the recipe */
export function coatFilm(coat: PaintCoat, recipe: Pick<Recipe, 'paints' | 'dropMl'>): CoatFilm {
  const paint = paintOf(recipe, coat.paint)
  const solids = mixSolids(coat.mix, paint.volumeSolids, recipe.dropMl)
  const share = solids.total > 0 ? solids.paint / solids.total : 0
  const own = paintOptics(paint)
  const optics =
    share === 1
      ? own
      : { absorption: own.absorption.map(k => share * k), scattering: own.scattering.map(s => share * s) }
  return { optics, dropletUm: coat.kind === 'mist' ? dropletUm(paint, solids.total) : 0 }
}

/** A droplet dries to a height in proportion to the solids of the mix; the paint states it for two drops of thinner to one. */
export const dropletUm = (paint: Pick<Paint, 'dropletUm' | 'volumeSolids'>, mixedSolids: number): number =>
  paint.volumeSolids > 0 ? (paint.dropletUm * mixedSolids) / (paint.volumeSolids / 3) : 0

export function paintOf(recipe: Pick<Recipe, 'paints'>, id: string): Paint {
  const paint = recipe.paints.find(p => p.id === id)
  if (!paint) throw new Error(`the recipe has no paint ${id}`)
  return paint
}

/** Internal reflectance of the primer: an opaque ground of its paint. */
export function primerReflectance(recipe: Pick<Recipe, 'primer' | 'paints'>): Float64Array {
  return opaqueOf(paintOptics(paintOf(recipe, recipe.primer.paint)))
}

export const opaqueOf = ({ absorption, scattering }: Optics): Float64Array =>
  absorption.map((k, b) => opaqueReflectance(k, scattering[b]))

/** Puts a coat on a ground, band by band: the exact, readable path. @returns new internal reflectances */
export const coatOver = (
  { optics, dropletUm: h }: CoatFilm,
  thicknessUm: number,
  ground: ArrayLike<number>,
): Float64Array =>
  Float64Array.from({ length: BANDS }, (_, b) =>
    mistOver(optics.absorption[b], optics.scattering[b], thicknessUm, h, ground[b]),
  )

/** Linear sRGB of internal reflectances as the eye sees a matt surface under a lamp (see rgbWeightsUnder). */
export const seenRgb = (internal: ArrayLike<number>, weights: BandWeights = RGB_WEIGHTS): [number, number, number] =>
  linearRgbOf(
    Float64Array.from({ length: BANDS }, (_, b) => seenReflectance(internal[b])),
    weights,
  )

/**
 * A matt colour as it looks with less of the surface's own reflection, which is alike at every wavelength: each channel
 * loses as much, whatever the lamp (rows of the weights add up to 1).
 * @param share see FINISH_SHARE
 */
export const withSurface = (matt: readonly [number, number, number], share: number): [number, number, number] => {
  const lost = (1 - share) * SURFACE.k1
  return [matt[0] - lost, matt[1] - lost, matt[2] - lost]
}

/** Chroma below which a paint counts as white, grey or black; thin white over black, which is bluish, has about 5. */
const ACHROMATIC_CHROMA = 10
/** Dry µm. A dark pigment shows its hue only where thin: opaque violet is all but black. */
const JUDGED_AT_UM = [0.3, 1, 3, 10, 30, 100]

/** White, grey or black at any thickness over a white card; metal is none of them, nobody pre-shades with it. */
export function isAchromatic(paint: Pick<Paint, 'body'>): boolean {
  if (paint.body.kind === 'metallic') return false
  const film: CoatFilm = { optics: paintOptics(paint), dropletUm: 0 }
  const card = new Float64Array(BANDS).fill(internalReflectance(0.8))
  return JUDGED_AT_UM.every(thicknessUm => {
    const [, a, b] = labOfLinearRgb(...seenRgb(coatOver(film, thicknessUm, card)))
    return Math.hypot(a, b) < ACHROMATIC_CHROMA
  })
}
