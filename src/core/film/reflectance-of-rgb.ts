import { RGB_WEIGHTS } from '../colour/band-weights.ts'
import { BANDS } from '../colour/bands.ts'
import type { LinearRgb } from '../colour/srgb.ts'

/** No paint reflects more. */
const MOST = 0.99

/**
 * The smoothest reflectance at the 16 bands that has this colour under D65: least sum of squared differences between
 * neighbouring bands, subject to the three linear equations of the colour, kept within `least`…0.99.
 *
 * @param colour linear sRGB; a channel outside `least`…0.99, which no reflectance in that range has, is brought to its rim
 * @param least of a seen matt surface, its own reflection: nothing on it looks darker
 * @returns 16 values that have the colour, to 0.005 in a channel
 * @remarks The equality-constrained least squares is solved once by its normal (KKT) equations; bands that leave the
 * range are fixed at its rim and the rest solved again, at most 16 times.
 */
export function reflectanceOfRgb(colour: LinearRgb, least = 0.01): Float64Array {
  const [r, g, b] = colour.map(c => Math.min(MOST, Math.max(least, c)))
  const rgb: LinearRgb = [r, g, b]
  const fixed = new Float64Array(BANDS).fill(Number.NaN)
  for (let round = 0; round < BANDS; round++) {
    const found = smoothest(rgb, fixed)
    let left = false
    for (let b = 0; b < BANDS; b++) {
      if (found[b] > MOST && Number.isNaN(fixed[b])) {
        fixed[b] = MOST
        left = true
      } else if (found[b] < least && Number.isNaN(fixed[b])) {
        fixed[b] = least
        left = true
      }
    }
    const free = fixed.reduce((n, v) => n + (Number.isNaN(v) ? 1 : 0), 0)
    if (!left || free < 4) return found.map(v => Math.min(MOST, Math.max(least, v)))
  }
  return fixed
}

/** Unknowns: the free bands and three multipliers. */
function smoothest(rgb: LinearRgb, fixed: Float64Array): Float64Array {
  const free = [...fixed.keys()].filter(b => Number.isNaN(fixed[b]))
  const n = free.length + 3
  const m = Array.from({ length: n }, () => new Float64Array(n + 1))
  free.forEach((b, i) => {
    for (const neighbour of [b - 1, b + 1]) {
      if (neighbour < 0 || neighbour >= BANDS) continue
      m[i][i] += 2
      const j = free.indexOf(neighbour)
      if (j >= 0) m[i][j] -= 2
      else m[i][n] += 2 * fixed[neighbour]
    }
    for (let c = 0; c < 3; c++) {
      m[i][free.length + c] = RGB_WEIGHTS[c][b]
      m[free.length + c][i] = RGB_WEIGHTS[c][b]
    }
  })
  for (let c = 0; c < 3; c++) {
    let rest = rgb[c]
    for (let b = 0; b < BANDS; b++) if (!Number.isNaN(fixed[b])) rest -= RGB_WEIGHTS[c][b] * fixed[b]
    m[free.length + c][n] = rest
  }
  const x = solve(m)
  return fixed.map((v, b) => (Number.isNaN(v) ? x[free.indexOf(b)] : v))
}

/** Gaussian elimination with partial pivoting on an augmented matrix. */
function solve(m: Float64Array[]): Float64Array {
  const n = m.length
  for (let c = 0; c < n; c++) {
    let pivot = c
    for (let r = c + 1; r < n; r++) if (Math.abs(m[r][c]) > Math.abs(m[pivot][c])) pivot = r
    const row = m[pivot]
    m[pivot] = m[c]
    m[c] = row
    for (let r = c + 1; r < n; r++) {
      const f = m[r][c] / row[c]
      for (let k = c; k <= n; k++) m[r][k] -= f * row[k]
    }
  }
  const x = new Float64Array(n)
  for (let r = n - 1; r >= 0; r--) {
    let sum = m[r][n]
    for (let k = r + 1; k < n; k++) sum -= m[r][k] * x[k]
    x[r] = sum / m[r][r]
  }
  return x
}
