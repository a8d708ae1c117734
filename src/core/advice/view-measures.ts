import type { Figure } from '../mesh/figure.ts'
import { vertexAreas } from '../mesh/vertex-areas.ts'
import { type BakeKernel, createBakeKernel, createDepthKernel } from '../spray/bake-exposure.ts'
import { type DepthKernel, EMPTY_DEPTH } from '../spray/depth-kernel.ts'
import { directionFrom } from '../vec3.ts'
import type { Direction } from './dome.ts'

/** What can be measured of the bare look of a figure from afar (parallel lines of sight), all parts on. */
export interface ViewMeasures {
  /** Share of the whole surface that is seen, 0…1. */
  readonly visibleShare: number
  /** Seen surface, square to the line of sight, mm². */
  readonly projectedMm2: number
  /** Length of the outline, holes included, mm. */
  readonly silhouetteMm: number
  /** Share of the figure's saliency that is seen, 0…1; null where it is not known yet. */
  readonly saliencyShare: number | null
  /** How unevenly the surface is shown, bits: 0 if every place were seen in proportion to its area. */
  readonly klBits: number
  /** 95th minus 5th percentile of L* of the pre-shade over what is seen; null without a pre-shade. */
  readonly valueRange: number | null
}

/** What a scan weighs the surface by. */
export interface ScanFields {
  /** V, see `saliencyOf`; null: not known yet. */
  readonly saliency: Float32Array | null
  /** V, L* of the pre-shade; null without one. */
  readonly preshadeLStar: Float32Array | null
}

/** Pixels along the longer side: silhouettes come within 1 % of those at 1024. */
export const SCAN_PIXELS = 256
/** While the dome is still coarse. */
export const COARSE_SCAN_PIXELS = 128
/** Bins an L*. */
const BINS_A_STEP = 4
const BINS = 100 * BINS_A_STEP + 1

export interface ViewMeter {
  measure(from: Direction, pixels?: number): ViewMeasures
}

/**
 * Measures views of one figure. Visibility is that of the bake, vertex by vertex: with p = projected share and q = share
 * of area, KL = Σ p log₂(p/q) does not change when a triangle is cut in pieces.
 * Source of KL: Sbert, Plemenos, Feixas & González, "Viewpoint quality", 2005.
 */
export function createViewMeter(
  figure: Figure,
  fields: ScanFields,
  depth: DepthKernel = createDepthKernel(figure),
  bake: BakeKernel = createBakeKernel(figure, depth),
): ViewMeter {
  const { normals } = figure
  const areas = vertexAreas(figure)
  const { saliency, preshadeLStar } = fields
  const values = preshadeLStar && Uint16Array.from(preshadeLStar, l => BINS_A_STEP * Math.max(0, Math.min(100, l)))
  const histogram = new Float64Array(BINS)
  let totalMm2 = 0
  let totalSaliency = 0
  for (let v = 0; v < areas.length; v++) {
    totalMm2 += areas[v]
    if (saliency) totalSaliency += areas[v] * saliency[v]
  }

  return {
    measure({ azimuthDegrees, elevationDegrees }, pixels = SCAN_PIXELS) {
      const toward = directionFrom(azimuthDegrees, elevationDegrees)
      const [tx, ty, tz] = toward
      const exposure = bake.bake({}, [{ kind: 'parallel', toward, weight: 1 }], { bufferSize: pixels })
      let seenMm2 = 0
      let projectedMm2 = 0
      let seenSaliency = 0
      let logs = 0
      histogram.fill(0)
      for (let v = 0; v < exposure.length; v++) {
        // cos γ · visibility
        const slanted = exposure[v]
        if (!(slanted > 0)) continue
        const i = 3 * v
        const cosine = normals[i] * tx + normals[i + 1] * ty + normals[i + 2] * tz
        const seen = areas[v] * Math.min(1, slanted / cosine)
        const projected = areas[v] * slanted
        seenMm2 += seen
        if (saliency) seenSaliency += seen * saliency[v]
        projectedMm2 += projected
        logs += projected * Math.log(slanted)
        if (values) histogram[values[v]] += projected
      }
      return {
        visibleShare: seenMm2 / totalMm2,
        projectedMm2,
        silhouetteMm: outlineMm(depth),
        saliencyShare: saliency && share(seenSaliency, totalSaliency, seenMm2 / totalMm2),
        klBits:
          projectedMm2 > 0
            ? logs / Math.LN2 / projectedMm2 + Math.log2(totalMm2 / projectedMm2)
            : Number.POSITIVE_INFINITY,
        valueRange: values && projectedMm2 > 0 ? valueRange(histogram, projectedMm2) : null,
      }
    },
  }
}

/** A surface without any detail shows as much of it as of itself. */
const share = (part: number, whole: number, otherwise: number): number => (whole > 0 ? part / whole : otherwise)

function valueRange(histogram: Float64Array, total: number): number {
  const at = (share: number) => {
    let below = 0
    for (let bin = 0; bin < BINS; bin++) {
      const next = below + histogram[bin]
      if (next >= share * total) return (bin + (share * total - below) / histogram[bin]) / BINS_A_STEP
      below = next
    }
    return 100
  }
  return at(0.95) - at(0.05)
}

/** Deeper than anything drawn, nearer than nothing. */
const DRAWN = EMPTY_DEPTH / 2

/** Steps between pixels whose lines are laid over the picture, with the angle each stands for: half way to its neighbours. */
const LINES = [
  [1, 0],
  [2, 1],
  [1, 1],
  [1, 2],
  [0, 1],
  [-1, 2],
  [-1, 1],
  [-2, 1],
].map(([x, y], i, all) => {
  const angle = ([x, y]: readonly number[]) => Math.atan2(y, x)
  const before = i === 0 ? angle(all[all.length - 1]) - Math.PI : angle(all[i - 1])
  const after = i === all.length - 1 ? angle(all[0]) + Math.PI : angle(all[i + 1])
  return { x, y, weight: (after - before) / 2 / Math.hypot(x, y) }
})

/**
 * Length of the border between figure and background in the picture drawn last, mm: Cauchy-Crofton, half of the integral
 * over all lines of how often each crosses it. Eight directions of lines: within 2 % for a straight edge, better for
 * anything that turns.
 */
function outlineMm({ picture }: DepthKernel): number {
  const { depth, width, height, pixel } = picture()
  let sum = 0
  for (const { x, y, weight } of LINES) {
    const step = y * width + x
    let crossings = 0
    // The picture's rim of two pixels is always empty, so no border is missed.
    for (let row = 0; row < height - y; row++) {
      const from = row * width
      for (let i = from + Math.max(0, -x), end = from + width - Math.max(0, x); i < end; i++) {
        if (depth[i] > DRAWN !== depth[i + step] > DRAWN) crossings++
      }
    }
    sum += weight * crossings
  }
  return (pixel * sum) / 2
}
