import { labOfLinearRgb } from '../colour/lab.ts'
import { coatFilm, coatOver, paintOf, primerReflectance, seenRgb } from '../film/coat-film.ts'
import type { Calibration, CoatId, MistCoat, Recipe } from '../recipe/recipe.ts'
import { AIRBRUSH_SETTINGS, type Setting, WHITE_PRESHADE } from './airbrush-settings.ts'
import { mixSolids } from './mix-solids.ts'

/** A Gaussian footprint holds 90 % of the flow within σ·√(2 ln 10) (C5: 2.1460 σ). */
const SIGMAS_OF_DOT = 2 * Math.sqrt(2 * Math.LN10)

/** σ / distance from a dot sprayed at rest: D90 / (4.29 · distance). */
export const spreadOfDot = ({ distanceMm, diameterMm }: Calibration['dot']): number =>
  diameterMm / (SIGMAS_OF_DOT * distanceMm)

/** Thicker films than this are opaque, µm. */
const THICKEST_UM = 200

/**
 * Flow of the airbrush, from a line that took so many passes, each over the same place, to reach a grey. The middle of one
 * straight pass is Q·η·(1 − f) / (√(2π)·s·d·v) wet; which dry film shows that grey over the primer is asked of the films.
 *
 * @returns mm³/s; null where the paint never shows that grey over the primer, or nothing was sprayed
 * @throws Error when the coat's or the primer's paint is not in the recipe
 */
export function flowOfLine(
  recipe: Pick<Recipe, 'primer' | 'paints' | 'dropMl'>,
  coat: MistCoat,
  line: Calibration['line'],
  spread: number,
): number | null {
  const { volumeSolids } = paintOf(recipe, coat.paint)
  const solids = mixSolids(line.mix, volumeSolids, recipe.dropMl).total
  const { transfer, diffuseShare } = coat.airbrush
  const share = line.passes * solids * transfer * (1 - diffuseShare)
  const dryUm = thicknessShowing(recipe, { ...coat, mix: line.mix }, line.lStar)
  if (dryUm === null || !(share > 0)) return null
  const perFlow = 1000 / (Math.sqrt(2 * Math.PI) * spread * line.distanceMm * line.sweepMmPerS)
  return dryUm / (perFlow * share)
}

function thicknessShowing(
  recipe: Pick<Recipe, 'primer' | 'paints' | 'dropMl'>,
  coat: MistCoat,
  lStar: number,
): number | null {
  const film = coatFilm(coat, recipe)
  const ground = primerReflectance(recipe)
  const beyond = (um: number) => labOfLinearRgb(...seenRgb(coatOver(film, um, ground)))[0] - lStar
  // Lighter or darker than the primer: the sign turns once on the way to the opaque film.
  const start = Math.sign(beyond(0))
  if (start === 0 || Math.sign(beyond(THICKEST_UM)) === start) return null
  let [low, high] = [0, THICKEST_UM]
  for (let i = 0; i < 50; i++) {
    const middle = (low + high) / 2
    if (Math.sign(beyond(middle)) === start) low = middle
    else high = middle
  }
  return (low + high) / 2
}

/** The recipe with what was measured; the coat sprays with it, from all its torches. */
export const withCalibration = (recipe: Recipe, coatId: CoatId, calibration: Calibration): Recipe => ({
  ...recipe,
  calibration,
  coats: recipe.coats.map(coat =>
    coat.id === coatId && coat.kind === 'mist'
      ? {
          ...coat,
          airbrush: { ...coat.airbrush, flowMm3PerS: calibration.flowMm3PerS },
          torches: coat.torches.map(torch => ({ ...torch, spread: calibration.spread })),
        }
      : coat,
  ),
})

/** How far a reading on card may be off, as a factor. From memory: none has been measured. */
const READING_ERRORS = {
  'the dot’s diameter': 1.1,
  'the speed of the hand': 1.2,
  'the grey, by half a step': 1.25,
} as const

/**
 * Between which factors of what is computed the build-up lies: errors that have nothing to do with one another, as
 * factors, added in quadrature. Without a measured airbrush they are the usual ranges of flow, transfer and spread.
 */
export function buildFactor({ calibration }: Pick<Recipe, 'calibration'>): {
  readonly low: number
  readonly high: number
} {
  if (calibration) {
    const spread = Math.exp(inQuadrature(Object.values(READING_ERRORS)))
    return { low: 1 / spread, high: spread }
  }
  const { transfer, spread } = AIRBRUSH_SETTINGS
  const flow: Setting = WHITE_PRESHADE.flowMm3PerS
  return {
    low: Math.exp(-inQuadrature([flow.value / flow.min, transfer.value / transfer.min, spread.max / spread.value])),
    high: Math.exp(inQuadrature([flow.max / flow.value, transfer.max / transfer.value, spread.value / spread.min])),
  }
}

const inQuadrature = (factors: readonly number[]): number => Math.hypot(...factors.map(Math.log))

/** 'Micrometres are estimates: …'. */
export function buildFactorWords(recipe: Pick<Recipe, 'calibration'>): string {
  const { low, high } = buildFactor(recipe)
  const range = `${low.toFixed(1)} to ${high.toFixed(1)} times`
  return recipe.calibration
    ? `Measured on card: the build-up is ${range} what is shown.`
    : `Micrometres are estimates: the build-up may be ${range} what is shown, until the airbrush is calibrated.`
}
