import { D65_WHITE, linearRgbOf } from '../colour/band-weights.ts'
import { BAND_NM } from '../colour/bands.ts'
import { CIE_FIRST_NM, CIE_STEP_NM, D65, X_BAR, Y_BAR, Z_BAR } from '../colour/cie-tables.ts'
import { type Lab, labOfLinearRgb, labOfXyz } from '../colour/lab.ts'
import { film, over } from './kubelka-munk.ts'
import { seenReflectance } from './saunderson.ts'

/** K and S of a pigment at any wavelength, 1/µm. */
export type Spectrum = (nm: number) => { readonly k: number; readonly s: number }

/** Films on a grey ground, bottom first: random, for tests and benches. */
export interface RandomStack {
  /** Internal reflectance of the ground, the same at every wavelength. */
  readonly ground: number
  readonly films: readonly {
    readonly thicknessUm: number
    readonly pigments: readonly { readonly spectrum: Spectrum; readonly amount: number }[]
  }[]
}

/** Numbers in 0…1 that are the same for the same seed (mulberry32, public domain). */
export function seeded(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = Math.imul(state ^ (state >>> 15), state | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
}

/** Black, grey or white ground, white mist of 0 to 25 µm, then 2 to 5 films of 1 to 3 pigments, 0.2 to 32 µm each. */
export function randomStacks(count: number, white: Spectrum, pigments: readonly Spectrum[], seed = 7): RandomStack[] {
  const next = seeded(seed)
  const oneOf = <T>(list: readonly T[]): T => list[Math.floor(next() * list.length)]
  return Array.from({ length: count }, () => {
    const mist = { thicknessUm: 25 * next() ** 2, pigments: [{ spectrum: white, amount: 1 }] }
    const films = Array.from({ length: 2 + Math.floor(4 * next()) }, () => {
      const parts = Array.from({ length: 1 + Math.floor(3 * next()) }, () => ({
        spectrum: oneOf(pigments),
        amount: 0.1 + next(),
      }))
      const whole = parts.reduce((sum, p) => sum + p.amount, 0)
      return {
        thicknessUm: 0.2 * 160 ** next(),
        pigments: parts.map(p => ({ spectrum: p.spectrum, amount: p.amount / whole })),
      }
    })
    return { ground: oneOf([0.01, 0.25, 0.95]), films: [mist, ...films] }
  })
}

function seenAt({ ground, films }: RandomStack, nm: number): number {
  let internal = ground
  for (const { thicknessUm, pigments } of films) {
    let k = 0
    let s = 0
    for (const { spectrum, amount } of pigments) {
      const own = spectrum(nm)
      k += amount * own.k
      s += amount * own.s
    }
    internal = over(film(k, s, thicknessUm), internal)
  }
  return seenReflectance(internal)
}

/** By the program's 16 bands. */
export const labBy16 = (stack: RandomStack): Lab => labOfLinearRgb(...linearRgbOf(BAND_NM.map(nm => seenAt(stack, nm))))

/** By every 5 nm of the CIE tables, without the program's weights: the finer run. */
export function labBy81(stack: RandomStack): Lab {
  const seen = D65.map((_, i) => seenAt(stack, CIE_FIRST_NM + CIE_STEP_NM * i))
  const [x, y, z] = [X_BAR, Y_BAR, Z_BAR].map((bar, c) => {
    let sum = 0
    let white = 0
    bar.forEach((value, i) => {
      sum += value * D65[i] * seen[i]
      white += value * D65[i]
    })
    return (D65_WHITE[c] * sum) / white
  })
  return labOfXyz(x, y, z)
}
