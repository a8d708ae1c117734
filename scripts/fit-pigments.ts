import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { linearRgbOf } from '../src/core/colour/band-weights.ts'
import { deltaE2000 } from '../src/core/colour/delta-e-2000.ts'
import { type Lab, labOfLinearRgb } from '../src/core/colour/lab.ts'
import { film, over } from '../src/core/film/kubelka-munk.ts'
import { type PigmentShape, shapeAtBands } from '../src/core/film/pigment-shape.ts'
import { internalReflectance, seenReflectance } from '../src/core/film/saunderson.ts'

/**
 * `npx tsx scripts/fit-pigments.ts`: fits our fourteen numbers a pigment to measured K and S, and writes
 * src/core/film/pigment-curves.ts. Reads the measurements from ../shared/data, which the project does not carry:
 * set A (Okumura, RIT 2005) and set B (Berns, CIC24 2016), on the absolute scale S(PW6, 550 nm) = 0.45 per µm.
 * Deterministic: Levenberg-Marquardt from a fixed list of starts.
 */
const DATA = '../shared/data/pigments_abs_16band_per_um.json'

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

export interface Curve {
  readonly absorption: readonly number[]
  readonly scattering: readonly number[]
}

/** Seen Lab of a film of this curve over a backing (internal reflectance). */
export function labOfFilm(
  curve: { absorption: ArrayLike<number>; scattering: ArrayLike<number> },
  thicknessUm: number,
  backing: number,
): Lab {
  const seen = Array.from({ length: 16 }, (_, b) =>
    seenReflectance(over(film(curve.absorption[b], curve.scattering[b], thicknessUm), backing)),
  )
  return labOfLinearRgb(...linearRgbOf(seen))
}

/** Fitted at these; judged at others (see pigment-curves.test.ts). */
const FIT_UM = [0.5, 2, 5, 15, 50, 200]
const FIT_BACKINGS = [0, 0.3, internalReflectance(0.8)]

const shapeOf = (p: readonly number[]): PigmentShape => ({
  absorptionFloor: [p[0], p[1]],
  absorptionBands: [0, 1, 2].map(i => [p[2 + 3 * i], p[3 + 3 * i], Math.abs(p[4 + 3 * i]) + 0.05] as const),
  scattering: [p[11], p[12], p[13]],
})

function residuals(p: readonly number[], target: Curve): number[] {
  const own = shapeAtBands(shapeOf(p))
  const out: number[] = []
  for (const x of FIT_UM)
    for (const g of FIT_BACKINGS) {
      const want = labOfFilm(target, x, g)
      const have = labOfFilm(own, x, g)
      // Chroma differences count for less where chroma is high, as in CIEDE2000's SC.
      const chroma = 1 + 0.045 * Math.hypot(want[1], want[2])
      out.push(have[0] - want[0], (have[1] - want[1]) / chroma, (have[2] - want[2]) / chroma)
    }
  // A slight pull towards the measured curves keeps bands honest that hardly show in Lab.
  for (let b = 0; b < 16; b++) {
    out.push(
      0.04 * Math.log(own.absorption[b] / target.absorption[b]),
      0.04 * Math.log(own.scattering[b] / target.scattering[b]),
    )
  }
  return out
}

const cost = (r: readonly number[]) => r.reduce((sum, v) => sum + v * v, 0)

function levenbergMarquardt(start: readonly number[], target: Curve, rounds = 150): { p: number[]; cost: number } {
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

function fitShape(target: Curve): { shape: PigmentShape; cost: number } {
  const lnS = target.scattering.map(Math.log)
  const meanS = lnS.reduce((a, b) => a + b, 0) / 16
  const lnK = target.absorption.map(Math.log)
  const floor = Math.min(...lnK)
  let best = { p: [] as number[], cost: Number.POSITIVE_INFINITY }
  for (const centres of STARTS) {
    const heightAt = (x: number) => lnK[Math.min(15, Math.max(0, Math.round((x * 150 + 150) / 20)))] - floor
    const start = [floor, 0, ...centres.flatMap(c => [heightAt(c) / 1.5, c, 0.25]), meanS, 0, 0]
    const found = levenbergMarquardt(start, target)
    if (found.cost < best.cost) best = found
  }
  return { shape: shapeOf(best.p), cost: best.cost }
}

if (import.meta.filename === process.argv[1]) {
  if (!existsSync(DATA)) throw new Error(`${DATA} is not here: the measurements lie beside the project, not in it`)
  const data = JSON.parse(readFileSync(DATA, 'utf8')) as { pigments: Record<string, { K: number[]; S: number[] }> }
  const rows: string[] = []
  const round = (v: number) => Number(v.toPrecision(5))
  for (const [ci, name, key] of WANTED) {
    const target = { absorption: data.pigments[key].K, scattering: data.pigments[key].S }
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
      absorptionFloor: ${list(shape.absorptionFloor)},
      absorptionBands: [${shape.absorptionBands.map(list).join(', ')}],
      scattering: ${list(shape.scattering)},
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
