import { CHEST } from './sentinel-pose.ts'
import {
  blend,
  box,
  clamp,
  common,
  ellipsoid,
  frame,
  fromFrame,
  furrow,
  halfSpace,
  mix,
  place,
  points,
  raised,
  ramp,
  ring,
  type Solid,
  stretched,
  turned,
  union,
} from './signed-distance.ts'

// ── cloak: a bell around the back, open in front, blown to the right ─────────────────────────────────────────────────

const TOP = 23.2
const HEM = 3.0
/** 0 at the shoulders, 1 at the hem. */
const fallAt = (y: number) => clamp((TOP - y) / (TOP - HEM), 0, 1)

/** Distance from the middle surface, in units of its own radius; not yet a length. */
function cloakForm(x: number, y: number, z: number) {
  const t = fallAt(y)
  const blow = t * t
  const cx = -0.1 - 2.5 * blow
  const cz = 0.35 - 1.1 * blow
  const u = (x - cx) / 1.12
  const w = z - cz
  const angle = Math.atan2(u, -w)
  const radius = Math.hypot(u, w)
  // Shoulder line: from the neck outwards, then down.
  const drop = 1 - clamp((TOP + 0.6 - y) / 3.6, 0, 1)
  const bell = 3.75 * Math.sqrt(Math.max(1 - drop * drop, 0.02))
  // The wind comes from the left: on the right the cloth stands off.
  const flare = bell + 3.0 * t ** 1.25 + 1.9 * t * t * ramp(0.3, 1.5, -angle)
  // Folds grow towards the hem and wander sideways as they fall; round ridges, sharp valleys.
  const phase = angle * 3.6 + 0.8 * Math.sin(2.4 * t + 0.6) + 0.5 * Math.sin(angle * 2 + 1.3) + 0.7
  const wave = 1.3 * Math.sqrt(Math.sin(phase) ** 2 + 0.03) - 0.8 + 0.22 * Math.sin(phase * 4.3 + 3 * t + 0.4)
  const fold = (0.2 + 1.45 * t) * wave * ramp(0.04, 0.45, t)
  return { radius, angle, target: flare + fold, t }
}
const offMiddle: Solid = (x, y, z) => {
  const f = cloakForm(x, y, z)
  return f.radius - f.target
}
const cloth: Solid = (x, y, z) => {
  if (y > TOP + 2.5 || y < HEM - 2.5) return Math.max(y - TOP, HEM - y) * 0.9
  const raw = offMiddle(x, y, z)
  const e = 0.02
  const gx = (offMiddle(x + e, y, z) - raw) / e
  const gy = (offMiddle(x, y + e, z) - raw) / e
  const gz = (offMiddle(x, y, z + e) - raw) / e
  // Near the axis the form is steep without a surface being near: the clamp keeps that from looking like cloth.
  const slope = clamp(Math.hypot(gx, gy, gz), 1, 3)
  const f = cloakForm(x, y, z)
  const skinned = Math.abs(raw) / slope - 0.36
  // Front edges: swept back on the left by the shield arm, forward on the right.
  const left = mix(1.75, 1.25, f.t)
  const right = mix(1.75, 1.5, f.t)
  const wobble = 0.13 * Math.sin(f.t * 7 + 0.5) * ramp(0.2, 0.6, f.t)
  const edge = Math.max(f.angle - left - wobble, -f.angle - right - wobble) * Math.min(f.radius, 4)
  const hem =
    HEM + 0.5 * Math.sin(f.angle * 2 + 0.8) + 0.45 * ramp(0.2, 1.4, f.angle) + 1.3 * ramp(0.5, 1.6, -f.angle) - y
  // A seam runs along the border.
  const sheet = skinned + 0.1 * Math.exp(-(((Math.max(edge, hem) + 0.85) / 0.15) ** 2))
  const d = common(
    0.3,
    () => sheet,
    () => edge * 0.8,
    () => hem * 0.9,
    () => (y - TOP + 2.1 * ramp(0.8, 1.6, Math.abs(f.angle))) * 0.85,
  )(x, y, z)
  return d
}

/** Rolled cowl around the neck, higher behind than in front, with a brooch. */
const cowl: Solid = (() => {
  const roll = (height: number, radius: number, thick: number, turns: number): Solid =>
    raised(
      stretched(ring([0, height, 0], radius, thick), [1.1, 1, 1]),
      0.9,
      (x, y, z) => 0.3 * Math.abs(Math.sin((Math.atan2(x, z) * turns) / 2 + (y - height) * 1.7)) - 0.15,
    )
  return blend(0.25, roll(0, 2.35, 0.75, 8), roll(0.62, 1.95, 0.6, 10), roll(-0.6, 2.75, 0.6, 8))
})()
const brooch = place(turned(points([0, 0, 0.62, 0, 0.66, 0.16, 0.5, 0.26, 0.4, 0.18, 0.26, 0.36, 0, 0.44]), 0.04), {
  at: [0.1, -0.62, 3.25],
  x: [1, 0, 0],
  y: [0, 0, 1],
  z: [0, -1, 0],
})
export const cloak: Solid = blend(
  0.5,
  cloth,
  place(union(cowl, brooch), frame(fromFrame(CHEST, [0, 3.95, -0.05]), [-0.05, 1, 0.22], [0.1, 0, 1])),
)

// ── pack: a flapped case with a bedroll across, strapped over the cloak ──────────────────────────────────────────────

const sack = blend(0.3, box([0, -0.2, 0], [2.3, 2.5, 1.35], 0.7), ellipsoid([0, -0.9, -0.5], [2.15, 1.7, 1.35]))
const flap = common(0.15, box([0, 1.05, -0.22], [2.45, 1.55, 1.5], 0.6), halfSpace([0, -1, -0.12], 0.15))
const bedroll = (() => {
  const roll: Solid = (x, y, z) => {
    const r = Math.hypot(y, z)
    const spiral = 0.07 * Math.sin(r * 10 + Math.atan2(y, z))
    const end = Math.abs(x) - 3.7 - spiral
    return common(
      0.3,
      () => r - 1.15 - 0.05 * Math.sin(x * 5),
      () => end * 0.75,
    )(x, y, z)
  }
  const tie = (x: number): Solid =>
    place(ring([0, 0, 0], 1.12, 0.2), { at: [x, 0, 0], x: [0, 1, 0], y: [1, 0, 0], z: [0, 0, -1] })
  const placed = place(union(roll, tie(1.5), tie(-1.5)), frame([0, 3.15, -0.25], [0.04, 1, 0], [0, 0, 1]))
  return placed
})()
const packStrap = (x: number) =>
  union(
    common(0.06, box([x, -0.2, -0.25], [0.34, 2.75, 1.78], 0.3), halfSpace([0, 0, 1], 1.2)),
    box([x, -0.75, -1.9], [0.48, 0.36, 0.22], 0.1),
  )
const pouches = union(
  box([2.55, -1.2, 0.1], [0.65, 1.05, 0.85], 0.4),
  box([2.62, -0.55, 0.05], [0.7, 0.45, 0.95], 0.25),
  box([-2.5, -1.35, 0.1], [0.6, 0.9, 0.8], 0.4),
)
export const pack: Solid = place(
  union(
    furrow(blend(0.08, sack, flap), (x, y) => (y > 0 ? Math.abs(x) - 2.1 : 9), 0.07, 0.06),
    packStrap(1.15),
    packStrap(-1.15),
    bedroll,
    pouches,
  ),
  frame([-0.15, 17.6, -5.3], [-0.03, 1, 0.1], [0.06, 0, 1]),
)
