import { CHEST, HEAD, LEFT, RIGHT } from './sentinel-pose.ts'
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
  plate,
  raised,
  ramp,
  type Solid,
  skin,
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
    capsule([0, 0.3, 1.42], [0, -0.3, 1.7], 0.15),
    sphere([0.13, -0.34, 1.6], 0.13),
    capsule([0, -0.68, 1.42], [0.25, -0.7, 1.3], 0.1),
    sphere([0, -1.12, 1.2], 0.28),
  ),
)
const eyes = mirrored(ellipsoid([0.42, 0.16, 1.42], [0.27, 0.15, 0.25]))
const hood = cut(
  0.2,
  blend(
    0.8,
    ellipsoid([0, 0.25, -0.15], [1.52, 1.85, 1.62]),
    // mail falls from the chin over the neck
    stretched(
      turned(
        [
          [0, 0.2],
          [1.35, 0.2],
          [1.45, -1.4],
          [2.3, -2.6],
          [2.3, -3],
          [0, -3],
        ],
        0.1,
      ),
      [1, 1, 0.9],
    ),
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
  union(cut(0.12, face, eyes), mirrored(sphere([0.42, 0.15, 1.12], 0.17)), mail(hood, 0.3, 0.045)),
  HEAD,
)

// ── helmet: keeled visor, deep eye slit, fin from brow to nape ───────────────────────────────────────────────────────

const bowl = blend(
  0.25,
  ellipsoid([0, 0.55, -0.1], [1.85, 2.05, 2.1]),
  stretched(
    turned(
      [
        [0, 0.6],
        [1.86, 0.6],
        [1.8, -0.6],
        [1.72, -1.3],
        [1.9, -1.9],
        [0, -1.9],
      ],
      0.05,
    ),
    [0.98, 1, 1.1],
  ),
)
/** Tail over the nape, as on a sallet. */
const tail = common(
  0.15,
  stretched(
    turned(
      [
        [1.2, -0.6],
        [1.85, -0.7],
        [2.1, -1.6],
        [2.75, -2.35],
        [2.65, -2.55],
        [1.2, -2.3],
      ],
      0.08,
    ),
    [0.9, 1, 1.12],
  ),
  halfSpace([0, 0, 1], 0.2),
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
const breaths = mirrored(
  union(
    capsule([0.36, -0.62, 1.5], [0.36, -1.32, 1.5], 0.1),
    capsule([0.7, -0.56, 1.3], [0.7, -1.3, 1.3], 0.1),
    capsule([1.04, -0.5, 1.0], [1.04, -1.24, 1.0], 0.1),
  ),
)
const breathsDeep: Solid = (x, y, z) => Math.max(breaths(x, y, Math.min(z, 1.3)), 0.9 - z)
const browBand = common(0.08, swollen(bowl, 0.16), box([0, 0.78, 0], [3, 0.2, 3], 0.05))
const pivots = mirrored(
  place(
    turned(
      [
        [0, 0],
        [0.5, 0],
        [0.5, 0.2],
        [0.34, 0.24],
        [0.3, 0.16],
        [0.18, 0.16],
        [0.12, 0.3],
        [0, 0.32],
      ],
      0.03,
    ),
    {
      at: [1.78, 0.1, -0.15],
      x: [0, 0, 1],
      y: [1, 0, 0],
      z: [0, 1, 0],
    },
  ),
)
const fin = furrow(
  place(
    plate(
      [
        [1.62, 1.1],
        [1.75, 1.9],
        [1.25, 2.75],
        [0.3, 3.4],
        [-0.9, 3.6],
        [-2.1, 3.15],
        [-2.95, 2.1],
        [-3.2, 0.75],
        [-2.7, -0.3],
        [-2.0, 0.2],
        [-1.6, 1.4],
        [0, 2.2],
      ],
      0.2,
      0.12,
    ),
    { at: [0, 0, 0], x: [0, 0, 1], y: [0, 1, 0], z: [-1, 0, 0] },
  ),
  (_x, y, z) => {
    const a = Math.atan2(y - 0.6, z + 0.5)
    return Math.sin(a * 9) * 0.28
  },
  0.09,
  0.09,
)
const collar = stretched(
  turned(
    [
      [0, -1.7],
      [1.75, -1.7],
      [2.0, -2.25],
      [1.85, -2.45],
      [0, -2.3],
    ],
    0.08,
  ),
  [0.95, 1, 1.05],
)
export const helmet: Solid = place(
  blend(
    0.06,
    cut(0.06, blend(0.1, bowl, visor), slit, breathsDeep),
    browBand,
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
  const notNeck: Solid = halfSpace([-1, 0.15, 0], 1.75)
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
  const standing = guard
    ? common(
        0.1,
        stretched(
          skin(
            turned(
              [
                [0, -1],
                [1.9, -1],
                [2.25, 3.1],
                [0, 3.1],
              ],
              0,
            ),
            0.45,
          ),
          [1, 1, 1.2],
        ),
        box([-1.9, 1.55, 0], [1.35, 1.25, 1.9], 0.5),
      )
    : null
  return place(common(0.15, standing ? blend(0.15, plates, standing) : plates, notNeck), at)
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

/** Soft fall-off used by body and cloak where they pass under the collar. */
export const underCollar = (y: number) => ramp(24.2, 22.5, y)
export const CHEST_UP: Point = CHEST.y
