import type { Figure } from '../mesh/figure.ts'
import { vertexAreas } from '../mesh/vertex-areas.ts'
import { weldVertices } from '../mesh/weld-vertices.ts'

/** Widths of the Gaussians in units of 0.3 % of the box's diagonal; each is held against one twice as wide. From memory. */
const SCALES = [2, 3, 4, 5, 6]
const UNIT_SHARE = 0.003
/** Cells of the grids in those units: a Gaussian is taken on the one whose cells are at most as wide as it, and half as wide at least. */
const CELLS = [2, 4, 8]

/**
 * How much a place stands out from what is around it: V numbers ≥ 0, 1 on average over the surface.
 *
 * Source: Lee, Varshney & Jacobs, "Mesh saliency", SIGGRAPH 2005: Σ over five scales of |G(H, σ) − G(H, 2σ)|, G the
 * Gaussian-weighted mean of mean curvature. Two liberties: G is taken on grids whose cells hold ∫H dA and ∫dA, so that
 * tessellation does not count and time does not grow with σ; and each scale is brought to a mean of 1, where the paper
 * weighs scales with few peaks more.
 */
export function saliencyOf(figure: Figure): Float32Array {
  const { positions, triangles, parts, box } = figure
  const welded = weldVertices(positions, triangles, parts)
  const bending = curvatureIntegrals(welded)
  const surface = vertexAreas(welded)
  const unitMm = UNIT_SHARE * Math.hypot(box[3] - box[0], box[4] - box[1], box[5] - box[2])
  const means = new Map<number, Float32Array>()
  for (const cell of CELLS) {
    const grid = createGrid(box, cell * unitMm)
    const sums = grid.spread(welded.positions, bending, surface)
    let sigmaCells = GRID_SIGMA
    for (const scale of WIDTHS.filter(s => s >= cell && s < 2 * cell)) {
      grid.blur(sums, Math.sqrt((scale / cell) ** 2 - sigmaCells ** 2))
      sigmaCells = scale / cell
      means.set(scale, grid.ratioAt(positions, sums))
    }
  }
  const areas = vertexAreas(figure)
  const totalMm2 = areas.reduce((sum, a) => sum + a, 0)
  const saliency = new Float32Array(areas.length)
  for (const scale of SCALES) {
    const narrow = means.get(scale)!
    const wide = means.get(2 * scale)!
    let sum = 0
    for (let v = 0; v < areas.length; v++) sum += areas[v] * Math.abs(narrow[v] - wide[v])
    if (!(sum > 0)) continue
    const scaled = totalMm2 / sum / SCALES.length
    for (let v = 0; v < areas.length; v++) saliency[v] += scaled * Math.abs(narrow[v] - wide[v])
  }
  return saliency
}

const WIDTHS = [...new Set(SCALES.flatMap(s => [s, 2 * s]))].sort((a, b) => a - b)

/** Spreading to corners and reading between them blurs by √(1/6 + 1/6) of a cell. */
const GRID_SIGMA = Math.sqrt(1 / 3)

/**
 * ∫H dA around each vertex of a joined surface, mm, positive where it bulges: half the length of
 * ½ Σ (cot α + cot β)(xᵢ − xⱼ). Source: Meyer, Desbrun, Schröder & Barr, "Discrete Differential-Geometry Operators",
 * 2003. Open edges count as if the surface ended in a fold there.
 */
export function curvatureIntegrals({ positions: p, triangles }: Pick<Figure, 'positions' | 'triangles'>): Float32Array {
  const vertices = p.length / 3
  const vectors = new Float32Array(3 * vertices)
  const outward = new Float32Array(3 * vertices)
  for (let t = 0; t < triangles.length; t += 3) {
    for (let k = 0; k < 3; k++) {
      const apex = 3 * triangles[t + k]
      const i = 3 * triangles[t + ((k + 1) % 3)]
      const j = 3 * triangles[t + ((k + 2) % 3)]
      const ux = p[i] - p[apex]
      const uy = p[i + 1] - p[apex + 1]
      const uz = p[i + 2] - p[apex + 2]
      const vx = p[j] - p[apex]
      const vy = p[j + 1] - p[apex + 1]
      const vz = p[j + 2] - p[apex + 2]
      const nx = uy * vz - uz * vy
      const ny = uz * vx - ux * vz
      const nz = ux * vy - uy * vx
      outward[apex] += nx
      outward[apex + 1] += ny
      outward[apex + 2] += nz
      const doubled = Math.sqrt(nx * nx + ny * ny + nz * nz)
      if (!(doubled > 0)) continue
      const half = (ux * vx + uy * vy + uz * vz) / doubled / 2
      for (let c = 0; c < 3; c++) {
        const along = half * (p[i + c] - p[j + c])
        vectors[i + c] += along
        vectors[j + c] -= along
      }
    }
  }
  const integrals = new Float32Array(vertices)
  for (let v = 0; v < vertices; v++) {
    const i = 3 * v
    const length = Math.sqrt(vectors[i] ** 2 + vectors[i + 1] ** 2 + vectors[i + 2] ** 2)
    const out = vectors[i] * outward[i] + vectors[i + 1] * outward[i + 1] + vectors[i + 2] * outward[i + 2]
    integrals[v] = (Math.sign(out) * length) / 2
  }
  return integrals
}

/** Cubes over a box, one corner of room around it; each holds two sums side by side. */
function createGrid(box: Figure['box'], cellMm: number) {
  const sizes = [0, 1, 2].map(k => Math.ceil((box[k + 3] - box[k]) / cellMm) + 3)
  const [nx, ny, nz] = sizes
  const strides = [2, 2 * nx, 2 * nx * ny]

  const cells = new Uint32Array(8)
  const weights = new Float32Array(8)

  /** Finds the eight corners around a point and their trilinear weights. */
  const locate = (p: Float32Array, v: number): void => {
    const x = (p[3 * v] - box[0]) / cellMm + 1
    const y = (p[3 * v + 1] - box[1]) / cellMm + 1
    const z = (p[3 * v + 2] - box[2]) / cellMm + 1
    const [i, j, k] = [Math.floor(x), Math.floor(y), Math.floor(z)]
    const first = i + j * nx + k * nx * ny
    for (let corner = 0; corner < 8; corner++) {
      const right = corner & 1
      const up = (corner >> 1) & 1
      const near = corner >> 2
      cells[corner] = 2 * (first + right + up * nx + near * nx * ny)
      weights[corner] = Math.abs(1 - right - x + i) * Math.abs(1 - up - y + j) * Math.abs(1 - near - z + k)
    }
  }

  return {
    spread(positions: Float32Array, first: ArrayLike<number>, second: ArrayLike<number>): Float32Array {
      const sums = new Float32Array(2 * nx * ny * nz)
      for (let v = 0; v < first.length; v++) {
        locate(positions, v)
        for (let c = 0; c < 8; c++) {
          sums[cells[c]] += weights[c] * first[v]
          sums[cells[c] + 1] += weights[c] * second[v]
        }
      }
      return sums
    },

    /** In place, by a Gaussian of σ cells; nothing lies outside. */
    blur(sums: Float32Array, sigma: number): void {
      const reach = Math.ceil(3 * sigma)
      const taps = Float32Array.from({ length: reach + 1 }, (_, k) => Math.exp(-(k * k) / (2 * sigma * sigma)))
      const sum = taps.reduce((s, w, k) => s + (k === 0 ? w : 2 * w), 0)
      const from = new Float32Array(sums.length)
      for (let axis = 0; axis < 3; axis++) {
        from.set(sums)
        sums.fill(0)
        const n = sizes[axis]
        const stride = strides[axis]
        // Most of the box is empty: whole runs along x, or single cells where the blur itself runs along x, are passed over.
        const run = axis === 0 ? 2 : 2 * nx
        for (let start = 0; start < sums.length; start += run) {
          if (isEmpty(from, start, run)) continue
          const place = Math.floor(start / stride) % n
          for (let k = -Math.min(reach, place); k <= Math.min(reach, n - 1 - place); k++) {
            const weight = taps[Math.abs(k)] / sum
            const shift = k * stride
            for (let i = start; i < start + run; i++) sums[i + shift] += weight * from[i]
          }
        }
      }
    },

    /** First over second. */
    ratioAt(positions: Float32Array, sums: Float32Array): Float32Array {
      const ratios = new Float32Array(positions.length / 3)
      for (let v = 0; v < ratios.length; v++) {
        locate(positions, v)
        let first = 0
        let second = 0
        for (let c = 0; c < 8; c++) {
          first += weights[c] * sums[cells[c]]
          second += weights[c] * sums[cells[c] + 1]
        }
        ratios[v] = second > 0 ? first / second : 0
      }
      return ratios
    },
  }
}

function isEmpty(cells: Float32Array, start: number, count: number): boolean {
  for (let i = start; i < start + count; i++) if (cells[i] !== 0) return false
  return true
}
