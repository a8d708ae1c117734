import { lStarOfLuminance, luminanceOf, luminanceOfLStar } from '../core/colour/lab.ts'
import { DIFFERENCE_BANDS, differenceBand } from '../core/reading/difference.ts'
import type { Look } from '../document/document.ts'

/**
 * What a look shows of a painted side, as linear sRGB to be encoded and nothing else.
 *
 *   painted  the colours themselves
 *   value    the grey of the same luminance, so of the same L*
 *   steps    L* in `count` bands of equal width, each shown at its middle
 *   deposit  film thickness as a grey that is even in L*: black is none, white the top of the legend
 *   isolines red: luminance, green: exposure; the shader draws the lines, finer than any vertex
 *   difference  ΔE00 in bands, black for none to white
 *
 * @param painted 3·V linear sRGB
 * @param field V of what the look shows: dry µm, exposure or ΔE00
 * @returns a new array of 3·V, and the top of the legend in µm (0 where nothing lies)
 */
export function applyLook(
  look: Look,
  painted: Float32Array,
  field: Float32Array,
): { linearRgb: Float32Array; depositMaxUm: number } {
  const depositMaxUm = look.kind === 'deposit' ? legendTopUm(largestOf(field)) : 0
  const linearRgb = new Float32Array(painted.length)
  const grey = (v: number, luminance: number) => linearRgb.fill(luminance, 3 * v, 3 * v + 3)
  switch (look.kind) {
    case 'painted':
      linearRgb.set(painted)
      break
    case 'value':
      for (let v = 0; v < field.length; v++) grey(v, luminanceAt(painted, v))
      break
    case 'steps': {
      const width = 100 / look.count
      const bands = Array.from({ length: look.count }, (_, i) => luminanceOfLStar((i + 0.5) * width))
      for (let v = 0; v < field.length; v++) {
        const band = Math.floor(lStarOfLuminance(luminanceAt(painted, v)) / width)
        grey(v, bands[Math.min(look.count - 1, Math.max(0, band))])
      }
      break
    }
    case 'deposit':
      for (let v = 0; v < field.length; v++)
        grey(v, depositMaxUm > 0 ? luminanceOfLStar((100 * field[v]) / depositMaxUm) : 0)
      break
    case 'isolines':
      for (let v = 0; v < field.length; v++) {
        linearRgb[3 * v] = luminanceAt(painted, v)
        linearRgb[3 * v + 1] = field[v]
      }
      break
    case 'difference': {
      const bands = DIFFERENCE_BANDS.map(band => luminanceOfLStar(band.lStar))
      for (let v = 0; v < field.length; v++) grey(v, bands[differenceBand(field[v])])
      break
    }
  }
  return { linearRgb, depositMaxUm }
}

/** The next of 1, 2, 5 × 10ⁿ: a legend that does not twitch while a slider moves. */
export function legendTopUm(largestUm: number): number {
  if (!(largestUm > 0)) return 0
  const decade = 10 ** Math.floor(Math.log10(largestUm))
  for (const step of [1, 2, 5]) if (largestUm <= step * decade) return step * decade
  return 10 * decade
}

function largestOf(values: Float32Array): number {
  let largest = 0
  for (const value of values) if (value > largest) largest = value
  return largest
}

/** Never below 0: a colour outside sRGB may be darker than black in this sum. */
const luminanceAt = (rgb: Float32Array, v: number): number =>
  Math.max(0, luminanceOf(rgb[3 * v], rgb[3 * v + 1], rgb[3 * v + 2]))
