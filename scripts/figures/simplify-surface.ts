import type { Surface } from './extract-surface.ts'

export interface SimplifyOptions {
  /** Root mean square distance, mm, that a vertex may have from the planes of the triangles it stands for. */
  readonly toleranceMm: number
  /** No edge grows longer than this, mm: fields live on vertices, so level ground needs some too. */
  readonly longestEdgeMm: number
}

/** Symmetric 4×4 form of squared plane distance: xx xy xz xw yy yz yw zz zw ww, then the area it stands for. */
const TERMS = 11

/**
 * Fewer triangles by collapsing edges, cheapest first, as long as the tolerance holds.
 *
 * @returns a closed 2-manifold wherever the surface given is one: an edge collapses only if its ends have exactly two
 *   neighbours in common (the link condition, Dey et al. 1999), no triangle turns over and none becomes a needle.
 * @remarks Cost: about 10 µs a triangle. Source of the error measure: Garland & Heckbert 1997.
 */
export function simplifySurface(surface: Surface, { toleranceMm, longestEdgeMm }: SimplifyOptions): Surface {
  const p = Float64Array.from(surface.positions)
  const t = Uint32Array.from(surface.triangles)
  const vertices = p.length / 3
  const facesOf: number[][] = Array.from({ length: vertices }, () => [])
  for (let i = 0; i < t.length; i++) facesOf[t[i]].push((i / 3) | 0)
  const alive = new Uint8Array(t.length / 3).fill(1)
  const quadrics = new Float64Array(vertices * TERMS)
  for (let f = 0; f < alive.length; f++) addPlane(quadrics, p, t, f)

  const stamp = new Uint32Array(vertices)
  const queue = new EdgeQueue()
  const target = new Float64Array(3)
  const price = (a: number, b: number) => placeAndPrice(quadrics, p, a, b, target)
  const limit = toleranceMm * toleranceMm
  const offer = (a: number, b: number) => {
    const cost = price(a, b)
    if (cost <= limit) queue.push(cost, a, b, stamp[a], stamp[b])
  }
  for (let i = 0; i < t.length; i += 3) {
    for (let k = 0; k < 3; k++) {
      const a = t[i + k]
      const b = t[i + ((k + 1) % 3)]
      if (a < b) offer(a, b)
    }
  }

  const seen = new Uint32Array(vertices)
  let mark = 0
  const neighbours = (v: number, visit: (n: number) => void) => {
    for (const f of facesOf[v]) for (let k = 0; k < 3; k++) if (t[3 * f + k] !== v) visit(t[3 * f + k])
  }
  const inCommon = (a: number, b: number) => {
    mark += 2
    neighbours(a, n => {
      seen[n] = mark
    })
    let count = 0
    neighbours(b, n => {
      if (seen[n] === mark) {
        seen[n] = mark + 1
        count++
      }
    })
    return count
  }
  /** Would the triangles around `v`, save those that hold `other`, survive `v` moving to `target`? */
  const survives = (v: number, other: number) => {
    for (const f of facesOf[v]) {
      const [a, b, c] = [t[3 * f], t[3 * f + 1], t[3 * f + 2]]
      if (a === other || b === other || c === other) continue
      const [q, r] = a === v ? [b, c] : b === v ? [c, a] : [a, b]
      if (!staysWell(p, v, q, r, target, longestEdgeMm)) return false
    }
    return true
  }

  for (let edge = queue.pop(); edge; edge = queue.pop()) {
    const { a, b } = edge
    if (stamp[a] !== edge.stampA || stamp[b] !== edge.stampB) continue
    price(a, b)
    if (inCommon(a, b) !== 2 || !survives(a, b) || !survives(b, a)) continue
    p.set(target, 3 * a)
    for (let q = 0; q < TERMS; q++) quadrics[a * TERMS + q] += quadrics[b * TERMS + q]
    for (const f of facesOf[b]) {
      const at = 3 * f
      if (t[at] === a || t[at + 1] === a || t[at + 2] === a) {
        alive[f] = 0
        for (let k = 0; k < 3; k++) {
          const v = t[at + k]
          if (v !== b) facesOf[v] = facesOf[v].filter(g => g !== f)
        }
      } else {
        for (let k = 0; k < 3; k++) if (t[at + k] === b) t[at + k] = a
        facesOf[a].push(f)
      }
    }
    facesOf[b] = []
    stamp[b] = 0xffffffff
    stamp[a]++
    mark += 2
    neighbours(a, n => {
      if (seen[n] === mark) return
      seen[n] = mark
      offer(Math.min(a, n), Math.max(a, n))
    })
  }
  return compacted(
    p,
    t.filter((_, i) => alive[(i / 3) | 0] === 1),
  )
}

/** The connected piece of greatest volume: bubbles between blended solids and specks beside them go. */
export function greatestPiece({ positions: p, triangles: t }: Surface): Surface {
  const parent = Int32Array.from({ length: p.length / 3 }, (_, i) => i)
  const root = (v: number) => {
    while (parent[v] !== v) {
      parent[v] = parent[parent[v]]
      v = parent[v]
    }
    return v
  }
  for (let i = 0; i < t.length; i += 3) {
    parent[root(t[i + 1])] = root(t[i])
    parent[root(t[i + 2])] = root(t[i])
  }
  const volume = new Map<number, number>()
  for (let i = 0; i < t.length; i += 3) {
    const [a, b, c] = [3 * t[i], 3 * t[i + 1], 3 * t[i + 2]]
    const v =
      p[a] * (p[b + 1] * p[c + 2] - p[b + 2] * p[c + 1]) +
      p[a + 1] * (p[b + 2] * p[c] - p[b] * p[c + 2]) +
      p[a + 2] * (p[b] * p[c + 1] - p[b + 1] * p[c])
    const r = root(t[i])
    volume.set(r, (volume.get(r) ?? 0) + v)
  }
  const [greatest] = [...volume].reduce((m, e) => (e[1] > m[1] ? e : m))
  return compacted(
    p,
    t.filter((_, i) => root(t[i - (i % 3)]) === greatest),
  )
}

/** Only the vertices that triangles use, in the order in which they first appear. */
function compacted(p: Float64Array, t: Uint32Array): Surface {
  const renamed = new Map<number, number>()
  const positions: number[] = []
  const triangles = t.map(v => {
    let n = renamed.get(v)
    if (n === undefined) {
      n = renamed.size
      renamed.set(v, n)
      positions.push(p[3 * v], p[3 * v + 1], p[3 * v + 2])
    }
    return n
  })
  return { positions: Float64Array.from(positions), triangles }
}

function addPlane(quadrics: Float64Array, p: Float64Array, t: Uint32Array, f: number): void {
  const [a, b, c] = [3 * t[3 * f], 3 * t[3 * f + 1], 3 * t[3 * f + 2]]
  const ux = p[b] - p[a]
  const uy = p[b + 1] - p[a + 1]
  const uz = p[b + 2] - p[a + 2]
  const vx = p[c] - p[a]
  const vy = p[c + 1] - p[a + 1]
  const vz = p[c + 2] - p[a + 2]
  let x = uy * vz - uz * vy
  let y = uz * vx - ux * vz
  let z = ux * vy - uy * vx
  const l = Math.sqrt(x * x + y * y + z * z)
  if (l < 1e-12) return
  x /= l
  y /= l
  z /= l
  const w = -(x * p[a] + y * p[a + 1] + z * p[a + 2])
  const area = l / 2
  const terms = [x * x, x * y, x * z, x * w, y * y, y * z, y * w, z * z, z * w, w * w, 1]
  for (let k = 0; k < 3; k++) {
    const at = t[3 * f + k] * TERMS
    for (let q = 0; q < TERMS; q++) quadrics[at + q] += area * terms[q]
  }
}

/**
 * Where the merged vertex costs least, into `out`, and what it costs: mean squared plane distance, mm².
 * A weak pull to the middle of the edge settles what flat and straight places leave open.
 */
function placeAndPrice(quadrics: Float64Array, p: Float64Array, a: number, b: number, out: Float64Array): number {
  const q = new Float64Array(TERMS)
  for (let i = 0; i < TERMS; i++) q[i] = quadrics[a * TERMS + i] + quadrics[b * TERMS + i]
  const mx = (p[3 * a] + p[3 * b]) / 2
  const my = (p[3 * a + 1] + p[3 * b + 1]) / 2
  const mz = (p[3 * a + 2] + p[3 * b + 2]) / 2
  const pull = 2e-3 * q[10]
  const xx = q[0] + pull
  const yy = q[4] + pull
  const zz = q[7] + pull
  const rx = pull * mx - q[3]
  const ry = pull * my - q[6]
  const rz = pull * mz - q[8]
  const [xy, xz, yz] = [q[1], q[2], q[5]]
  const c0 = yy * zz - yz * yz
  const c1 = xz * yz - xy * zz
  const c2 = xy * yz - xz * yy
  const det = xx * c0 + xy * c1 + xz * c2
  const x = (c0 * rx + c1 * ry + c2 * rz) / det
  const y = (c1 * rx + (xx * zz - xz * xz) * ry + (xy * xz - xx * yz) * rz) / det
  const z = (c2 * rx + (xy * xz - xx * yz) * ry + (xx * yy - xy * xy) * rz) / det
  out[0] = x
  out[1] = y
  out[2] = z
  const cost =
    q[0] * x * x +
    q[4] * y * y +
    q[7] * z * z +
    2 * (xy * x * y + xz * x * z + yz * y * z + q[3] * x + q[6] * y + q[8] * z) +
    q[9]
  const length2 = (p[3 * a] - p[3 * b]) ** 2 + (p[3 * a + 1] - p[3 * b + 1]) ** 2 + (p[3 * a + 2] - p[3 * b + 2]) ** 2
  // Short edges first where nothing else decides, so that triangles stay even.
  return Math.max(cost, 0) / q[10] + 1e-6 * length2
}

function staysWell(p: Float64Array, v: number, q: number, r: number, to: Float64Array, longest: number): boolean {
  const normal = (x: number, y: number, z: number) => {
    const ux = p[3 * q] - x
    const uy = p[3 * q + 1] - y
    const uz = p[3 * q + 2] - z
    const wx = p[3 * r] - x
    const wy = p[3 * r + 1] - y
    const wz = p[3 * r + 2] - z
    return [
      uy * wz - uz * wy,
      uz * wx - ux * wz,
      ux * wy - uy * wx,
      ux * ux + uy * uy + uz * uz,
      wx * wx + wy * wy + wz * wz,
    ]
  }
  const before = normal(p[3 * v], p[3 * v + 1], p[3 * v + 2])
  const after = normal(to[0], to[1], to[2])
  if (after[3] > longest * longest || after[4] > longest * longest) return false
  const lb = Math.hypot(before[0], before[1], before[2])
  const la = Math.hypot(after[0], after[1], after[2])
  const across = (p[3 * q] - p[3 * r]) ** 2 + (p[3 * q + 1] - p[3 * r + 1]) ** 2 + (p[3 * q + 2] - p[3 * r + 2]) ** 2
  const shape = la / (after[3] + after[4] + across)
  const shapeBefore = lb / (before[3] + before[4] + across)
  // 0.29 is the shape of an even triangle; below 0.05 the height is about a tenth of the base.
  if (shape < 0.05 && shape < shapeBefore) return false
  return before[0] * after[0] + before[1] * after[1] + before[2] * after[2] > 0.5 * la * lb
}

interface QueuedEdge {
  readonly cost: number
  readonly a: number
  readonly b: number
  readonly stampA: number
  readonly stampB: number
}

/** Binary heap, cheapest edge first. */
class EdgeQueue {
  private readonly heap: QueuedEdge[] = []

  push(cost: number, a: number, b: number, stampA: number, stampB: number): void {
    const heap = this.heap
    const edge = { cost, a, b, stampA, stampB }
    let i = heap.length
    heap.push(edge)
    while (i > 0) {
      const up = (i - 1) >> 1
      if (heap[up].cost <= cost) break
      heap[i] = heap[up]
      i = up
    }
    heap[i] = edge
  }

  pop(): QueuedEdge | undefined {
    const heap = this.heap
    const top = heap[0]
    const last = heap.pop()
    if (!last || heap.length === 0) return top
    let i = 0
    for (;;) {
      let child = 2 * i + 1
      if (child >= heap.length) break
      if (child + 1 < heap.length && heap[child + 1].cost < heap[child].cost) child++
      if (heap[child].cost >= last.cost) break
      heap[i] = heap[child]
      i = child
    }
    heap[i] = last
    return top
  }
}
