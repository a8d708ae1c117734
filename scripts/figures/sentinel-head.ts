import { HEAD, LEFT, RIGHT } from './sentinel-pose.ts'
import {
  blend,
  box,
  capsule,
  common,
  cut,
  ellipsoid,
  type Frame,
  frame,
  furrow,
  halfSpace,
  mirrored,
  type Point,
  place,
  points,
  polygon,
  raised,
  ramp,
  type Solid,
  skin,
  smoothRun,
  sphere,
  stretched,
  swollen,
  turned,
  union,
} from './signed-distance.ts'

// ── head: a plain face in a mail hood, seen when the helmet is off. Local origin at the ears' height, z to the face ──

const face = mirrored(
  blend(
    0.35,
    ellipsoid([0, 0.1, 0.1], [1.2, 1.6, 1.35]),
    ellipsoid([0, -0.85, 0.55], [0.8, 0.75, 0.8]),
    // brow, cheek, nose, lips, chin
    capsule([0, 0.42, 1.38], [0.62, 0.4, 1.12], 0.17),
    sphere([0.58, -0.22, 1.0], 0.3),
    capsule([0, 0.3, 1.4], [0, -0.28, 1.64], 0.12),
    sphere([0.12, -0.34, 1.54], 0.11),
    capsule([0, -0.68, 1.42], [0.25, -0.7, 1.3], 0.1),
    sphere([0, -1.12, 1.2], 0.28),
  ),
)
const eyes = mirrored(ellipsoid([0.42, 0.17, 1.42], [0.26, 0.14, 0.3]))
const hood = cut(
  0.2,
  blend(
    0.8,
    ellipsoid([0, 0.25, -0.15], [1.52, 1.85, 1.62]),
    // mail falls from the chin over the neck
    stretched(turned(points([0, 0.2, 1.35, 0.2, 1.45, -1.4, 1.8, -2.35, 1.8, -2.7, 0, -2.75]), 0.1), [1, 1, 0.95]),
  ),
  ellipsoid([0, -0.15, 1.7], [1.02, 1.22, 1.0]),
)
/** Rings of mail as a fine quilted relief. */
const mail = (solid: Solid, size: number, height: number) =>
  raised(solid, (2.2 * height) / size, (x, y, z) => {
    const around = Math.atan2(x, z) * 1.6
    return height * Math.sin((around / size) * 3) * Math.sin((y / size) * 3)
  })
export const head: Solid = place(
  union(cut(0.12, face, eyes), mirrored(sphere([0.42, 0.15, 1.06], 0.2)), mail(hood, 0.3, 0.045)),
  HEAD,
)

// ── helmet: keeled visor, deep eye slit, fin from brow to nape ───────────────────────────────────────────────────────

const bowl = blend(
  0.25,
  ellipsoid([0, 0.55, -0.1], [1.85, 2.05, 2.1]),
  stretched(turned(points([0, 0.6, 1.86, 0.6, 1.8, -0.6, 1.72, -1.3, 1.9, -1.9, 0, -1.9]), 0.05), [0.98, 1, 1.1]),
)
/** Tail over the nape, as on a sallet. */
const tail = common(
  0.15,
  stretched(
    turned(points([1.2, -0.6, 1.85, -0.7, 2.1, -1.6, 2.75, -2.35, 2.65, -2.55, 1.2, -2.3]), 0.08),
    [0.9, 1, 1.12],
  ),
  halfSpace([0, 0, 1], -0.7),
)
/** Visor: a prow of two cheeks that meet in a keel. */
const prow: Solid = (x, y, z) => {
  const side = Math.sqrt(x * x + 0.02)
  // Widest reach at the mouth, drawn in towards brow and chin.
  const reach = 2.75 - 0.2 * (y + 0.55) ** 2
  return (z + 0.75 * side - reach) * 0.7
}
const visor = common(
  0.22,
  prow,
  ellipsoid([0, -0.3, 0.2], [1.98, 2.45, 3.2]),
  box([0, -0.65, 1.2], [2.2, 1.5, 2.4], 0.1),
)
const slit = union(
  box([0, 0.33, 2.2], [1.5, 0.15, 1.35], 0.05),
  mirrored(box([0.95, 0.36, 1.6], [0.55, 0.18, 1.4], 0.06)),
)
/** Three upright slots in each cheek, as deep as they are measured along the visor. */
const breaths: Solid = (x, y, z) => {
  const slot = (at: number, drop: number) =>
    Math.hypot(Math.max(0, Math.abs(y + 1.0 - drop) - 0.36), Math.abs(x) - at) - 0.1
  const across = Math.min(slot(0.38, 0), slot(0.76, 0.06), slot(1.14, 0.12))
  return Math.max(across, -prow(x, y, z) - 0.38, -z)
}
const browBand = common(0.08, swollen(bowl, 0.16), box([0, 0.78, 0], [3, 0.2, 3], 0.05))
const rivets = mirrored(
  union(
    ...[20, 48, 76, 104, 132, 160].map(degrees => {
      const a = (degrees * Math.PI) / 180
      return sphere([2.06 * Math.sin(a), 0.78, 2.3 * Math.cos(a) - 0.1], 0.16)
    }),
  ),
)
const pivots = mirrored(
  place(turned(points([0, 0, 0.5, 0, 0.5, 0.2, 0.34, 0.24, 0.3, 0.16, 0.18, 0.16, 0.12, 0.3, 0, 0.32]), 0.03), {
    at: [1.78, 0.1, -0.15],
    x: [0, 0, 1],
    y: [1, 0, 0],
    z: [0, 1, 0],
  }),
)
/** Outline of the fin: x to the back, y up, in the helmet's middle plane. */
const finArea = polygon([
  ...smoothRun(
    points([-1.75, 1.0, -2.05, 1.7, -1.75, 2.9, -0.5, 3.75, 0.9, 3.85, 2.3, 3.2, 3.15, 1.9, 3.3, 0.6, 2.75, -0.5]),
  ),
  [1.9, 0.3],
  [1.3, 1.4],
  [0, 2.0],
  [-1.2, 1.6],
])
const fin: Solid = (x, y, z) => {
  const d = finArea(-z, y)
  // A rolled edge around a field of flutes.
  const inner = ramp(-0.28, -0.42, d)
  const flutes = 0.075 * Math.cos(Math.atan2(y - 0.4, -z - 0.5) * 22) * inner
  return common(
    0.12,
    () => (Math.abs(x) - 0.33 + 0.13 * inner - flutes) * 0.75,
    () => d - 0.04,
  )(x, y, z)
}
const collar = stretched(turned(points([0, -1.7, 1.75, -1.7, 2.0, -2.25, 1.85, -2.45, 0, -2.3]), 0.08), [0.95, 1, 1.05])
export const helmet: Solid = place(
  blend(
    0.06,
    cut(0.06, blend(0.1, bowl, visor), slit, breaths),
    browBand,
    rivets,
    tail,
    pivots,
    fin,
    common(0.1, collar, halfSpace([0, 0, -1], 0.6)),
  ),
  HEAD,
)

// ── shoulder plates: a ridged dome with a rolled rim over two narrower plates ────────────────────────────────────────

function shoulderPlate(at: Frame, size: number, guard: boolean): Solid {
  const dome = ellipsoid([0, -0.2, 0], [2.35 * size, 2.15 * size, 2.55 * size])
  const above = (y: number, slope = 0): Solid => halfSpace([slope, -1, 0], -y)
  const shellOf = (solid: Solid, thickness: number, y: number) => common(0.12, skin(solid, thickness), above(y, 0.22))
  const rim: Solid = (x, y, z) => {
    const a = dome(x, y, z) - 0.04
    const b = (y + 0.62 - 0.22 * x) / 1.024
    return Math.sqrt(a * a + b * b) - 0.2
  }
  const cap = furrow(shellOf(dome, 0.6, -0.6), (x, y) => (y - 0.22 * x + 0.12) * 0.95, 0.09, 0.1)
  const ridge = common(0.1, skin(swollen(dome, 0.2), 0.5), box([0, 1, 0], [3, 1.6, 0.22], 0.05))
  const lame = (drop: number, shrink: number): Solid =>
    common(
      0.1,
      skin(ellipsoid([0.1, -0.2 - drop, 0], [2.35 * size - shrink, 1.9 * size, 2.45 * size - shrink]), 0.5),
      above(-0.75 - drop, 0.22),
      halfSpace([-0.22, 1, 0], 0.3 - drop),
    )
  const lameRim = (drop: number, shrink: number): Solid => {
    const e = ellipsoid([0.1, -0.2 - drop, 0], [2.35 * size - shrink, 1.9 * size, 2.45 * size - shrink])
    return (x, y, z) => {
      const a = e(x, y, z) + 0.06
      const b = (y + 0.74 + drop - 0.22 * x) / 1.024
      return Math.sqrt(a * a + b * b) - 0.13
    }
  }
  // The neck's side stays open, so that the head can turn.
  const notNeck: Solid = halfSpace([-1, 0.15, 0], guard ? 1.85 : 1.6)
  const studs: Solid[] = [-62, -30, 0, 30, 62].map(a => {
    const r = (a * Math.PI) / 180
    const e: Point = [
      2.38 * size * Math.cos(r) * 0.995,
      0.12 + 0.22 * 2.3 * size * Math.cos(r),
      2.58 * size * Math.sin(r) * 0.995,
    ]
    return sphere(e, 0.17)
  })
  const layers = [cap, rim, ridge, lame(0.75, 0.22), lameRim(0.75, 0.22), lame(1.5, 0.42), lameRim(1.5, 0.42), ...studs]
  const plates = blend(0.06, ...layers)
  // Guard for the neck: an upright plate, bowed, with a rolled edge.
  const guardOutline = polygon(
    smoothRun(points([-2.1, -0.2, -2.15, 1.2, -1.5, 2.7, 0, 3.2, 1.5, 2.7, 2.15, 1.2, 2.1, -0.2])),
  )
  const standing: Solid = (x, y, z) => {
    const d = guardOutline(z, y)
    const w = x + 1.15 + 0.16 * z * z - 0.12 * y
    return common(
      0.14,
      () => (Math.abs(w) - 0.2 - 0.13 * ramp(-0.42, -0.25, d)) * 0.75,
      () => d * 0.85,
    )(x, y, z)
  }
  return place(common(0.15, guard ? blend(0.2, plates, standing) : plates, notNeck), at)
}

/** Local x points outwards, y up along the slope of the shoulder. */
const shoulderFrame = (at: Point, out: Point, up: Point): Frame => {
  const f = frame(at, up, [0, 0, 1])
  const d = out[0] * f.x[0] + out[1] * f.x[1] + out[2] * f.x[2]
  return d > 0 ? f : { at, x: [-f.x[0], -f.x[1], -f.x[2]], y: f.y, z: [f.z[0], f.z[1], f.z[2]] }
}
const lift = (p: Point, out: number): Point => [p[0] + out, p[1] + 0.25, p[2]]
export const leftShoulderPlate: Solid = shoulderPlate(
  shoulderFrame(lift(LEFT.shoulder, 0.35), [1, 0, 0], [0.32, 1, 0.02]),
  0.98,
  false,
)
export const rightShoulderPlate: Solid = shoulderPlate(
  shoulderFrame(lift(RIGHT.shoulder, -0.4), [-1, 0, 0], [-0.3, 1, 0.04]),
  1.06,
  true,
)
