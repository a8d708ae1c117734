import type { Recipe, TorchId } from '../recipe/recipe.ts'
import type { Caught } from '../spray/film-per-pass.ts'
import type { Fields } from './deposits.ts'

/**
 * What a figure catches of every torch whose field is there; torches of hidden coats and muted ones are left out.
 * @param areas of the vertices, V floats, mm²
 */
export function caughtByTorch(recipe: Recipe, areas: Float64Array, fields: Fields): Record<TorchId, Caught> {
  const caught: Record<TorchId, Caught> = {}
  for (const coat of recipe.coats) {
    if (coat.kind !== 'mist' || coat.hidden) continue
    const open = fields.opennessOf(coat)
    const openMm2 = open ? overSurface(open, areas) : 0
    for (const torch of coat.torches) {
      const exposure = torch.muted ? null : fields.exposureOf(coat, torch)
      if (exposure) caught[torch.id] = { directMm2: overSurface(exposure, areas), openMm2 }
    }
  }
  return caught
}

function overSurface(values: Float32Array, areas: Float64Array): number {
  let sum = 0
  for (let v = 0; v < areas.length; v++) sum += values[v] * areas[v]
  return sum
}
