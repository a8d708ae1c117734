/** x, y, z. Lengths in mm unless said otherwise; directions are unit vectors. */
export type Vec3 = readonly [number, number, number]

export const add = (a: Vec3, b: Vec3): Vec3 => [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
export const subtract = (a: Vec3, b: Vec3): Vec3 => [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
export const scale = (a: Vec3, by: number): Vec3 => [a[0] * by, a[1] * by, a[2] * by]
export const dot = (a: Vec3, b: Vec3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
export const cross = (a: Vec3, b: Vec3): Vec3 => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
]
export const length = (a: Vec3): number => Math.hypot(a[0], a[1], a[2])

/** @returns the unit vector along `a`; (0, 0, 0) stays (0, 0, 0). */
export function normalize(a: Vec3): Vec3 {
  const l = length(a)
  return l > 0 ? scale(a, 1 / l) : [0, 0, 0]
}

/**
 * Two unit vectors that complete the unit vector `w` to a right-handed frame (u, v, w).
 * Source: Duff et al., JCGT 6(1), 2017, "Building an Orthonormal Basis, Revisited".
 */
export function frameAround(w: Vec3): readonly [Vec3, Vec3] {
  const s = w[2] >= 0 ? 1 : -1
  const a = -1 / (s + w[2])
  const b = w[0] * w[1] * a
  return [
    [1 + s * w[0] * w[0] * a, s * b, -s * w[0]],
    [b, s + w[1] * w[1] * a, -w[1]],
  ]
}

/**
 * Direction from the figure towards a place around it.
 * @param azimuthDegrees 0 in front (+z), 90 at the figure's left (+x), 180 behind
 * @param elevationDegrees 0 level, 90 straight above (+y), -90 straight below
 */
export function directionFrom(azimuthDegrees: number, elevationDegrees: number): Vec3 {
  const a = (azimuthDegrees * Math.PI) / 180
  const e = (elevationDegrees * Math.PI) / 180
  return [Math.cos(e) * Math.sin(a), Math.sin(e), Math.cos(e) * Math.cos(a)]
}

/** Azimuth (−180…180) and elevation of a unit direction, degrees: the inverse of `directionFrom`. */
export function anglesOf(direction: Vec3): { azimuthDegrees: number; elevationDegrees: number } {
  return {
    azimuthDegrees: (Math.atan2(direction[0], direction[2]) * 180) / Math.PI,
    elevationDegrees: (Math.asin(Math.max(-1, Math.min(1, direction[1]))) * 180) / Math.PI,
  }
}
