import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { linearRgbOf } from '../src/core/colour/band-weights.ts'
import { deltaE2000 } from '../src/core/colour/delta-e-2000.ts'
import { type Lab, labOfLinearRgb } from '../src/core/colour/lab.ts'
import { film, over } from '../src/core/film/kubelka-munk.ts'
import { type PigmentShape, shapeAt, shapeAtBands } from '../src/core/film/pigment-shape.ts'
import { internalReflectance, seenReflectance } from '../src/core/film/saunderson.ts'

/**
 * `npx tsx scripts/fit-pigments.ts`: fits our fourteen numbers a pigment to measured K and S, and writes
 * src/core/film/pigment-curves.ts. Reads the measurements from ../shared/data, which the project does not carry:
 * set A (Okumura, RIT 2005) and set B (Berns, CIC24 2016), on the absolute scale S(PW6, 550 nm) = 0.45 per µm.
 * Deterministic: Levenberg-Marquardt from a fixed list of starts.
 */
const DATA = '../shared/data/'

/** Colour Index name → key in the data. Names with a word tell apart what shares a number. */
const WANTED: readonly (readonly [ci: string, name: string, key: string])[] = [
  ['PW6', 'titanium white', 'PW6'],
  ['PBk7', 'carbon black', 'PBk7'],
  ['PBk9', 'bone black', 'PBk9'],
  ['PB29', 'ultramarine blue', 'PB29'],
  ['PB15:4', 'phthalo blue, green shade', 'PB15:4'],
  ['PB15:1', 'phthalo blue, red shade', 'PB15:1'],
  ['PB28', 'cobalt blue', 'PB28'],
  ['PB36:1', 'cobalt blue-green', 'PB36:1'],
  ['PB60', 'indanthrone blue', 'PB60'],
  ['PG7', 'phthalo green', 'PG7'],
  ['PG17', 'chromium oxide green', 'PG17'],
  ['PR122', 'quinacridone magenta', 'PR122'],
  ['PV19', 'quinacridone violet', 'PV19'],
  ['PV23', 'dioxazine violet', 'PV23'],
  ['PR254', 'diketo-pyrrolo-pyrrole red', 'PR254'],
  ['PR5', 'naphthol red', 'PR5'],
  ['PR101', 'red oxide', 'PR101'],
  ['PO73', 'pyrrole orange', 'PO73'],
  ['PY43', 'yellow ochre', 'PY43'],
  ['PY43 raw', 'raw sienna', 'PY43-raw-sienna'],
  ['PBr7 burnt sienna', 'burnt sienna', 'PBr7-burnt-sienna'],
  ['PBr7 raw umber', 'raw umber', 'PBr7-raw-umber'],
  ['PBr7 burnt umber', 'burnt umber', 'PBr7-burnt-umber'],
  ['PY74', 'hansa yellow', 'PY74'],
  ['PY83', 'diarylide yellow', 'PY83'],
]

interface Curve {
  readonly absorption: readonly number[]
  readonly scattering: readonly number[]
}

interface FilmCurve {
  readonly absorption: ArrayLike<number>
  readonly scattering: ArrayLike<number>
}

/** Seen Lab of a film of this curve over a backing (internal reflectance). */
function labOfFilm(curve: FilmCurve, thicknessUm: number, backing: number): Lab {
  const seen = Array.from({ length: 16 }, (_, b) =>
    seenReflectance(over(film(curve.absorption[b], curve.scattering[b], thicknessUm), backing)),
  )
  return labOfLinearRgb(...linearRgbOf(seen))
}

/** Fitted at these; judged at others (see pigment-curves.test.ts). */
const FIT_UM = [0.5, 2, 5, 15, 50, 200]
const FIT_BACKINGS = [0, 0.3, internalReflectance(0.8)]
/** With the measured white, as hobby paints are: shares of pigment, thickness. */
const FIT_TINTS = [
  [0.5, 3],
  [0.2, 3],
  [0.2, 30],
  [0.05, 30],
] as const

/** A band narrower than the 20 nm between points would hide there. In x. */
const NARROWEST = 0.16

const shapeOf = (p: readonly number[]): PigmentShape => {
  const band = (i: number) => [p[i], p[i + 1], Math.abs(p[i + 2]) + NARROWEST] as const
  return {
    absorptionFloor: p[0],
    absorptionBands: [band(1), band(4), band(7)],
    scatteringFloor: p[10],
    scatteringBand: band(11),
  }
}

interface Target extends Curve {
  /** K and S every 10 nm. */
  readonly fine: readonly { readonly nm: number; readonly k: number; readonly s: number }[]
  readonly white: Curve
}

const tintOf = (own: FilmCurve, white: Curve, share: number): FilmCurve => ({
  absorption: Array.from(own.absorption, (k, b) => share * k + (1 - share) * white.absorption[b]),
  scattering: Array.from(own.scattering, (s, b) => share * s + (1 - share) * white.scattering[b]),
})

function residuals(p: readonly number[], target: Target): number[] {
  const shape = shapeOf(p)
  const own = shapeAtBands(shape)
  const out: number[] = []
  const compare = (ours: FilmCurve, theirs: FilmCurve, um: number, backing: number) => {
    const want = labOfFilm(theirs, um, backing)
    const have = labOfFilm(ours, um, backing)
    // Chroma differences count for less where chroma is high, as in CIEDE2000's SC.
    const chroma = 1 + 0.045 * Math.hypot(want[1], want[2])
    out.push(have[0] - want[0], (have[1] - want[1]) / chroma, (have[2] - want[2]) / chroma)
  }
  for (const um of FIT_UM) for (const backing of FIT_BACKINGS) compare(own, target, um, backing)
  for (const [share, um] of FIT_TINTS)
    compare(tintOf(own, target.white, share), tintOf(target, target.white, share), um, 0.1)
  // A pull towards the measured curves keeps honest what hardly shows in Lab, between the bands and beyond them.
  for (const { nm, k, s } of target.fine) {
    const pull = nm < 400 || nm > 700 ? 0.03 : 0.1
    const at = shapeAt(shape, nm)
    out.push(pull * Math.log(at.k / k), pull * Math.log(at.s / s))
  }
  for (const [height, centre, width] of [...shape.absorptionBands, shape.scatteringBand])
    out.push(0.02 * height, 0.3 * Math.max(0, Math.abs(centre) - 1.3), 0.3 * Math.max(0, width - 1.5))
  return out
}

const cost = (r: readonly number[]) => r.reduce((sum, v) => sum + v * v, 0)

function levenbergMarquardt(start: readonly number[], target: Target, rounds = 150): { p: number[]; cost: number } {
  let p = [...start]
  let r = residuals(p, target)
  let now = cost(r)
  let damping = 1
  for (let round = 0; round < rounds && damping < 1e10; round++) {
    const jacobian = p.map((value, j) => {
      const step = 1e-5 * Math.max(1, Math.abs(value))
      const moved = [...p]
      moved[j] += step
      return residuals(moved, target).map((v, i) => (v - r[i]) / step)
    })
    const normal = jacobian.map(a => jacobian.map(b => a.reduce((sum, v, i) => sum + v * b[i], 0)))
    const gradient = jacobian.map(a => a.reduce((sum, v, i) => sum + v * r[i], 0))
    for (;;) {
      const move = solve(
        normal.map((row, i) => row.map((v, j) => (i === j ? v * (1 + damping) + 1e-9 : v))),
        gradient,
      )
      const tried = p.map((v, i) => v - move[i])
      const rTried = residuals(tried, target)
      const next = cost(rTried)
      if (Number.isFinite(next) && next < now) {
        const gain = now - next
        p = tried
        r = rTried
        now = next
        damping = Math.max(1e-7, damping / 5)
        if (gain < 1e-7 * now) return { p, cost: now }
        break
      }
      damping *= 4
      if (damping > 1e10) break
    }
  }
  return { p, cost: now }
}

function solve(a: number[][], b: readonly number[]): number[] {
  const n = b.length
  const m = a.map((row, i) => [...row, b[i]])
  for (let c = 0; c < n; c++) {
    let pivot = c
    for (let r = c + 1; r < n; r++) if (Math.abs(m[r][c]) > Math.abs(m[pivot][c])) pivot = r
    ;[m[c], m[pivot]] = [m[pivot], m[c]]
    for (let r = c + 1; r < n; r++) {
      const f = m[r][c] / m[c][c]
      for (let k = c; k <= n; k++) m[r][k] -= f * m[c][k]
    }
  }
  const x = new Array<number>(n).fill(0)
  for (let r = n - 1; r >= 0; r--) {
    let sum = m[r][n]
    for (let k = r + 1; k < n; k++) sum -= m[r][k] * x[k]
    x[r] = sum / m[r][r]
  }
  return x
}

/** Where the three bands begin: spread over the spectrum in different ways. */
const STARTS: readonly (readonly [number, number, number])[] = [
  [-0.8, 0, 0.8],
  [-0.9, -0.4, 0.3],
  [-0.3, 0.2, 0.6],
  [0.1, 0.5, 0.9],
  [-1, -0.7, 0.9],
  [-0.6, 0.3, 0.5],
  [-0.4, -0.1, 0.2],
  [-0.2, 0.1, 0.4],
  [0.3, 0.5, 0.7],
  [-0.7, -0.5, 0.1],
]

function fitShape(target: Target): { shape: PigmentShape; cost: number } {
  const lnS = target.scattering.map(Math.log)
  const meanS = lnS.reduce((a, b) => a + b, 0) / 16
  const lnK = target.absorption.map(Math.log)
  const floor = Math.min(...lnK)
  let best = { p: [] as number[], cost: Number.POSITIVE_INFINITY }
  for (const centres of STARTS) {
    const at = (x: number) => Math.min(15, Math.max(0, Math.round((x * 150 + 150) / 20)))
    // Scattering has a bump or a dip; begin where the curve is farthest from its mean.
    for (const centreS of [-0.6, 0.1, 0.7]) {
      const heights = centres.flatMap(c => [(lnK[at(c)] - floor) / 1.5, c, 0.2])
      const start = [floor, ...heights, meanS, lnS[at(centreS)] - meanS, centreS, 0.3]
      const found = levenbergMarquardt(start, target)
      if (found.cost < best.cost) best = found
    }
  }
  return { shape: shapeOf(best.p), cost: best.cost }
}

/** Measured curves on the absolute scale: at the 16 bands, and every 10 nm from the set they came from. */
function readTargets(): (key: string) => Target {
  const read = (name: string) => JSON.parse(readFileSync(DATA + name, 'utf8'))
  const scaled = read('pigments_abs_16band_per_um.json') as {
    pigments: Record<string, { set: 'A' | 'B'; K: number[]; S: number[] }>
    whiteS_rel550_10nm: [number, number][]
  }
  const sets = { A: read('setA_23acrylics_relKS_10nm.json'), B: read('setB_19acrylics_relKS_10nm.json') } as Record<
    'A' | 'B',
    { wavelengths: number[]; pigments: Record<string, { K: number[]; S: number[] }> }
  >
  const whiteS = new Map(scaled.whiteS_rel550_10nm)
  const curve = (key: string): Curve => ({
    absorption: scaled.pigments[key].K,
    scattering: scaled.pigments[key].S,
  })
  return key => {
    const { wavelengths, pigments } = sets[scaled.pigments[key].set]
    const { K, S } = pigments[key.replace('@B', '')]
    const fine = wavelengths.flatMap((nm, i) => {
      const scale = 0.45 * (whiteS.get(nm) ?? 0)
      return nm >= 380 && scale > 0 ? [{ nm, k: scale * K[i], s: scale * S[i] }] : []
    })
    return { ...curve(key), fine, white: curve('PW6') }
  }
}

if (import.meta.filename === process.argv[1]) {
  if (!existsSync(DATA)) throw new Error(`${DATA} is not here: the measurements lie beside the project, not in it`)
  const targetOf = readTargets()
  const rows: string[] = []
  const round = (v: number) => Number(v.toPrecision(5))
  for (const [ci, name, key] of WANTED) {
    const target = targetOf(key)
    const { shape } = fitShape(target)
    const own = shapeAtBands(shape)
    const errors = [1, 3, 8, 30].flatMap(x =>
      [0, 0.3, internalReflectance(0.8)].map(g => deltaE2000(labOfFilm(own, x, g), labOfFilm(target, x, g))),
    )
    errors.sort((a, b) => a - b)
    const worst = errors[errors.length - 1]
    console.error(ci.padEnd(20), 'median', errors[6].toFixed(2), 'worst', worst.toFixed(2))
    const list = (values: readonly number[]) => `[${values.map(round).join(', ')}]`
    rows.push(`  {
    ci: '${ci}',
    name: '${name}',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 ${errors[6].toFixed(2)}, worst ${worst.toFixed(2)}.
    shape: {
      absorptionFloor: ${round(shape.absorptionFloor)},
      absorptionBands: [${shape.absorptionBands.map(list).join(', ')}],
      scatteringFloor: ${round(shape.scatteringFloor)},
      scatteringBand: ${list(shape.scatteringBand)},
    },
  },`)
  }
  writeFileSync(
    'src/core/film/pigment-curves.ts',
    `import type { PigmentShape } from './pigment-shape.ts'

/** A pigment by its Colour Index name, as a paint of it at full strength dries. */
export interface Pigment {
  readonly ci: string
  readonly name: string
  readonly shape: PigmentShape
}

/**
 * Written by scripts/fit-pigments.ts, fitted so that films agree with published measurements of artists' acrylics
 * (Okumura, RIT 2005; Berns, CIC24 2016) on the scale S(PW6, 550 nm) = 0.45 per µm of dry film. Real paints differ in
 * strength by a factor of 1.5 to 2: two swatches of one's own are better.
 */
export const PIGMENTS: readonly Pigment[] = [
${rows.join('\n')}
]
`,
  )
}
