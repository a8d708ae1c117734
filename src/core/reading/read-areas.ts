import { lStarOfLuminance, luminanceOf } from '../colour/lab.ts'
import type { Figure } from '../mesh/figure.ts'
import type { FigurePanels } from '../surface/figure-panels.ts'
import { NOTHING, type ViewRaster } from './raster-view.ts'
import type { ExposureThresholds, ReadFields } from './read-view.ts'

/** What can be measured of one area from a view. Shares are of projected area, as everywhere. */
export interface AreaReading {
  /** Index into the figure's panels. */
  readonly panel: number
  /** Of all that is seen of the figure. */
  readonly seenShare: number
  /** Of what is seen of this area: where the pre-shade's torches leave more than 'dark'. */
  readonly litShare: number
  /** Summed direct exposure of the pre-shade's torches, mean over what is seen. */
  readonly meanExposure: number
  /** Mean L* over what is seen. */
  readonly meanValue: number
}

/** Every area that is seen from where the raster was drawn, in the order of the panels. */
export function readAreas(
  { triangle, b1, b2 }: ViewRaster,
  { triangles }: Figure,
  { panels, panelOf }: FigurePanels,
  { linearRgb, directExposure }: Pick<ReadFields, 'linearRgb' | 'directExposure'>,
  { dark }: Pick<ExposureThresholds, 'dark'>,
): AreaReading[] {
  const seen = new Float64Array(panels.length)
  const lit = new Float64Array(panels.length)
  const exposure = new Float64Array(panels.length)
  const value = new Float64Array(panels.length)
  const luminanceAt = (v: number) => luminanceOf(linearRgb[3 * v], linearRgb[3 * v + 1], linearRgb[3 * v + 2])
  let all = 0
  for (let pixel = 0; pixel < triangle.length; pixel++) {
    if (triangle[pixel] === NOTHING) continue
    const t = 3 * triangle[pixel]
    const [a, b, c] = [triangles[t], triangles[t + 1], triangles[t + 2]]
    const atA = 1 - b1[pixel] - b2[pixel]
    const e = atA * directExposure[a] + b1[pixel] * directExposure[b] + b2[pixel] * directExposure[c]
    const panel = panelOf[triangle[pixel]]
    all++
    seen[panel]++
    if (e >= dark) lit[panel]++
    exposure[panel] += e
    value[panel] += lStarOfLuminance(atA * luminanceAt(a) + b1[pixel] * luminanceAt(b) + b2[pixel] * luminanceAt(c))
  }
  const readings: AreaReading[] = []
  seen.forEach((n, panel) => {
    if (n === 0) return
    readings.push({
      panel,
      seenShare: n / all,
      litShare: lit[panel] / n,
      meanExposure: exposure[panel] / n,
      meanValue: value[panel] / n,
    })
  })
  return readings
}

/** An area counts as unlit where less than this share of what is seen of it is lit. */
export const LIT_SHARE = 0.5
/** Less than this share of what is seen is not worth a line. Our choice. */
const WORTH_A_LINE = 0.002

/** Share of the whole view that this area leaves unlit. */
export const unlitShare = ({ seenShare, litShare }: AreaReading): number => seenShare * (1 - litShare)

/** Areas that are seen but mostly unlit, the largest unlit piece of the view first; not those meant to stay dark. */
export function unlitAreas(
  readings: readonly AreaReading[],
  { panels }: FigurePanels,
  meantDark: readonly string[],
  litShare: number = LIT_SHARE,
): AreaReading[] {
  const meant = new Set(meantDark)
  return readings
    .filter(r => r.litShare < litShare && unlitShare(r) >= WORTH_A_LINE && !meant.has(panels[r.panel].id))
    .sort((x, y) => unlitShare(y) - unlitShare(x))
}

/** The neighbour that an area differs from least in value, among those that are seen; null where none is. */
export function faintestNeighbour(
  panel: number,
  readings: readonly AreaReading[],
  { neighbours }: FigurePanels,
): { readonly panel: number; readonly contrast: number } | null {
  const own = readings.find(r => r.panel === panel)
  let faintest: { panel: number; contrast: number } | null = null
  for (const { a, b } of neighbours) {
    if (!own || (a !== panel && b !== panel)) continue
    const other = readings.find(r => r.panel === (a === panel ? b : a))
    if (!other) continue
    const contrast = Math.abs(other.meanValue - own.meanValue)
    if (!faintest || contrast < faintest.contrast) faintest = { panel: other.panel, contrast }
  }
  return faintest
}
