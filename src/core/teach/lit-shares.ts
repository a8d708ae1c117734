/** Closed forms of how much of a simple shape a torch reaches. Shares 0…1. */

/** Exposure below which a place counts as not reached: what a surface that is all but edge-on gets. */
export const REACHED = 0.01

/**
 * Of a sphere, by area, from a nozzle `distanceMm` from its middle: the cap whose rim the nozzle just sees,
 * (1 − R/d)/2. 0 for a nozzle inside.
 */
export const sphereShare = (radiusMm: number, distanceMm: number): number =>
  distanceMm > radiusMm ? (1 - radiusMm / distanceMm) / 2 : 0

/** Of a sphere's disc as it is seen, when light and line of sight are φ apart: a lune, (1 + cos φ)/2. */
export const luneShare = (phiDegrees: number): number => (1 + Math.cos((phiDegrees * Math.PI) / 180)) / 2

/**
 * Of an upright cylinder's side, seen level, from torches at these azimuths off the line of sight. The side is seen as
 * sin of the angle, so a torch lights all that lies from −1 or from −cos of its azimuth: together the longest of each.
 */
export function cylinderShare(azimuthsDegrees: readonly number[]): number {
  let left = 0
  let right = 0
  for (const azimuth of azimuthsDegrees) {
    const share = luneShare(azimuth)
    // A torch to the right of the eye lights the disc from its right edge on.
    const toRight = Math.sin((azimuth * Math.PI) / 180) >= 0
    if (toRight) right = Math.max(right, share)
    else left = Math.max(left, share)
  }
  return Math.min(1, left + right)
}

/**
 * Of a stair of four steps as high as they are deep, seen from the front and `viewDegrees` above, with the torch behind
 * it and `torchDegrees` above: risers face away; every tread but the top one lies in the shadow of the step behind it,
 * which reaches cot(torch) of its depth. (1 + 3·max(0, 1 − cot e))/4 of the treads, which are seen as sin v / (sin v + cos v).
 */
export function stairShare(torchDegrees: number, viewDegrees: number): number {
  const e = (torchDegrees * Math.PI) / 180
  const v = (viewDegrees * Math.PI) / 180
  if (torchDegrees <= 0 || viewDegrees < 0) return 0
  const treads = (1 + 3 * Math.max(0, 1 - 1 / Math.tan(e))) / 4
  return (treads * Math.sin(v)) / (Math.sin(v) + Math.cos(v))
}
