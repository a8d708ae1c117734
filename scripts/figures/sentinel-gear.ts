import { LEFT, SHAFT } from './sentinel-pose.ts'
import {
  blend,
  box,
  capsule,
  common,
  frame,
  frameAlong,
  furrow,
  halfSpace,
  hash,
  mix,
  type Point2,
  place,
  plate,
  points,
  polygon,
  raised,
  ramp,
  ring,
  type Solid,
  smoothRun,
  sphere,
  turned,
  union,
  within,
} from './signed-distance.ts'

// ── glaive. Local y along the shaft from the butt, z towards the front, x to the sentinel's left ─────────────────────

const SHAFT_LENGTH = 23.2
const haft = blend(
  0.08,
  capsule([0, 0.4, 0], [0, SHAFT_LENGTH, 0], 0.36),
  turned(points([0, -0.1, 0.3, 0, 0.5, 0.9, 0.52, 1.6, 0.4, 1.8, 0, 1.8]), 0.05),
  ...[5.2, 5.8, 13.6, 14.2, 20].map(y => ring([0, y, 0], 0.34, 0.14)),
  turned(points([0, 20.4, 0.5, 20.4, 0.62, 20.8, 0.5, 21.3, 0.46, 22.7, 0.66, 23.1, 0.5, 23.6, 0, 23.7]), 0.05),
)
/** Wrapped cord between hand and collar. */
const wrapped = raised(haft, 0.4, (x, y, z) =>
  y > 14.4 && y < 19.8 ? 0.1 * Math.abs(Math.sin(y * 4.2 + Math.atan2(x, z) * 0.5)) : 0,
)
const bladeOutline: Point2[] = [
  [-0.42, 23.0],
  ...smoothRun(points([-0.5, 24.1, -0.9, 24.7, -1.65, 24.75])),
  ...smoothRun(points([-1.3, 25.3, -0.7, 25.5, -0.62, 26.3, -0.62, 27.7, -0.45, 29.3, 0.1, 30.9, 1.05, 32.5])),
  ...smoothRun(points([1.2, 31.2, 1.55, 29.4, 1.7, 27.8, 1.5, 26.3, 1.05, 25.0, 0.5, 24.1])),
  [0.42, 23.0],
]
const bladeArea = polygon(bladeOutline)
const blade: Solid = (() => {
  const flat = plate(bladeOutline, 0.42, 0.06)
  // Both faces fall towards the outline: thick spine, thin edge.
  const bevelled: Solid = (x, y, z) => {
    const depth = Math.max(0, -bladeArea(x, y))
    return Math.max(flat(x, y, z), (Math.abs(z) - 0.19 - 0.62 * Math.min(depth, 0.42)) * 0.84)
  }
  return furrow(
    bevelled,
    (x, y) => Math.hypot(x - (0.12 + 0.02 * (y - 26.5)), Math.max(0, Math.abs(y - 27.1) - 2)) - 0.02,
    0.13,
    0.13,
  )
})()
export const glaive: Solid = place(blend(0.05, wrapped, blade), frameAlong(SHAFT.butt, SHAFT.top, [0.3, 0, 1]))

// ── shield: a bowed heater with a rolled rim, a ridge and a boss. Local z outwards ───────────────────────────────────

const shieldOutline: Point2[] = (() => {
  const side: Point2[] = []
  for (let i = 0; i <= 28; i++) {
    const t = i / 28
    // Straight flank above, round below, to a point.
    side.push([3.45 * Math.cos((Math.max(0, t - 0.28) / 0.72) * (Math.PI / 2)) ** 0.72, 4.6 - 11 * t])
  }
  const right = side.map(([x, y]) => [x, y] as Point2)
  right[right.length - 1] = [0, -6.4]
  const left = right
    .slice(0, -1)
    .reverse()
    .map(([x, y]) => [-x, y] as Point2)
  return [...right, ...left, [-1.8, 4.75], [0, 5.15], [1.8, 4.75]]
})()
const shieldArea = polygon(shieldOutline)
const bow = (x: number, y: number) => 0.075 * x * x + 0.012 * (y - 0.3) * (y - 0.3)
const board: Solid = (x, y, z) => {
  const w = z + bow(x, y)
  const d = shieldArea(x, y)
  // Rim, field and ridge as heights over the bowed board.
  const rim = 0.3 * ramp(-0.95, -0.72, d)
  const ridge = 0.34 * ramp(0.5, 0.0, Math.abs(x))
  const chevron =
    0.22 * ramp(0.62, 0.36, Math.abs(y + 1.0 - 0.62 * Math.abs(x))) +
    0.22 * ramp(0.5, 0.26, Math.abs(y + 3.1 - 0.62 * Math.abs(x)))
  const front = w - 0.3 - Math.max(rim, ridge, chevron * ramp(-0.7, -0.95, d))
  return common(
    0.16,
    () => front * 0.72,
    () => (-w - 0.32) * 0.8,
    () => d * 0.9,
  )(x, y, z)
}
const boss = turned(points([0, -0.3, 1.25, -0.3, 1.3, 0.4, 1.02, 0.52, 0.95, 0.75, 0.72, 1.1, 0.3, 1.3, 0, 1.34]), 0.08)
const studs: Solid[] = shieldOutline
  .filter((_, i) => i % 6 === 2)
  .map(([x, y]) => {
    const l = Math.hypot(x, y)
    const k = (l - 0.42) / l
    return sphere([x * k, y * k, 0.56 - bow(x * k, y * k)], 0.19)
  })
const grip = union(
  capsule([-1.1, 0, -0.6], [-1.1, 0, -1.15], 0.25),
  capsule([1.1, 0, -0.6], [1.1, 0, -1.15], 0.25),
  capsule([-1.2, 0, -1.1], [1.2, 0, -1.1], 0.34),
)
const straps = union(box([0, 1.9, -0.55], [2.3, 0.3, 0.25], 0.1), box([0, -1.9, -0.5], [2.0, 0.3, 0.25], 0.1))
/** Lines of the planks on the back. */
const planked = furrow(board, (x, y, z) => (z + bow(x, y) > 0 ? 9 : Math.sin(x * 2.6) * 0.38), 0.08, 0.07)
export const shieldFrame = frame(
  [LEFT.hand[0] + 0.45, LEFT.hand[1] - 0.3, LEFT.hand[2] + 1.1],
  [-0.1, 1, -0.12],
  [0.5, 0.08, 0.87],
)
export const shield: Solid = place(
  blend(
    0.06,
    planked,
    place(boss, { at: [0, 0.9, 0.1], x: [1, 0, 0], y: [0, 0, 1], z: [0, -1, 0] }),
    ...studs,
    grip,
    straps,
  ),
  shieldFrame,
)

// ── base: a bevelled disc under cobbles, with a rock for the left foot and a broken drum of a column ────────────────

const disc = turned(points([0, 0, 13.1, 0, 13.4, 0.25, 13.4, 0.6, 13.15, 0.75, 12.75, 1.3, 12.5, 1.45, 0, 1.45]), 0.08)
/** Cobbles in a jittered grid: height over the plane y = 1.4, 0 in the joints. */
const cobbles: Solid = (() => {
  const size = 3.1
  const centre = (i: number, j: number): [number, number, number] => [
    (i + 0.5 + 0.5 * (j & 1) + 0.36 * (hash(i, j) - 0.5)) * size,
    (j + 0.5 + 0.4 * (hash(i + 91, j) - 0.5)) * size * 0.9,
    hash(i + 17, j + 5),
  ]
  return (x, y, z) => {
    const j0 = Math.floor(z / (size * 0.9))
    const i0 = Math.floor(x / size - 0.25)
    let first = Number.POSITIVE_INFINITY
    let second = Number.POSITIVE_INFINITY
    let lift = 0
    let lean = 0
    for (let j = j0 - 2; j <= j0 + 2; j++) {
      for (let i = i0 - 2; i <= i0 + 2; i++) {
        const [cx, cz, h] = centre(i, j)
        const d = Math.hypot(x - cx, z - cz)
        if (d < first) {
          second = first
          first = d
          lift = h
          lean = (x - cx) * (hash(i, j + 40) - 0.5) + (z - cz) * (hash(i + 40, j) - 0.5)
        } else if (d < second) second = d
      }
    }
    const toJoint = (second - first) / 2
    const rise = ramp(0.02, 0.55, toJoint) * (0.62 + 0.32 * lift + 0.16 * lean)
    return (y - 1.3 - rise) * 0.62
  }
})()
const paving = common(0.2, within(cobbles, [0, 1, 0], 15), turned(points([0, 0.5, 12.55, 0.5, 12.2, 2.6, 0, 2.6]), 0))
/** A rock: a ball cut by leaning planes, rounded. */
const rock = (at: readonly [number, number, number], size: readonly [number, number, number], seed: number): Solid => {
  const cuts: Solid[] = []
  for (let i = 0; i < 9; i++) {
    const a = hash(seed, i) * 6.283
    const b = mix(-0.2, 0.8, hash(seed + 7, i))
    cuts.push(
      halfSpace([Math.cos(a) * Math.cos(b), Math.sin(b), Math.sin(a) * Math.cos(b)], 0.66 + 0.2 * hash(seed + 3, i)),
    )
  }
  const form = common(0.12, sphere([0, 0, 0], 1), ...cuts)
  const least = Math.min(...size)
  return within(
    (x, y, z) => form((x - at[0]) / size[0], (y - at[1]) / size[1], (z - at[2]) / size[2]) * least,
    [at[0], at[1], at[2]],
    Math.max(...size),
  )
}
/** A broken slab: a polygon from `y0` to `y1`, its top leaning and cracked. */
const slab = (corners: readonly Point2[], y0: number, y1: number, crack: number): Solid => {
  const outline = polygon(corners)
  return (x, y, z) => {
    const rough =
      0.1 * Math.sin(x * 2.1 + z * 1.3 + crack) * Math.sin(z * 2.7 - x * 0.8) + 0.05 * Math.sin(x * 5.3 - z * 4.1)
    const side = outline(x, z) + 0.05 * Math.sin(y * 4.5 + x * 1.7 - z) + rough
    const cleft = Math.abs(x * 0.8 + z * 0.5 - crack - 0.25 * Math.sin(z * 2.2))
    const top = y - y1 - 0.5 * rough + 0.22 * Math.exp(-((cleft / 0.14) ** 2))
    return common(
      0.22,
      () => side * 0.75,
      () => top * 0.6,
      () => y0 - y,
    )(x, y, z)
  }
}
const step = within(
  union(
    slab(points([0.8, 0.4, 3.4, -0.6, 7.4, 0.2, 8.6, 3.2, 7.6, 6.6, 3.6, 7.3, 1.4, 5.6, 0.6, 2.6]), 0.6, 2.35, 6.6),
    slab(points([1.9, 1.2, 4.4, 0.3, 6.6, 1.3, 7.3, 3.8, 6.4, 6.0, 4.0, 6.2, 2.2, 4.6]), 1.6, 3.5, 3.2),
  ),
  [4.5, 2, 3.4],
  6,
)
const column = place(
  raised(
    turned(
      points([0, -1.5, 2.0, -1.5, 2.3, -1.2, 2.3, -0.9, 1.95, -0.7, 1.95, 1.2, 1.6, 1.45, 0.9, 1.1, 0, 1.5]),
      0.08,
    ),
    0.8,
    (x, y, z) =>
      -0.22 *
      Math.exp(-((Math.sin(Math.atan2(x, z) * 6) / 0.55) ** 2)) *
      ramp(1.45, 1.8, Math.hypot(x, z)) *
      ramp(-0.8, -0.5, y),
  ),
  frame([8.3, 2.6, -4.4], [0.8, 0.22, -0.55], [0, 1, 0]),
)
const stones = union(
  blend(
    0.25,
    paving,
    step,
    rock([9.3, 1.5, -0.6], [1.3, 1.1, 1.2], 12),
    rock([0.6, 1.5, 8.6], [1.3, 0.9, 1.0], 31),
    rock([-9.9, 1.5, 2.2], [1.2, 1.0, 1.4], 44),
  ),
  within(column, [8.3, 2.6, -4.4], 3.2),
)
export const base: Solid = union(disc, common(0.05, stones, halfSpace([0, -1, 0], -0.5)))
