import { XYZ_WEIGHTS } from '../colour/band-weights.ts'
import { BANDS } from '../colour/bands.ts'
import { TABLE_NODES, TABLE_ROW } from '../film/mist-table.ts'
import { SURFACE } from '../film/saunderson.ts'
import type { PaintedLayer } from './stack-colours.ts'

/**
 * Width of the spot that one droplet leaves, mm: 20 µm drops that spread twofold. Grain is stated for places of this size:
 * there the number of droplets is Poisson's, with as many on average as droplets lie on one another.
 */
export const SPOT_MM = 0.04

/** Wavelengths that stand for those around them, each with its share of luminance. */
const PARTS = [
  { band: 4, weight: luminanceOfBands(0, 6) },
  { band: 7, weight: luminanceOfBands(6, 9) },
  { band: 9, weight: luminanceOfBands(9, 11) },
  { band: 11, weight: luminanceOfBands(11, BANDS) },
]

function luminanceOfBands(from: number, to: number): number {
  return XYZ_WEIGHTS[1].slice(from, to).reduce((sum, w) => sum + w, 0)
}

/**
 * How unevenly mists cover places of SPOT_MM: standard deviation of seen luminance over its mean, V floats. Spreads are carried
 * through the stack: of X on average in droplets of h, √X varies by √h/2 whatever X is, and √X is the scale of the tables'
 * nodes; each film above passes on what its slope lets through.
 *
 * @returns null where no mist lies
 * @remarks Error: first order, four bands: within 0.025 of what every count of droplets gives, in one coat and two (tested).
 * Counts of different coats are independent.
 */
export function grainOf(
  { base, layers }: { readonly base: ArrayLike<number>; readonly layers: readonly PaintedLayer[] },
  vertices: number,
): Float32Array | null {
  if (!layers.some(({ dropletUm }) => dropletUm > 0)) return null
  const mean = new Float32Array(vertices)
  const grain = new Float32Array(vertices)
  const internal = new Float32Array(vertices)
  const variance = new Float32Array(vertices)
  for (const { band, weight } of PARTS) {
    internal.fill(base[band])
    variance.fill(0)
    for (const layer of layers) putOn(layer, band, internal, variance)
    const inner = (1 - SURFACE.k1) * (1 - SURFACE.k2)
    for (let v = 0; v < vertices; v++) {
      const bottom = 1 - SURFACE.k2 * internal[v]
      mean[v] += weight * (SURFACE.k1 + (inner * internal[v]) / bottom)
      grain[v] += (weight * Math.sqrt(variance[v]) * inner) / (bottom * bottom)
    }
  }
  for (let v = 0; v < vertices; v++) grain[v] /= mean[v]
  return grain
}

/** One layer over internal reflectances and their variances, in place. */
function putOn(
  { table: { values, nodesPerRootUm }, depositUm, dropletUm }: PaintedLayer,
  band: number,
  internal: Float32Array,
  variance: Float32Array,
): void {
  // Rows lie far apart: the three columns that are needed, side by side.
  const rows = new Float64Array(3 * TABLE_NODES)
  for (let node = 0; node < TABLE_NODES; node++)
    for (let k = 0; k < 3; k++) rows[3 * node + k] = values[node * TABLE_ROW + k * BANDS + band]
  const varianceOfScale = (nodesPerRootUm * nodesPerRootUm * dropletUm) / 4
  for (let v = 0; v < depositUm.length; v++) {
    if (!(depositUm[v] > 0)) continue
    const place = Math.sqrt(depositUm[v]) * nodesPerRootUm
    const node = Math.min(Math.floor(place), TABLE_NODES - 2)
    const t = Math.min(1, place - node)
    const at = 3 * node
    const under = internal[v]
    const low = (rows[at] + rows[at + 1] * under) / (1 - rows[at + 2] * under)
    const high = (rows[at + 3] + rows[at + 4] * under) / (1 - rows[at + 5] * under)
    const a = rows[at] + t * (rows[at + 3] - rows[at])
    const m = rows[at + 1] + t * (rows[at + 4] - rows[at + 1])
    const c = rows[at + 2] + t * (rows[at + 5] - rows[at + 2])
    const bottom = 1 - c * under
    const passes = (m + c * a) / (bottom * bottom)
    variance[v] = variance[v] * passes * passes + (high - low) * (high - low) * varianceOfScale
    internal[v] = (a + m * under) / bottom
  }
}
