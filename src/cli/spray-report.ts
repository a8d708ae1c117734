import { caughtByTorch } from '../core/chain/caught-by-torch.ts'
import type { Fields } from '../core/chain/deposits.ts'
import type { Figure } from '../core/mesh/figure.ts'
import { vertexAreas } from '../core/mesh/vertex-areas.ts'
import type { CoatId, Recipe, TorchId } from '../core/recipe/recipe.ts'
import { paintUsed } from '../core/spray/film-per-pass.ts'
import { sprayBalance } from '../core/spray/spray-balance.ts'

/** Where the paint of one torch goes, all its passes. */
export interface TorchReport {
  readonly coat: CoatId
  readonly torch: TorchId
  readonly mixMl: number
  readonly landsMl: number
  /** Of what leaves the nozzle. */
  readonly lands: number
  /** Of the beam that flies straight: shares found each on its own; what they lack of 1 is the error of the sums. */
  readonly beam: { readonly landed: number; readonly missed: number; readonly unaccounted: number }
}

/** Directions for the balance: its shares are told to whole percents. */
const DIRECTIONS = 24

export function reportSpray(
  figure: Figure,
  recipe: Recipe,
  fields: Fields,
  onProgress: (share: number) => void,
): TorchReport[] {
  const caught = caughtByTorch(recipe, vertexAreas(figure), fields)
  const sprayed = recipe.coats.flatMap(coat =>
    coat.kind === 'mist' ? coat.torches.filter(t => caught[t.id]).map(torch => ({ coat, torch })) : [],
  )
  return sprayed.map(({ coat, torch }, i) => {
    const used = paintUsed(torch, figure, coat.airbrush, coat.mix, recipe.dropMl, caught[torch.id])
    const landsMl = used.landsMl ?? 0
    const { landed, missed } = sprayBalance(figure, coat.parts, torch, DIRECTIONS)
    onProgress((i + 1) / sprayed.length)
    return {
      coat: coat.id,
      torch: torch.id,
      mixMl: used.mixMl,
      landsMl,
      lands: used.mixMl > 0 ? landsMl / used.mixMl : 0,
      beam: { landed, missed, unaccounted: 1 - landed - missed },
    }
  })
}
