import { sprayedFilms } from '../chain/deposits.ts'
import { stackColours } from '../chain/stack-colours.ts'
import { lStarOfLuminance, luminanceOf } from '../colour/lab.ts'
import type { MistCoat, Recipe } from '../recipe/recipe.ts'
import { plainTorch } from '../recipe/torch-sets.ts'
import { addDeposit } from '../spray/film-per-pass.ts'
import { EXPOSURE_BINS } from './light-measures.ts'

/**
 * L* that all passes of one plain torch of a coat leave at exposures 0, 1/16 … 1: over primer and coats below, where
 * other sprayed coats are taken to have left nothing, without the diffuse share.
 */
export function mistValues(recipe: Recipe, coat: MistCoat): number[] {
  const exposures = Float32Array.from({ length: EXPOSURE_BINS + 1 }, (_, i) => i / EXPOSURE_BINS)
  const alone: MistCoat = { ...coat, torches: [{ ...plainTorch(coat.torches[0]), id: 'plain' }] }
  const coats = recipe.coats.slice(0, recipe.coats.indexOf(coat)).concat(alone)
  const deposits = coats.map(layer => {
    const um = new Float32Array(exposures.length)
    if (layer.kind === 'even' && !layer.hidden) um.fill(layer.thicknessUm)
    if (layer === alone)
      for (const { torch, film } of sprayedFilms(recipe, alone)) addDeposit(um, exposures, null, film, torch.passes)
    return um
  })
  const { linearRgb } = stackColours({ ...recipe, coats }, deposits, exposures.length)
  return Array.from(exposures, (_, i) =>
    lStarOfLuminance(Math.max(0, luminanceOf(linearRgb[3 * i], linearRgb[3 * i + 1], linearRgb[3 * i + 2]))),
  )
}

/**
 * From the darkest to the lightest twentieth of what is seen.
 * @param bins share of each sixteenth of exposure, see `LightMeasures`
 * @param values at their edges, see `mistValues`
 */
export function valuesLit(bins: readonly number[], values: readonly number[]): { from: number; to: number } {
  const at = (share: number) => {
    let below = 0
    for (let k = 0; k < bins.length; k++) {
      if (below + bins[k] >= share && bins[k] > 0)
        return values[k] + ((share - below) / bins[k]) * (values[k + 1] - values[k])
      below += bins[k]
    }
    return values[bins.length]
  }
  return { from: at(0.05), to: at(0.95) }
}
