import { describe, expect, test } from 'vitest'
import { labOfLinearRgb } from '../colour/lab.ts'
import { coatFilm, coatOver, primerReflectance, seenRgb } from '../film/coat-film.ts'
import { demoRecipe } from '../recipe/demo-recipe.ts'
import type { MistCoat, Mix } from '../recipe/recipe.ts'
import { buildFactor, flowOfLine, spreadOfDot, withCalibration } from './calibrate-airbrush.ts'

const recipe = { ...demoRecipe(), dropMl: { paint: 0.04, thinner: 0.025, medium: 0.03 } }
const white = recipe.coats[0] as MistCoat
const MIX: Mix = { paintDrops: 2, thinnerDrops: 5, mediumDrops: 1 }

/** Independent: liquid on card as a Gaussian footprint (Antonio 1994), summed ring by ring and moment by moment. */
const footprint = (r: number, sigma: number) => Math.exp((-r * r) / (2 * sigma * sigma)) / (2 * Math.PI * sigma * sigma)

function dotDiameter(sigma: number): number {
  const step = sigma / 2000
  let held = 0
  let r = 0
  for (; held < 0.9; r += step) held += footprint(r + step / 2, sigma) * 2 * Math.PI * (r + step / 2) * step
  return 2 * r
}

/** Dry µm in the middle of a line after so many passes of the nozzle, a moment after the other. */
function lineUm(sigma: number, flow: number, sweepMmPerS: number, passes: number): number {
  const { transfer, diffuseShare } = white.airbrush
  const volumes = [2 * 0.04, 5 * 0.025, 1 * 0.03]
  // 0.3: solids of clear medium by volume.
  const solids = (volumes[0] * 0.35 + volumes[2] * 0.3) / (volumes[0] + volumes[1] + volumes[2])
  const dt = sigma / sweepMmPerS / 100
  let wetMm = 0
  for (let t = -8 * (sigma / sweepMmPerS); t < 8 * (sigma / sweepMmPerS); t += dt) {
    wetMm += flow * transfer * (1 - diffuseShare) * footprint(sweepMmPerS * t, sigma) * dt
  }
  return passes * wetMm * 1000 * solids
}

describe('what is read off the card leads back to the airbrush (round trip with a simulated dot and line)', () => {
  const paints = recipe.paints.map(p => (p.id === 'white' ? { ...p, volumeSolids: 0.35 } : p))
  const measured = { ...recipe, paints }
  test.each([
    [0.062, 8.5, 95, 130, 4],
    [0.11, 13, 70, 60, 2],
    [0.075, 4, 120, 210, 9],
  ])('s = %d, Q = %d mm³/s', (s, flow, distanceMm, sweepMmPerS, passes) => {
    const spread = spreadOfDot({ distanceMm: 83, diameterMm: dotDiameter(s * 83) })
    expect(spread).toBeCloseTo(s, 4)
    const dryUm = lineUm(s * distanceMm, flow, sweepMmPerS, passes)
    const film = coatFilm({ ...white, mix: MIX }, measured)
    const lStar = labOfLinearRgb(...seenRgb(coatOver(film, dryUm, primerReflectance(measured))))[0]
    expect(lStar).toBeGreaterThan(30)
    expect(lStar).toBeLessThan(90)
    const found = flowOfLine(measured, white, { distanceMm, sweepMmPerS, mix: MIX, passes, lStar }, spread)
    expect((found ?? 0) / flow).toBeCloseTo(1, 3)
  })
  test('a grey that this paint cannot show is refused', () => {
    const line = { distanceMm: 100, sweepMmPerS: 100, mix: MIX, passes: 3, lStar: 5 }
    expect(flowOfLine(measured, white, line, 0.075)).toBeNull()
    expect(flowOfLine(measured, white, { ...line, lStar: 99.5 }, 0.075)).toBeNull()
    expect(flowOfLine(measured, white, { ...line, lStar: 50, passes: 0 }, 0.075)).toBeNull()
  })
})

test('D90 = 4.29 σ (C5: radius of 90 % 2.1460 σ)', () => {
  expect(spreadOfDot({ distanceMm: 100, diameterMm: 2 * 2.146 * 7.5 })).toBeCloseTo(0.075, 5)
})

const calibration = {
  dot: { distanceMm: 100, diameterMm: 30 },
  line: { distanceMm: 100, sweepMmPerS: 100, mix: MIX, passes: 3, lStar: 50 },
  spread: 0.07,
  flowMm3PerS: 9,
}

test('the coat sprays with what was measured, the others do not', () => {
  const next = withCalibration(recipe, white.id, calibration)
  const [first, second] = next.coats as [MistCoat, MistCoat]
  expect(next.calibration).toEqual(calibration)
  expect(first.airbrush).toEqual({ ...white.airbrush, flowMm3PerS: 9 })
  expect(first.torches.map(t => t.spread)).toEqual([0.07, 0.07])
  expect(second).toBe(recipe.coats[1])
})

test('a measured airbrush narrows the range; without one it is the usual ranges in quadrature', () => {
  const guess = buildFactor({ calibration: null })
  const measured = buildFactor({ calibration })
  // By hand: √(ln² 1.5 + ln² 1.2 + ln² 1.5) = 0.602.
  expect(guess.high).toBeCloseTo(Math.exp(0.6017), 2)
  expect(guess.low).toBeLessThan(0.55)
  expect(measured.low).toBeGreaterThan(guess.low)
  expect(measured.high).toBeLessThan(guess.high)
  expect(measured.low * measured.high).toBeCloseTo(1, 9)
})
