import type { Figure } from '../core/mesh/figure.ts'
import { type FilmLayer, HISTOGRAM_BINS, type ViewReading } from '../core/reading/reading.ts'
import type { Recipe } from '../core/recipe/recipe.ts'
import { addDeposit, filmOfPass } from '../core/spray/film-per-pass.ts'
import { torchFieldKey } from '../core/spray/torch-field-key.ts'
import { opennessKey } from './fields-needed.ts'

/** Stands in for the film and colour chain until that lands: total build-up as grey. */
export function placeholderLook(figure: Figure, recipe: Recipe, fieldOf: (key: string) => Float32Array | null) {
  const vertices = figure.positions.length / 3
  const total = new Float32Array(vertices)
  for (const coat of recipe.coats) {
    if (coat.hidden) continue
    if (coat.kind === 'even') continue
    const solids = recipe.paints.find(p => p.id === coat.paint)?.volumeSolids ?? 0.3
    for (const torch of coat.torches) {
      if (torch.muted) continue
      const exposure = fieldOf(torchFieldKey(figure.id, coat.parts, torch))
      if (!exposure) continue
      const open = fieldOf(opennessKey(figure.id, coat.parts))
      addDeposit(total, exposure, open, filmOfPass(torch, coat.airbrush, coat.mix, solids), torch.passes)
    }
  }
  const linearRgb = new Float32Array(3 * vertices)
  let depositMaxUm = 0
  for (let v = 0; v < vertices; v++) {
    if (total[v] > depositMaxUm) depositMaxUm = total[v]
    linearRgb.fill(0.02 + 0.8 * (1 - Math.exp(-total[v] / 6)), 3 * v, 3 * v + 3)
  }
  return { linearRgb, depositMaxUm }
}

export function placeholderReading(linearRgb: Float32Array): ViewReading {
  const histogram = new Array<number>(HISTOGRAM_BINS).fill(0)
  for (let i = 0; i < linearRgb.length; i += 3) {
    const value = 116 * Math.cbrt(linearRgb[i]) - 16
    histogram[Math.max(0, Math.min(HISTOGRAM_BINS - 1, Math.floor((value * HISTOGRAM_BINS) / 100)))]++
  }
  return {
    valueFrom: 0,
    valueTo: 100,
    contrast: 100,
    contrastLeft: null,
    light: 0,
    mid: 1,
    dark: 0,
    histogram: histogram.map(n => (3 * n) / Math.max(1, linearRgb.length)),
    preshadeHistogram: null,
    preshadeMeanY: null,
  }
}

export const placeholderLayers = (): FilmLayer[] => []
