import type { Point, Solid } from './signed-distance.ts'

/** Indexed triangles, mm, counter-clockwise seen from outside. */
export interface Surface {
  readonly positions: Float64Array
  readonly triangles: Uint32Array
}

export interface ExtractOptions {
  /** Edge of the sampling grid, mm. Sheets must be at least twice as thick. */
  readonly cell: number
  /** Box that holds the solid, mm. */
  readonly low: Point
  readonly high: Point
  /** Greatest slope of the solid's function; blocks are skipped on the strength of it. Infinity: skip nothing. */
  readonly steepest?: number
  /** Rounds of evening out vertices along the surface. */
  readonly relax?: number
}

/** Corners of the six tetrahedra around the main diagonal of a cube (Kuhn 1960): neighbours share whole faces, so the surface closes. */
const TETRAHEDRA = [
  [0, 1, 3, 7],
  [0, 5, 1, 7],
  [0, 3, 2, 7],
  [0, 2, 6, 7],
  [0, 4, 5, 7],
  [0, 6, 4, 7],
] as const

/**
 * Zero surface of a solid: marching tetrahedra over the blocks that can hold it, then vertices pulled onto the surface.
 *
 * @returns a closed surface in which every edge has exactly two triangles: tetrahedra have no ambiguous case
 *   (Doi & Koide 1991). Vertices lie on the surface to about cell / 100 where it is smooth.
 * @throws when the solid reaches the box.
 * @remarks Cost: one sample per grid point near the surface, and 6 · (relax + 1) a vertex for pulling and evening out.
 */
export function extractSurface(solid: Solid, options: ExtractOptions): Surface {
  const { cell, low, steepest = 1.1, relax = 2 } = options
  const count = [0, 1, 2].map(a => Math.ceil((options.high[a] - low[a]) / cell) + 1)
  const [nx, ny, nz] = count
  const stepY = nx
  const stepZ = nx * ny
  const samples = new Float32Array(nx * ny * nz).fill(Number.NaN)
  const at = (i: number, j: number, k: number) => {
    const index = i + stepY * j + stepZ * k
    let d = samples[index]
    if (Number.isNaN(d)) {
      d = solid(low[0] + i * cell, low[1] + j * cell, low[2] + k * cell)
      // An exact zero would put several vertices on one spot.
      if (Math.abs(d) < 1e-5) d = 1e-5
      samples[index] = d
      if (d < 0 && (i === 0 || j === 0 || k === 0 || i === nx - 1 || j === ny - 1 || k === nz - 1)) {
        throw new Error(`the solid leaves its box at ${i}, ${j}, ${k} of ${count}`)
      }
    }
    return d
  }

  const positions: number[] = []
  const triangles: number[] = []
  const vertexOfEdge = new Map<number, number>()
  const offsets = [0, 1, 2, 3, 4, 5, 6, 7].map(c => (c & 1) + stepY * ((c >> 1) & 1) + stepZ * (c >> 2))

  const vertexBetween = (cube: number, a: number, b: number): number => {
    const [from, to] = a < b ? [a, b] : [b, a]
    // In Kuhn's cut every edge leads upwards along a set of axes: the lower end and that set name it.
    const key = (cube + offsets[from]) * 8 + (to ^ from)
    const known = vertexOfEdge.get(key)
    if (known !== undefined) return known
    const da = samples[cube + offsets[from]]
    const db = samples[cube + offsets[to]]
    const t = Math.min(0.97, Math.max(0.03, da / (da - db)))
    const i = cube % nx
    const j = Math.floor(cube / stepY) % ny
    const k = Math.floor(cube / stepZ)
    const blendAxis = (base: number, bit: number) => base + mixBit(from, to, bit, t)
    positions.push(low[0] + cell * blendAxis(i, 0), low[1] + cell * blendAxis(j, 1), low[2] + cell * blendAxis(k, 2))
    const vertex = positions.length / 3 - 1
    vertexOfEdge.set(key, vertex)
    return vertex
  }

  const corner = new Float64Array(8)
  const march = (i: number, j: number, k: number) => {
    let inside = 0
    for (let c = 0; c < 8; c++) {
      corner[c] = at(i + (c & 1), j + ((c >> 1) & 1), k + (c >> 2))
      if (corner[c] < 0) inside++
    }
    if (inside === 0 || inside === 8) return
    const cube = i + stepY * j + stepZ * k
    for (const tetrahedron of TETRAHEDRA) {
      const ins = tetrahedron.filter(c => corner[c] < 0)
      const outs = tetrahedron.filter(c => corner[c] >= 0)
      if (ins.length === 0 || outs.length === 0) continue
      // Orientation: an even permutation of the tetrahedron's corners keeps its handedness.
      const even = isEven([...ins, ...outs], tetrahedron)
      const v = (a: number, b: number) => vertexBetween(cube, a, b)
      const emit = (p: number, q: number, r: number) => (even ? triangles.push(p, q, r) : triangles.push(p, r, q))
      if (ins.length === 1) {
        emit(v(ins[0], outs[0]), v(ins[0], outs[1]), v(ins[0], outs[2]))
      } else if (ins.length === 3) {
        emit(v(ins[0], outs[0]), v(ins[1], outs[0]), v(ins[2], outs[0]))
      } else {
        const p = v(ins[0], outs[0])
        const q = v(ins[0], outs[1])
        const r = v(ins[1], outs[1])
        const s = v(ins[1], outs[0])
        emit(p, q, r)
        emit(p, r, s)
      }
    }
  }

  const visit = (i: number, j: number, k: number, size: number) => {
    if (i >= nx - 1 || j >= ny - 1 || k >= nz - 1) return
    if (size <= 4) {
      const iEnd = Math.min(i + size, nx - 1)
      const jEnd = Math.min(j + size, ny - 1)
      const kEnd = Math.min(k + size, nz - 1)
      if (!mayHold(i, j, k, size)) return
      for (let c = k; c < kEnd; c++) for (let b = j; b < jEnd; b++) for (let a = i; a < iEnd; a++) march(a, b, c)
      return
    }
    if (!mayHold(i, j, k, size)) return
    const half = size / 2
    for (let c = 0; c < 8; c++) visit(i + half * (c & 1), j + half * ((c >> 1) & 1), k + half * (c >> 2), half)
  }
  const mayHold = (i: number, j: number, k: number, size: number) => {
    const half = (size / 2) * cell
    const d = solid(low[0] + i * cell + half, low[1] + j * cell + half, low[2] + k * cell + half)
    return Math.abs(d) <= half * Math.sqrt(3) * steepest * 1.001
  }
  const ROOT = 32
  for (let k = 0; k < nz - 1; k += ROOT)
    for (let j = 0; j < ny - 1; j += ROOT) for (let i = 0; i < nx - 1; i += ROOT) visit(i, j, k, ROOT)

  const surface = { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) }
  pullOntoSurface(solid, surface.positions, cell)
  for (let round = 0; round < relax; round++) {
    evenOut(surface, 0.5)
    pullOntoSurface(solid, surface.positions, cell)
  }
  return surface
}

const mixBit = (from: number, to: number, bit: number, t: number) => {
  const a = (from >> bit) & 1
  return a + t * (((to >> bit) & 1) - a)
}

function isEven(order: readonly number[], of: readonly number[]): boolean {
  const p = order.map(c => of.indexOf(c))
  let swaps = 0
  for (let a = 0; a < p.length; a++) for (let b = a + 1; b < p.length; b++) if (p[a] > p[b]) swaps++
  return swaps % 2 === 0
}

/**
 * One step along the gradient to where the solid's function is 0, at most 0.4 cells far.
 * Value and gradient are taken over half a cell: a crease finer than the grid becomes a small fillet instead of a saw.
 */
function pullOntoSurface(solid: Solid, p: Float64Array, cell: number): void {
  const h = cell * 0.5
  for (let i = 0; i < p.length; i += 3) {
    const x = p[i]
    const y = p[i + 1]
    const z = p[i + 2]
    const x0 = solid(x - h, y, z)
    const x1 = solid(x + h, y, z)
    const y0 = solid(x, y - h, z)
    const y1 = solid(x, y + h, z)
    const z0 = solid(x, y, z - h)
    const z1 = solid(x, y, z + h)
    const d = (x0 + x1 + y0 + y1 + z0 + z1) / 6
    const gx = (x1 - x0) / (2 * h)
    const gy = (y1 - y0) / (2 * h)
    const gz = (z1 - z0) / (2 * h)
    const g2 = gx * gx + gy * gy + gz * gz
    if (g2 < 0.01) continue
    const limit = (0.4 * cell) / Math.sqrt(g2)
    const step = Math.max(-limit, Math.min(limit, d / g2))
    p[i] = x - step * gx
    p[i + 1] = y - step * gy
    p[i + 2] = z - step * gz
  }
}

/** Moves every vertex `share` of the way to the mean of its neighbours, within the tangent plane. */
function evenOut({ positions: p, triangles: t }: Surface, share: number): void {
  const sum = new Float64Array(p.length)
  const normal = new Float64Array(p.length)
  const degree = new Float64Array(p.length / 3)
  for (let i = 0; i < t.length; i += 3) {
    const [a, b, c] = [3 * t[i], 3 * t[i + 1], 3 * t[i + 2]]
    const ux = p[b] - p[a]
    const uy = p[b + 1] - p[a + 1]
    const uz = p[b + 2] - p[a + 2]
    const vx = p[c] - p[a]
    const vy = p[c + 1] - p[a + 1]
    const vz = p[c + 2] - p[a + 2]
    const n = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx]
    const ring = [a, b, c]
    for (let s = 0; s < 3; s++) {
      const from = ring[s]
      const to = ring[(s + 1) % 3]
      degree[from / 3]++
      for (let q = 0; q < 3; q++) {
        sum[from + q] += p[to + q]
        normal[from + q] += n[q]
      }
    }
  }
  for (let v = 0; v < degree.length; v++) {
    const i = 3 * v
    const l = Math.hypot(normal[i], normal[i + 1], normal[i + 2])
    if (degree[v] === 0 || l === 0) continue
    const n = [normal[i] / l, normal[i + 1] / l, normal[i + 2] / l]
    const m = [0, 1, 2].map(q => share * (sum[i + q] / degree[v] - p[i + q]))
    const along = m[0] * n[0] + m[1] * n[1] + m[2] * n[2]
    for (let q = 0; q < 3; q++) p[i + q] += m[q] - along * n[q]
  }
}
