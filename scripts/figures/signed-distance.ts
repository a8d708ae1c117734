/**
 * Solids as signed distances: negative inside, positive outside, mm.
 *
 * Every function here is a lower bound of the true distance up to the factor stated beside it, so that
 * extract-surface.ts may skip blocks of space. Shapes with an odd metric (scaled, waved) carry that factor themselves.
 *
 * Distance formulas of the plain solids: common practice (Hart 1996, "Sphere tracing"), derived again here.
 */
export type Solid = (x: number, y: number, z: number) => number
export type Point = readonly [number, number, number]
export type Point2 = readonly [number, number]

export const clamp = (v: number, low: number, high: number) => Math.min(high, Math.max(low, v))
export const mix = (a: number, b: number, t: number) => a + (b - a) * t

/** 0 below `from`, 1 above `to`, with level ends. `from` may exceed `to`: the ramp then falls. */
export function ramp(from: number, to: number, v: number): number {
  const t = clamp((v - from) / (to - from), 0, 1)
  return t * t * (3 - 2 * t)
}

// ── solids ───────────────────────────────────────────────────────────────────────────────────────────────────────────

export function sphere([cx, cy, cz]: Point, radius: number): Solid {
  return (x, y, z) => Math.sqrt((x - cx) ** 2 + (y - cy) ** 2 + (z - cz) ** 2) - radius
}

/** First-order distance: exact at the surface, never more than the true one by over 10 % for the ratios used here. */
export function ellipsoid([cx, cy, cz]: Point, [rx, ry, rz]: Point): Solid {
  const least = Math.min(rx, ry, rz)
  return (x, y, z) => {
    const u = (x - cx) / rx
    const v = (y - cy) / ry
    const w = (z - cz) / rz
    const k = Math.sqrt(u * u + v * v + w * w)
    if (k < 1e-6) return -least
    const slope = Math.sqrt((u / rx) ** 2 + (v / ry) ** 2 + (w / rz) ** 2)
    return Math.min((k * (k - 1)) / slope, k > 1 ? Number.POSITIVE_INFINITY : (k - 1) * least * 0.5)
  }
}

/** Box of the given half sizes whose edges are rounded by `round`, inside its bounds. */
export function box([cx, cy, cz]: Point, [hx, hy, hz]: Point, round = 0): Solid {
  const ax = hx - round
  const ay = hy - round
  const az = hz - round
  return (x, y, z) => {
    const qx = Math.abs(x - cx) - ax
    const qy = Math.abs(y - cy) - ay
    const qz = Math.abs(z - cz) - az
    const ox = Math.max(qx, 0)
    const oy = Math.max(qy, 0)
    const oz = Math.max(qz, 0)
    return Math.sqrt(ox * ox + oy * oy + oz * oz) + Math.min(Math.max(qx, qy, qz), 0) - round
  }
}

export function capsule(a: Point, b: Point, radius: number): Solid {
  return taperedCapsule(a, b, radius, radius)
}

/** A ball that moves from `a` to `b` while its radius changes from `ra` to `rb`; distance to the swept cone, first order. */
export function taperedCapsule(a: Point, b: Point, ra: number, rb: number): Solid {
  const [ax, ay, az] = a
  const dx = b[0] - ax
  const dy = b[1] - ay
  const dz = b[2] - az
  const l2 = dx * dx + dy * dy + dz * dz
  const slope = (rb - ra) / Math.sqrt(l2)
  const shrink = 1 / Math.sqrt(1 + slope * slope)
  return (x, y, z) => {
    const px = x - ax
    const py = y - ay
    const pz = z - az
    const t = clamp((px * dx + py * dy + pz * dz) / l2, 0, 1)
    const ex = px - t * dx
    const ey = py - t * dy
    const ez = pz - t * dz
    return (Math.sqrt(ex * ex + ey * ey + ez * ez) - (ra + (rb - ra) * t)) * shrink
  }
}

/** Ring around the y axis. */
export function ring([cx, cy, cz]: Point, radius: number, thickness: number): Solid {
  return (x, y, z) => {
    const r = Math.sqrt((x - cx) ** 2 + (z - cz) ** 2) - radius
    return Math.sqrt(r * r + (y - cy) ** 2) - thickness
  }
}

/** Corners cut twice over (Chaikin 1974): a smooth run from the first point to the last. */
export function smoothRun(points: readonly Point2[], rounds = 3): Point2[] {
  let run = [...points]
  for (let r = 0; r < rounds; r++) {
    const next: Point2[] = [run[0]]
    for (let i = 1; i < run.length; i++) {
      const [a, b] = [run[i - 1], run[i]]
      next.push([mix(a[0], b[0], 0.25), mix(a[1], b[1], 0.25)], [mix(a[0], b[0], 0.75), mix(a[1], b[1], 0.75)])
    }
    next.push(run[run.length - 1])
    run = next
  }
  return run
}

/** Upright cylinder of half height `half`. */
export function drum([cx, cy, cz]: Point, radius: number, half: number, round = 0): Solid {
  return (x, y, z) => {
    const r = Math.sqrt((x - cx) ** 2 + (z - cz) ** 2) - radius + round
    const h = Math.abs(y - cy) - half + round
    const or = Math.max(r, 0)
    const oh = Math.max(h, 0)
    return Math.sqrt(or * or + oh * oh) + Math.min(Math.max(r, h), 0) - round
  }
}

/** All points where n · p < offset; `n` need not be unit. */
export function halfSpace([nx, ny, nz]: Point, offset: number): Solid {
  const l = Math.hypot(nx, ny, nz)
  return (x, y, z) => (nx * x + ny * y + nz * z - offset) / l
}

/** Points from a flat list: first and second coordinate in turn. */
export function points(numbers: readonly number[]): Point2[] {
  return Array.from({ length: numbers.length / 2 }, (_, i) => [numbers[2 * i], numbers[2 * i + 1]])
}

/** Signed distance to a simple closed polygon, negative inside; exact. */
export function polygon(corners: readonly Point2[]): (u: number, v: number) => number {
  const n = corners.length
  const xs = corners.map(c => c[0])
  const ys = corners.map(c => c[1])
  return (u, v) => {
    let best = Number.POSITIVE_INFINITY
    let inside = false
    for (let i = 0, j = n - 1; i < n; j = i++) {
      const ex = xs[j] - xs[i]
      const ey = ys[j] - ys[i]
      const wx = u - xs[i]
      const wy = v - ys[i]
      const t = clamp((wx * ex + wy * ey) / (ex * ex + ey * ey), 0, 1)
      const dx = wx - ex * t
      const dy = wy - ey * t
      const d = dx * dx + dy * dy
      if (d < best) best = d
      if (ys[i] > v !== ys[j] > v && u < (ex * wy) / ey + xs[i]) inside = !inside
    }
    return inside ? -Math.sqrt(best) : Math.sqrt(best)
  }
}

/** A polygon in (radius, y) turned around the y axis, its edges rounded outwards by `round`. */
export function turned(profile: readonly Point2[], round = 0): Solid {
  const outline = polygon(profile)
  return (x, y, z) => outline(Math.sqrt(x * x + z * z), y) - round
}

/** A polygon in (x, y) given thickness along z; its edges rounded outwards by `round`. */
export function plate(corners: readonly Point2[], halfThickness: number, round = 0): Solid {
  const outline = polygon(corners)
  return (x, y, z) => {
    const a = outline(x, y)
    const b = Math.abs(z) - halfThickness
    const oa = Math.max(a, 0)
    const ob = Math.max(b, 0)
    return Math.sqrt(oa * oa + ob * ob) + Math.min(Math.max(a, b), 0) - round
  }
}

// ── joining ──────────────────────────────────────────────────────────────────────────────────────────────────────────

export function union(...solids: readonly Solid[]): Solid {
  return (x, y, z) => {
    let d = solids[0](x, y, z)
    for (let i = 1; i < solids.length; i++) {
      const e = solids[i](x, y, z)
      if (e < d) d = e
    }
    return d
  }
}

const blendMin = (a: number, b: number, k: number) => {
  const h = Math.max(k - Math.abs(a - b), 0) / k
  return Math.min(a, b) - h * h * k * 0.25
}

/** Union whose seams are filled with a fillet of about `k`. */
export function blend(k: number, ...solids: readonly Solid[]): Solid {
  return (x, y, z) => {
    let d = solids[0](x, y, z)
    for (let i = 1; i < solids.length; i++) d = blendMin(d, solids[i](x, y, z), k)
    return d
  }
}

/** What all have in common; edges rounded by about `k`. */
export function common(k: number, ...solids: readonly Solid[]): Solid {
  return (x, y, z) => {
    let d = -solids[0](x, y, z)
    for (let i = 1; i < solids.length; i++) {
      const e = -solids[i](x, y, z)
      d = k > 0 ? blendMin(d, e, k) : Math.min(d, e)
    }
    return -d
  }
}

/** `from` without the `cuts`; edges rounded by about `k`. */
export function cut(k: number, from: Solid, ...cuts: readonly Solid[]): Solid {
  return (x, y, z) => {
    let d = -from(x, y, z)
    for (let i = 0; i < cuts.length; i++) {
      const e = cuts[i](x, y, z)
      d = k > 0 ? blendMin(d, e, k) : Math.min(d, e)
    }
    return -d
  }
}

/** The skin of a solid: `thickness` thick, inwards from its surface. */
export function skin(solid: Solid, thickness: number): Solid {
  return (x, y, z) => Math.abs(solid(x, y, z) + thickness / 2) - thickness / 2
}

export function swollen(solid: Solid, by: number): Solid {
  return (x, y, z) => solid(x, y, z) - by
}

/** Surface moved outwards by `height(x, y, z)`; `steepness` is the greatest slope of that height. */
export function raised(solid: Solid, steepness: number, height: Solid): Solid {
  const k = 1 / (1 + steepness)
  return (x, y, z) => {
    const d = solid(x, y, z)
    // Far from the surface the relief does not matter, and it is the costly half.
    return d > 2.5 ? (d - 1) * k : (d - height(x, y, z)) * k
  }
}

/** A line pressed into the surface where `where` is near 0: Gaussian furrow of half width `width`. */
export function furrow(solid: Solid, where: Solid, width: number, depth: number): Solid {
  return raised(solid, (0.86 * depth) / width, (x, y, z) => {
    const s = where(x, y, z) / width
    return s > 3 || s < -3 ? 0 : -depth * Math.exp(-s * s)
  })
}

/** Height of overlapping plates along `s`: rises by `height` over each `pitch`, then drops over a quarter of it. */
export function lames(s: number, pitch: number, height: number): number {
  const t = s / pitch - Math.floor(s / pitch)
  return height * (t < 0.75 ? t / 0.75 : 1 - ramp(0.75, 1, t))
}

// ── placing ──────────────────────────────────────────────────────────────────────────────────────────────────────────

/** A place to model in: where the local origin is, and the local axes, orthonormal. */
export interface Frame {
  readonly at: Point
  readonly x: Point
  readonly y: Point
  readonly z: Point
}

const cross = (a: Point, b: Point): Point => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
]
const unit = (a: Point): Point => {
  const l = Math.hypot(a[0], a[1], a[2])
  return [a[0] / l, a[1] / l, a[2] / l]
}

/** Local y along `up`, local z as near to `front` as that allows. */
export function frame(at: Point, up: Point, front: Point): Frame {
  const y = unit(up)
  const x = unit(cross(y, front))
  return { at, x, y, z: cross(x, y) }
}

/** Local y from `a` towards `b`, origin at `a`. */
export function frameAlong(a: Point, b: Point, front: Point): Frame {
  return frame(a, [b[0] - a[0], b[1] - a[1], b[2] - a[2]], front)
}

/** Turned about y by `yaw` (positive: towards +x), then leaned sideways by `roll` (positive: head towards +x) and forwards by `pitch`; degrees. */
export function frameTurned(at: Point, yaw: number, roll = 0, pitch = 0): Frame {
  const r = Math.PI / 180
  const front: Point = [Math.sin(yaw * r), 0, Math.cos(yaw * r)]
  const side: Point = [Math.cos(yaw * r), 0, -Math.sin(yaw * r)]
  const a = Math.tan(roll * r)
  const b = Math.tan(pitch * r)
  return frame(at, [side[0] * a + front[0] * b, 1, side[2] * a + front[2] * b], front)
}

export function place(solid: Solid, { at, x: ex, y: ey, z: ez }: Frame): Solid {
  const [ax, ay, az] = at
  const [xx, xy, xz] = ex
  const [yx, yy, yz] = ey
  const [zx, zy, zz] = ez
  return (x, y, z) => {
    const u = x - ax
    const v = y - ay
    const w = z - az
    return solid(u * xx + v * xy + w * xz, u * yx + v * yy + w * yz, u * zx + v * zy + w * zz)
  }
}

/** Where a local point of the frame stands. */
export function fromFrame({ at, x, y, z }: Frame, [u, v, w]: Point): Point {
  return [
    at[0] + u * x[0] + v * y[0] + w * z[0],
    at[1] + u * x[1] + v * y[1] + w * z[1],
    at[2] + u * x[2] + v * y[2] + w * z[2],
  ]
}

/** Stretched along the axes; distances shrink to the least factor. */
export function stretched(solid: Solid, [sx, sy, sz]: Point): Solid {
  const least = Math.min(sx, sy, sz)
  return (x, y, z) => solid(x / sx, y / sy, z / sz) * least
}

/** The same on both sides of x = 0; model the side x > 0. */
export function mirrored(solid: Solid): Solid {
  return (x, y, z) => solid(Math.abs(x), y, z)
}

/**
 * Spares the cost of `solid` far away: beyond 1 mm outside the ball that holds it, the distance to the ball answers.
 * Blends with a fillet of up to 1 mm do not notice.
 */
export function within(solid: Solid, [cx, cy, cz]: Point, radius: number): Solid {
  return (x, y, z) => {
    const d = Math.sqrt((x - cx) ** 2 + (y - cy) ** 2 + (z - cz) ** 2) - radius
    return d > 1 ? d : solid(x, y, z)
  }
}

/** A number in 0…1 from two integers, the same on every machine. */
export function hash(i: number, j: number): number {
  let h = (Math.imul(i, 374761393) + Math.imul(j, 668265263)) | 0
  h = Math.imul(h ^ (h >>> 13), 1274126177)
  return ((h ^ (h >>> 16)) >>> 0) / 4294967296
}
