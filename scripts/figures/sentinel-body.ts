import { CHEST, HIPS, LEFT, RIGHT, SHAFT } from './sentinel-pose.ts'
import {
  blend,
  box,
  capsule,
  common,
  drum,
  ellipsoid,
  frame,
  frameAlong,
  fromFrame,
  furrow,
  halfSpace,
  lames,
  mirrored,
  type Point,
  place,
  plate,
  points,
  raised,
  ramp,
  ring,
  type Solid,
  sphere,
  stretched,
  taperedCapsule,
  turned,
  union,
  within,
} from './signed-distance.ts'

// ── trunk. Local origin in the middle of the chest ───────────────────────────────────────────────────────────────────

/** Cuirass: turned, flattened front to back, with a keel down the front. */
const cuirassForm = stretched(
  turned(
    points([
      0, 4.1, 1.55, 4.1, 1.7, 3.7, 2.9, 3.0, 3.55, 1.7, 3.6, 0.6, 3.25, -0.9, 2.75, -2.4, 2.5, -3.2, 2.6, -3.9, 0, -3.9,
    ]),
    0.12,
  ),
  [1, 1, 0.72],
)
const keeled: Solid = (x, y, z) =>
  cuirassForm(x, y, z > 0 ? z + 0.24 * (Math.sqrt(x * x + 0.05) - 0.9) * ramp(0, 1.2, z) : z) * 0.92
const pectorals = mirrored(ellipsoid([1.35, 1.35, 1.25], [1.55, 1.35, 1.25]))
const breastplate = furrow(
  furrow(
    common(0.15, blend(0.7, keeled, pectorals), (x, y) => (-y - 1.75 + 0.28 * Math.sqrt(x * x + 0.1)) * 0.95),
    (x, y, z) => (z > 0 ? y + 0.4 - 0.28 * Math.abs(x) : 9),
    0.12,
    0.13,
  ),
  (x, y, z) => (z > 0 ? Math.hypot(x, y - 4.3) - 2.45 : 9),
  0.1,
  0.1,
)
const bellyLames = raised(
  stretched(turned(points([0, -0.6, 2.8, -0.6, 2.58, -2.2, 2.45, -3.2, 2.5, -4.2, 0, -4.2]), 0), [1, 1, 0.74]),
  0.35,
  (x, y, z) => lames(-(y + 0.9) + (z > 0 ? 0.28 * Math.sqrt(x * x + 0.1) : 0.28), 0.9, 0.22),
)
/** Low collar and neck, upright under the head rather than square on the chest. */
const collar = place(
  blend(
    0.15,
    stretched(
      turned(points([0, 0.8, 1.3, 0.8, 1.5, 0.65, 1.45, 0.2, 2.2, -0.1, 3.0, -0.85, 2.9, -1.05, 0, -1.2]), 0.1),
      [1, 1, 0.88],
    ),
    capsule([0, 0, 0], [0.05, 1.6, 0.1], 1.05),
  ),
  frame([0.15, 22.5, 0.3], [-0.05, 1, 0.14], [0.1, 0, 1]),
)
const backRidge = capsule([0, 2.6, -2.15], [0, -2, -1.75], 0.28)
const trunk = within(place(union(breastplate, bellyLames, backRidge), CHEST), [0, 20, 0], 6.2)

// ── hips. Local origin at the belt ───────────────────────────────────────────────────────────────────────────────────

const fauld = raised(
  stretched(
    turned(points([0, 0.8, 2.62, 0.8, 2.8, 0, 3.3, -1.3, 3.55, -2.1, 3.2, -2.25, 0, -2.1]), 0.06),
    [1, 1, 0.78],
  ),
  0.35,
  (_x, y) => lames(-y + 0.35, 0.8, 0.18),
)
const belt = blend(
  0.05,
  furrow(
    stretched(turned(points([0, 0.85, 2.85, 0.85, 2.95, 0.7, 3.0, 0.1, 2.9, -0.05, 0, -0.05]), 0.06), [1, 1, 0.79]),
    (_x, y) => Math.abs(y - 0.4) - 0.24,
    0.07,
    0.07,
  ),
  box([0, 0.4, 2.35], [0.62, 0.56, 0.22], 0.12),
)
const buckle = furrow(
  belt,
  (x, y, z) => (z > 1.5 ? Math.max(Math.abs(x) - 0.32, Math.abs(y - 0.4) - 0.28) : 9),
  0.08,
  0.13,
)
const mailSkirt = raised(
  stretched(turned(points([0, -1, 3.1, -1, 3.3, -2.8, 3.1, -3.15, 0, -2.6]), 0.08), [1, 1, 0.74]),
  0.6,
  (x, y, z) => 0.05 * Math.sin(Math.atan2(x, z) * 34) * Math.sin(y * 12),
)
/** Cloth between the tassets, blown a little to the right. */
const tabard: Solid = (() => {
  const sheet: Solid = (x, y, z) => {
    const fall = ramp(-1, -7, y)
    const sway = -0.9 * fall * fall
    const bend = 2.55 + 0.55 * fall + 0.3 * fall * Math.sin((x - sway) * 3.2 + 0.6)
    // A lozenge stands out of the cloth.
    const lozenge = 0.16 * ramp(0.12, -0.12, Math.abs(x - sway) / 0.6 + Math.abs(y + 4.2) / 1.1 - 1)
    const a = (Math.abs(z - bend) - 0.3 - lozenge) * 0.6
    const b = (Math.abs(x - sway) - (1.05 + 0.35 * fall)) * 0.9
    const hem = -6.6 + 0.35 * Math.cos((x - sway) * 1.9)
    const c = Math.max(y - 0.2, hem - y) * 0.8
    return common(
      0.22,
      () => a,
      () => b,
      () => c,
    )(x, y, z)
  }
  return furrow(
    sheet,
    (x, y) => {
      const fall = ramp(-1, -7, y)
      return Math.max(Math.abs(x + 0.9 * fall * fall) - (0.72 + 0.35 * fall), -6.2 - y) * 0.9
    },
    0.09,
    0.08,
  )
})()
const tasset: Solid = (() => {
  const flat = plate(points([-1.15, 0.2, 1.15, 0.2, 1.3, -1.4, 1.0, -2.7, 0, -3.25, -1.0, -2.7, -1.3, -1.4]), 0.22, 0.1)
  const bent: Solid = (x, y, z) => flat(x, y, z + 0.2 * x * x) * 0.85
  return furrow(
    raised(bent, 0.3, (_x, y) => lames(-y, 1.0, 0.14)),
    (x, y) => (y < -2.2 ? 9 : Math.abs(x) - 0.95),
    0.09,
    0.08,
  )
})()
const tassets = union(
  place(tasset, frame([2.05, -1.3, 2.05], [-0.25, 1, -0.42], [0.5, 0.35, 1])),
  place(tasset, frame([-2.05, -1.3, 1.95], [0.22, 1, -0.16], [-0.5, 0.1, 1])),
  place(tasset, frame([3.35, -1.3, 0.0], [-0.3, 1, 0], [1, 0.2, 0.1])),
  place(tasset, frame([-3.3, -1.3, -0.1], [0.26, 1, 0], [-1, 0.2, 0.1])),
)
const pouch = blend(
  0.12,
  box([-2.55, -0.5, -1.35], [0.62, 0.75, 0.5], 0.28),
  box([-2.6, -0.12, -1.42], [0.7, 0.4, 0.54], 0.2),
  sphere([-2.85, -0.5, -1.95], 0.15),
)
const hips = within(place(union(fauld, buckle, mailSkirt, tabard, tassets, pouch), HIPS), [-0.2, 12, 0.5], 7.4)

// ── legs ─────────────────────────────────────────────────────────────────────────────────────────────────────────────

interface LegJoints {
  readonly hip: Point
  readonly knee: Point
  readonly ankle: Point
  readonly toes: Point
}

function leg({ hip, knee, ankle, toes }: LegJoints, outside: 1 | -1): Solid {
  const front: Point = [toes[0] - ankle[0], 0, toes[2] - ankle[2]]
  const l = Math.hypot(front[0], front[2])
  const [fx, fz] = [front[0] / l, front[2] / l]

  const thigh = frameAlong(knee, hip, [fx, 0.3, fz])
  const thighLength = Math.hypot(hip[0] - knee[0], hip[1] - knee[1], hip[2] - knee[2])
  const cuisse = furrow(
    taperedCapsule([0, 0.6, 0], [0, thighLength, 0.1], 1.35, 1.62),
    (x, y, z) => (z > 0 ? Math.abs(x) - 0.75 + 0.05 * y : 9),
    0.1,
    0.1,
  )
  const cuisseEdge = stretched(ring([0, 0.95, 0], 1.4, 0.17), [1, 1, 1])

  const kneeCap = furrow(
    blend(
      0.15,
      ellipsoid([0, 0, 0.1], [1.34, 1.7, 1.3]),
      ellipsoid([0, 0.05, 0.4], [1.22, 1.1, 1.25]),
      ellipsoid([0, 0.05, 1.2], [0.24, 1.0, 0.6]),
    ),
    (_x, y, z) => (z > -0.5 ? Math.abs(y - 0.03) - 1.0 : 9),
    0.11,
    0.12,
  )
  const wing = place(turned(points([0, 0, 0.95, -0.1, 1.0, 0.08, 0.8, 0.2, 0.5, 0.2, 0.3, 0.42, 0, 0.46]), 0.05), {
    at: [outside * 1.12, 0, 0],
    x: [0, 0, 1],
    y: [outside, 0, 0],
    z: [0, outside, 0],
  })

  const shin = frameAlong(ankle, knee, [fx, 0, fz])
  const shinLength = Math.hypot(knee[0] - ankle[0], knee[1] - ankle[1], knee[2] - ankle[2])
  const s = shinLength / 5
  const greaveForm = turned(
    points([
      0,
      -0.2,
      1.16,
      -0.2,
      1.22,
      0.05,
      1.0,
      0.45 * s,
      0.95,
      1.0 * s,
      1.22,
      2.4 * s,
      1.38,
      3.3 * s,
      1.28,
      4.3 * s,
      1.42,
      4.7 * s,
      0,
      4.7 * s,
    ]),
    0.08,
  )
  const greave = furrow(
    (x: number, y: number, z: number) => {
      const calf = z < 0 ? z + 0.28 * ramp(1, 3.2, y) : z + 0.3 * (Math.sqrt(x * x + 0.03) - 0.5)
      return greaveForm(x, y, calf) * 0.9
    },
    (_x, y, z) => (z > -0.4 ? Math.abs(y - 2.6 * s) - 1.65 * s : 9),
    0.1,
    0.09,
  )
  const strap = union(ring([0, 1.15 * s, -0.05], 1.0, 0.16), ring([0, 3.6 * s, -0.2], 1.36, 0.14))

  // Foot: local y up, z to the toes, origin at the ankle.
  const foot = frame(ankle, [0, 1, 0], [fx, 0, fz])
  const reach = Math.min(l + 0.5, 3.5)
  const upper = blend(
    0.6,
    ellipsoid([0, -0.75, -0.35], [0.92, 0.95, 1.1]),
    ellipsoid([0, -1.0, reach * 0.5], [0.98, 0.66, reach * 0.58]),
    taperedCapsule([0, -0.1, 0.1], [0, -1.05, reach * 0.92], 0.82, 0.4),
  )
  const sabaton = common(
    0.15,
    raised(upper, 0.3, (_x, y, z) => (z > 0.55 && y > -1.35 ? lames(z + 0.35 * y, 0.62, 0.15) : 0)),
    halfSpace([0, -1, 0], 1.45),
  )
  const welt = place(drum([0, 0, 0], 1.0, 0.18, 0.1), {
    at: [0, -1.36, reach * 0.34],
    x: [1, 0, 0],
    y: [0, 1, 0],
    z: [0, 0, 1],
  })
  const weltLong: Solid = (x, y, z) => welt(x, y, reach * 0.34 + (z - reach * 0.34) * 0.5)

  const mid = fromFrame(shin, [0, shinLength, 0])
  return within(
    union(
      place(blend(0.08, cuisse, cuisseEdge), thigh),
      place(
        union(kneeCap, wing),
        frame(knee, [(hip[0] - ankle[0]) * 0.5, hip[1] - ankle[1], (hip[2] - ankle[2]) * 0.5], [fx, 0.1, fz]),
      ),
      place(blend(0.06, greave, strap), shin),
      place(blend(0.08, sabaton, weltLong), foot),
    ),
    [mid[0], mid[1] - 0.5, mid[2]],
    8.2,
  )
}

// ── arms ─────────────────────────────────────────────────────────────────────────────────────────────────────────────

interface ArmJoints {
  readonly shoulder: Point
  readonly elbow: Point
  readonly wrist: Point
  readonly hand: Point
}

/** `grip`: direction of what the hand holds, thumb end first. */
function arm({ shoulder, elbow, wrist, hand }: ArmJoints, grip: Point, outside: 1 | -1): Solid {
  const upper = frameAlong(elbow, shoulder, [0, 0, 1])
  const upperLength = Math.hypot(shoulder[0] - elbow[0], shoulder[1] - elbow[1], shoulder[2] - elbow[2])
  const rerebrace = furrow(
    blend(0.1, taperedCapsule([0, 0.3, 0], [0, upperLength, 0], 1.12, 1.5), ring([0, 1.15, 0], 1.16, 0.16)),
    (_x, y) => y - 1.75,
    0.1,
    0.1,
  )
  const fore = frameAlong(wrist, elbow, [outside * 0.9, 0.6, -0.2])
  const foreLength = Math.hypot(elbow[0] - wrist[0], elbow[1] - wrist[1], elbow[2] - wrist[2])
  const f = foreLength / 4
  const vambrace = furrow(
    turned(
      [
        [0, -0.3],
        [0.72, -0.3],
        [0.78, 0],
        [0.95, 1.2 * f],
        [1.2, 2.5 * f],
        [1.18, 3.2 * f],
        [1.3, 3.5 * f],
        [0, 3.6 * f],
      ],
      0.06,
    ),
    (x, _y, z) => (z > 0 ? x : 9),
    0.1,
    0.1,
  )
  const cuff = turned(points([0, 0.2, 0.85, 0.15, 1.0, 0.9, 1.34, 1.75, 1.22, 1.85, 0.85, 1.4, 0, 1.4]), 0.07)
  const bend: Point = [
    elbow[0] - (shoulder[0] + wrist[0]) / 2,
    elbow[1] - (shoulder[1] + wrist[1]) / 2,
    elbow[2] - (shoulder[2] + wrist[2]) / 2,
  ]
  const couter = place(
    blend(
      0.1,
      ellipsoid([0, 0, 0.05], [1.25, 1.3, 1.22]),
      ellipsoid([0, 0, 0.8], [0.26, 1.0, 0.62]),
      place(turned(points([0, 0, 0.85, -0.08, 0.92, 0.08, 0.7, 0.18, 0.4, 0.2, 0.22, 0.38, 0, 0.42]), 0.05), {
        at: [outside * 0.95, 0, 0.1],
        x: [0, 0, 1],
        y: [outside, 0, 0],
        z: [0, outside, 0],
      }),
    ),
    frame(elbow, [shoulder[0] - wrist[0], shoulder[1] - wrist[1], shoulder[2] - wrist[2]], bend),
  )
  return within(
    union(place(rerebrace, upper), place(blend(0.08, vambrace, cuff), fore), couter, fist(hand, wrist, grip)),
    elbow,
    7.4,
  )
}

/** Four fingers closed around a shaft, the back of the hand towards the wrist, the thumb over the first finger. */
function fist(hand: Point, wrist: Point, grip: Point): Solid {
  const f = frame(hand, grip, [hand[0] - wrist[0], hand[1] - wrist[1], hand[2] - wrist[2]])
  const fingers = [0.66, 0.22, -0.22, -0.64].map((y, i) => ring([0, y, 0.02 * i], 0.66, [0.27, 0.28, 0.27, 0.24][i]))
  const knuckles = [0.66, 0.22, -0.22, -0.64].map(y => sphere([0.72, y, -0.25], 0.27))
  const palm = box([0, 0, -0.62], [0.85, 0.92, 0.45], 0.32)
  const back = raised(box([0.42, 0, -0.78], [0.55, 0.98, 0.5], 0.3), 0.3, (_x, y) => 0.05 * Math.cos(y * 14))
  const thumb = blend(
    0.12,
    taperedCapsule([-0.62, 0.3, -0.5], [-0.4, 0.95, 0.45], 0.34, 0.27),
    capsule([-0.4, 0.95, 0.45], [0.15, 0.98, 0.72], 0.25),
  )
  const core = capsule([0, -0.8, 0], [0, 0.8, 0], 0.5)
  const local = blend(0.1, union(...fingers), union(...knuckles), palm, back, thumb, core)
  return place(local, f)
}

const shaft: Point = [SHAFT.top[0] - SHAFT.butt[0], SHAFT.top[1] - SHAFT.butt[1], SHAFT.top[2] - SHAFT.butt[2]]

export const body: Solid = blend(
  0.1,
  trunk,
  within(collar, [0, 22.8, 0], 3.4),
  hips,
  leg(LEFT, 1),
  leg(RIGHT, -1),
  arm(LEFT, [-0.75, 0.66, 0], 1),
  arm(RIGHT, shaft, -1),
)
