import type { Lab } from './lab.ts'

const RADIANS = Math.PI / 180
const POW25_7 = 25 ** 7

/**
 * CIEDE2000 colour difference, kL = kC = kH = 1.
 * Source: ISO/CIE 11664-6:2014; Sharma, Wu, Dalal, Color Res. Appl. 30 (2005) 21–30, whose 34 pairs are the test.
 */
export function deltaE2000([l1, a1, b1]: Lab, [l2, a2, b2]: Lab): number {
  const meanC = (Math.hypot(a1, b1) + Math.hypot(a2, b2)) / 2
  const g = 0.5 * (1 - Math.sqrt(meanC ** 7 / (meanC ** 7 + POW25_7)))
  const c1 = Math.hypot((1 + g) * a1, b1)
  const c2 = Math.hypot((1 + g) * a2, b2)
  const h1 = hueDegrees((1 + g) * a1, b1)
  const h2 = hueDegrees((1 + g) * a2, b2)

  const grey = c1 * c2 === 0
  let turn = h2 - h1
  if (turn > 180) turn -= 360
  else if (turn < -180) turn += 360
  const dL = l2 - l1
  const dC = c2 - c1
  const dH = grey ? 0 : 2 * Math.sqrt(c1 * c2) * Math.sin((turn * RADIANS) / 2)

  const meanL = (l1 + l2) / 2
  const meanC1 = (c1 + c2) / 2
  let meanH = h1 + h2
  if (!grey) {
    if (Math.abs(h1 - h2) > 180) meanH += h1 + h2 < 360 ? 360 : -360
    meanH /= 2
  }
  const t =
    1 -
    0.17 * Math.cos((meanH - 30) * RADIANS) +
    0.24 * Math.cos(2 * meanH * RADIANS) +
    0.32 * Math.cos((3 * meanH + 6) * RADIANS) -
    0.2 * Math.cos((4 * meanH - 63) * RADIANS)
  const sL = 1 + (0.015 * (meanL - 50) ** 2) / Math.sqrt(20 + (meanL - 50) ** 2)
  const sC = 1 + 0.045 * meanC1
  const sH = 1 + 0.015 * meanC1 * t
  const rotation = 30 * Math.exp(-(((meanH - 275) / 25) ** 2))
  const rC = 2 * Math.sqrt(meanC1 ** 7 / (meanC1 ** 7 + POW25_7))
  const rT = -Math.sin(2 * rotation * RADIANS) * rC
  return Math.sqrt((dL / sL) ** 2 + (dC / sC) ** 2 + (dH / sH) ** 2 + rT * (dC / sC) * (dH / sH))
}

function hueDegrees(a: number, b: number): number {
  if (a === 0 && b === 0) return 0
  const h = Math.atan2(b, a) / RADIANS
  return h < 0 ? h + 360 : h
}
