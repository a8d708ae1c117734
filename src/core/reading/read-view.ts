import { lStarOfLuminance, luminanceOf } from '../colour/lab.ts'
import type { Figure } from '../mesh/figure.ts'
import { REACHED } from '../teach/lit-shares.ts'
import { NOTHING, type ViewRaster } from './raster-view.ts'
import { HISTOGRAM_BINS, type ViewReading } from './reading.ts'

/** What a look has at every vertex. */
export interface ReadFields {
  /** 3·V, linear sRGB primaries, D65, unlit, matt surface included. */
  readonly linearRgb: Float32Array
  /** The same with nothing over the pre-shade; null where there is no pre-shade. */
  readonly preshadeRgb: Float32Array | null
  /** V: exposure of the pre-shade's torches added up, without the diffuse share. */
  readonly directExposure: Float32Array
}

/** Exposure above `light` is light, below `dark` is dark. */
export interface ExposureThresholds {
  readonly light: number
  readonly dark: number
}

/** L*: a pre-shade with less contrast than this has none that could be left. Less than an eye sees; our choice. */
const LEAST_CONTRAST = 0.5

/**
 * What can be measured from where the raster was drawn, as reading.ts defines it; null where nothing is seen.
 * Between vertices colours and exposures are those of the picture: linear in linear light.
 */
export function readView(
  raster: ViewRaster,
  figure: Figure,
  { linearRgb, preshadeRgb, directExposure }: ReadFields,
  thresholds: ExposureThresholds,
): ViewReading | null {
  const exposures = overPicture(raster, figure, directExposure)
  if (exposures.length === 0) return null
  const values = valuesOf(overPicture(raster, figure, luminances(linearRgb)))
  const preshadeY = preshadeRgb && overPicture(raster, figure, luminances(preshadeRgb))
  const preshade = preshadeY && valuesOf(preshadeY)
  const preshadeContrast = preshade ? preshade.to - preshade.from : 0
  const contrast = values.to - values.from
  const light = share(exposures, e => e > thresholds.light)
  const dark = share(exposures, e => e < thresholds.dark)
  return {
    valueFrom: values.from,
    valueTo: values.to,
    contrast,
    contrastLeft: preshadeContrast >= LEAST_CONTRAST ? contrast / preshadeContrast : null,
    light,
    mid: 1 - light - dark,
    dark,
    reachedArea: reachedArea(figure, directExposure),
    histogram: values.histogram,
    preshadeHistogram: preshade?.histogram ?? null,
    preshadeMeanY: preshadeY && mean(preshadeY),
  }
}

/** A triangle counts by the share of its corners that are reached. */
function reachedArea({ positions: p, triangles }: Figure, exposure: Float32Array): number {
  let area = 0
  let reached = 0
  for (let t = 0; t < triangles.length; t += 3) {
    const a = 3 * triangles[t]
    const b = 3 * triangles[t + 1]
    const c = 3 * triangles[t + 2]
    const ux = p[b] - p[a]
    const uy = p[b + 1] - p[a + 1]
    const uz = p[b + 2] - p[a + 2]
    const vx = p[c] - p[a]
    const vy = p[c + 1] - p[a + 1]
    const vz = p[c + 2] - p[a + 2]
    const own = Math.sqrt((uy * vz - uz * vy) ** 2 + (uz * vx - ux * vz) ** 2 + (ux * vy - uy * vx) ** 2)
    area += own
    for (let k = 0; k < 3; k++) if (exposure[triangles[t + k]] > REACHED) reached += own / 3
  }
  return area > 0 ? reached / area : 0
}

function luminances(linearRgb: Float32Array): Float32Array {
  const y = new Float32Array(linearRgb.length / 3)
  for (let v = 0; v < y.length; v++) y[v] = luminanceOf(linearRgb[3 * v], linearRgb[3 * v + 1], linearRgb[3 * v + 2])
  return y
}

/** A field of one number a vertex at every pixel that shows the figure. */
function overPicture({ triangle, b1, b2 }: ViewRaster, { triangles }: Figure, field: Float32Array): Float32Array {
  const seen = new Float32Array(triangle.length)
  let n = 0
  for (let pixel = 0; pixel < triangle.length; pixel++) {
    if (triangle[pixel] === NOTHING) continue
    const t = 3 * triangle[pixel]
    const a = field[triangles[t]]
    seen[n++] = a + b1[pixel] * (field[triangles[t + 1]] - a) + b2[pixel] * (field[triangles[t + 2]] - a)
  }
  return seen.subarray(0, n)
}

function valuesOf(luminance: Float32Array): { from: number; to: number; histogram: number[] } {
  const values = luminance.map(lStarOfLuminance).sort()
  const histogram = new Array<number>(HISTOGRAM_BINS).fill(0)
  for (const l of values) {
    const bin = Math.floor((l * HISTOGRAM_BINS) / 100)
    histogram[Math.max(0, Math.min(HISTOGRAM_BINS - 1, bin))] += 1 / values.length
  }
  return { from: percentile(values, 0.05), to: percentile(values, 0.95), histogram }
}

/** Between the two nearest places of the sorted list. */
export function percentile(sorted: Float32Array, share: number): number {
  const place = share * (sorted.length - 1)
  const below = Math.floor(place)
  const above = Math.min(below + 1, sorted.length - 1)
  return sorted[below] + (place - below) * (sorted[above] - sorted[below])
}

function share(field: Float32Array, holds: (x: number) => boolean): number {
  let n = 0
  for (const x of field) if (holds(x)) n++
  return n / field.length
}

function mean(field: Float32Array): number {
  let sum = 0
  for (const x of field) sum += x
  return sum / field.length
}
