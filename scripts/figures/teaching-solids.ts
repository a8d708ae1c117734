import type { Surface } from './extract-surface.ts'

/** Plain solids, 32 mm high, standing on y = 0: what light and spray do on them can be worked out by hand. */
const HEIGHT = 32
const RADIUS = 16

type Corner = readonly [number, number, number]

/** Vertices are shared by position, so that a closed grid of rings closes exactly. */
class Builder {
  private readonly positions: number[] = []
  private readonly triangles: number[] = []
  private readonly known = new Map<string, number>()

  /** Corners counter-clockwise seen from outside; where two coincide, the triangle between them is left out. */
  face(...corners: readonly Corner[]): void {
    const ids = corners.map(c => this.vertex(c))
    for (let i = 2; i < ids.length; i++) {
      const [a, b, c] = [ids[0], ids[i - 1], ids[i]]
      if (a !== b && b !== c && c !== a) this.triangles.push(a, b, c)
    }
  }

  surface(): Surface {
    return { positions: Float64Array.from(this.positions), triangles: Uint32Array.from(this.triangles) }
  }

  private vertex(corner: Corner): number {
    const key = corner.map(v => Math.round(v * 1e6) + 0).join()
    const known = this.known.get(key)
    if (known !== undefined) return known
    this.positions.push(...corner)
    const id = this.positions.length / 3 - 1
    this.known.set(key, id)
    return id
  }
}

/** Longest edge on curved solids, mm. */
const EDGE = 0.58

/**
 * A profile of (radius, y) from bottom to top, turned around y. Points must be at most EDGE / √2 apart.
 * Each ring has as many corners as its own length needs, a multiple of four, so that tips are not crowded with needles.
 */
function turn(profile: readonly (readonly [number, number])[]): Surface {
  const builder = new Builder()
  // Cells have diagonals: √2 of the step must stay within the edge length.
  const corners = (r: number) => (r < 1e-9 ? 1 : 4 * Math.ceil((2 * Math.PI * r * Math.SQRT2) / EDGE / 4))
  const at = ([r, y]: readonly [number, number], s: number): Corner => {
    const n = corners(r)
    const a = (2 * Math.PI * (s % n)) / n
    return [r * Math.sin(a), y, r * Math.cos(a)]
  }
  for (let i = 1; i < profile.length; i++) {
    const [low, high] = [profile[i - 1], profile[i]]
    const [nLow, nHigh] = [corners(low[0]), corners(high[0])]
    // Zip the two rings: always move on along the one that lags behind.
    for (let a = 0, b = 0; a < nLow || b < nHigh; ) {
      if (b === nHigh || (a < nLow && (a + 1) / nLow <= (b + 1) / nHigh)) {
        builder.face(at(low, a), at(low, a + 1), at(high, b))
        a++
      } else {
        builder.face(at(low, a), at(high, b + 1), at(high, b))
        b++
      }
    }
  }
  return builder.surface()
}

function line(from: readonly [number, number], to: readonly [number, number]): [number, number][] {
  const n = Math.ceil((Math.hypot(to[0] - from[0], to[1] - from[1]) * Math.SQRT2) / EDGE)
  return Array.from({ length: n + 1 }, (_, i) => [
    from[0] + ((to[0] - from[0]) * i) / n,
    from[1] + ((to[1] - from[1]) * i) / n,
  ])
}

/** An icosahedron whose faces are cut into `CUTS` rows of triangles and blown up to the ball: even everywhere. */
export function sphere(): Surface {
  const CUTS = 36
  const g = (1 + Math.sqrt(5)) / 2
  const builder = new Builder()
  const point = (a: Corner, b: Corner, c: Corner, i: number, j: number): Corner => {
    const [u, v, w] = [0, 1, 2].map(q => a[q] * (CUTS - i - j) + b[q] * i + c[q] * j)
    const k = RADIUS / Math.hypot(u, v, w)
    return [u * k, v * k + RADIUS, w * k]
  }
  const triangle = (a: Corner, b: Corner, c: Corner) => {
    for (let i = 0; i < CUTS; i++) {
      for (let j = 0; i + j < CUTS; j++) {
        const at = (p: number, q: number) => point(a, b, c, i + p, j + q)
        builder.face(at(0, 0), at(1, 0), at(0, 1))
        if (i + j < CUTS - 1) builder.face(at(1, 0), at(1, 1), at(0, 1))
      }
    }
  }
  // A corner of a face in each octant; the others straddle the coordinate planes. Mirroring turns the winding over.
  for (const x of [1, -1]) {
    for (const y of [1, -1]) {
      for (const z of [1, -1]) {
        const wound = (a: Corner, b: Corner, c: Corner) => (x * y * z > 0 ? triangle(a, b, c) : triangle(a, c, b))
        const p: Corner = [0, y, z * g]
        const q: Corner = [x, y * g, 0]
        const r: Corner = [x * g, 0, z]
        wound(p, r, q)
        if (x > 0) wound(p, q, [-1, y * g, 0])
        if (y > 0) wound(p, [0, -1, z * g], r)
        if (z > 0) wound(q, r, [x * g, 0, -1])
      }
    }
  }
  return builder.surface()
}

export function cylinder(): Surface {
  const radius = 10
  return turn([
    ...line([0, 0], [radius, 0]),
    ...line([radius, 0], [radius, HEIGHT]).slice(1),
    ...line([radius, HEIGHT], [0, HEIGHT]).slice(1),
  ])
}

export function cone(): Surface {
  const radius = 12
  return turn([...line([0, 0], [radius, 0]), ...line([radius, 0], [0, HEIGHT]).slice(1)])
}

/** Blocks of the given size side by side, stacked where `filled` says so; faces only where a block has no neighbour. */
function blocks(
  count: readonly [number, number, number],
  size: readonly [number, number, number],
  filled: (i: number, j: number, k: number) => boolean,
): Surface {
  const builder = new Builder()
  const solid = (i: number, j: number, k: number) =>
    i >= 0 && j >= 0 && k >= 0 && i < count[0] && j < count[1] && k < count[2] && filled(i, j, k)
  const corner = (i: number, j: number, k: number) =>
    [(i - count[0] / 2) * size[0], j * size[1], (k - count[2] / 2) * size[2]] as const
  for (let k = 0; k < count[2]; k++) {
    for (let j = 0; j < count[1]; j++) {
      for (let i = 0; i < count[0]; i++) {
        if (!solid(i, j, k)) continue
        const c = (x: number, y: number, z: number) => corner(i + x, j + y, k + z)
        if (!solid(i + 1, j, k)) builder.face(c(1, 0, 1), c(1, 0, 0), c(1, 1, 0), c(1, 1, 1))
        if (!solid(i - 1, j, k)) builder.face(c(0, 0, 0), c(0, 0, 1), c(0, 1, 1), c(0, 1, 0))
        if (!solid(i, j + 1, k)) builder.face(c(0, 1, 1), c(1, 1, 1), c(1, 1, 0), c(0, 1, 0))
        if (!solid(i, j - 1, k)) builder.face(c(0, 0, 0), c(1, 0, 0), c(1, 0, 1), c(0, 0, 1))
        if (!solid(i, j, k + 1)) builder.face(c(0, 0, 1), c(1, 0, 1), c(1, 1, 1), c(0, 1, 1))
        if (!solid(i, j, k - 1)) builder.face(c(1, 0, 0), c(0, 0, 0), c(0, 1, 0), c(1, 1, 0))
      }
    }
  }
  return builder.surface()
}

export function cube(): Surface {
  return blocks([1, 1, 1], [HEIGHT, HEIGHT, HEIGHT], () => true)
}

/** Four steps that fall towards the front: level and upright faces in turn, with inner corners between them. */
export function steppedBlock(): Surface {
  return blocks([3, 4, 4], [8, HEIGHT / 4, 8], (_i, j, k) => j + k < 4)
}
