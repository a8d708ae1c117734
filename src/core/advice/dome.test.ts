import { describe, expect, test } from 'vitest'
import { bestApart, degreesBetween, domeDirections, neighbourOf, showsFront } from './dome.ts'

const dome = domeDirections()
const indexOf = (azimuth: number, elevation: number) =>
  dome.findIndex(d => Math.abs(d.azimuthDegrees - azimuth) < 1e-9 && d.elevationDegrees === elevation)

describe('the dome', () => {
  test('has 200 to 600 directions up to 75°, and front, sides and back in every ring', () => {
    const offered = dome.filter(d => d.elevationDegrees <= 75)
    expect(offered.length).toBeGreaterThan(200)
    expect(offered.length).toBeLessThan(600)
    for (let e = 0; e <= 75; e += 7.5)
      for (const a of [0, 90, 180, 270]) expect(indexOf(a, e)).toBeGreaterThanOrEqual(0)
  })

  // Means over the half sphere, closed form: 1, height 1/2, height² 1/3, and nothing sideways.
  test('weighs the half sphere evenly, the few coarse ones nearly so', () => {
    const mean = (some: typeof dome, f: (sine: number, azimuth: number) => number) =>
      some.reduce((sum, d) => sum + d.share * f(Math.sin((d.elevationDegrees * Math.PI) / 180), d.azimuthDegrees), 0) /
      some.reduce((sum, d) => sum + d.share, 0)
    expect(dome.reduce((sum, d) => sum + d.share, 0)).toBeCloseTo(1, 12)
    expect(Math.abs(mean(dome, s => s) - 1 / 2)).toBeLessThan(0.003)
    expect(Math.abs(mean(dome, s => s * s) - 1 / 3)).toBeLessThan(0.003)
    expect(Math.abs(mean(dome, (s, a) => Math.sqrt(1 - s * s) * Math.cos(((a - 20) * Math.PI) / 180)))).toBeLessThan(
      1e-9,
    )
    const coarse = dome.filter(d => d.coarse)
    expect(Math.abs(mean(coarse, s => s) - 1 / 2)).toBeLessThan(0.04)
    expect(coarse.length).toBeLessThan(dome.length / 6)
    for (const d of dome) expect(Math.min(...coarse.map(c => degreesBetween(c, d)))).toBeLessThan(17)
  })

  test('cells are of nearly one size: no direction is much further than a step from the next', () => {
    for (const d of dome) {
      const nearest = Math.min(...dome.filter(o => o !== d).map(o => degreesBetween(d, o)))
      expect(nearest).toBeGreaterThan(4.9)
      expect(nearest).toBeLessThan(8)
    }
  })

  test('steps go around a ring and back, and from ring to ring up to the top and no further', () => {
    let at = indexOf(0, 30)
    const count = dome.filter(d => d.elevationDegrees === 30).length
    expect(dome[neighbourOf(dome, at, 1, 0)].azimuthDegrees).toBeCloseTo(360 / count, 9)
    expect(dome[neighbourOf(dome, at, -1, 0)].azimuthDegrees).toBeCloseTo(360 - 360 / count, 9)
    for (let i = 0; i < count; i++) at = neighbourOf(dome, at, 1, 0)
    expect(at).toBe(indexOf(0, 30))
    for (let i = 0; i < 20; i++) at = neighbourOf(dome, at, 0, 1)
    expect(dome[at].elevationDegrees).toBe(90)
    const side = indexOf(90, 0)
    expect(neighbourOf(dome, side, 0, -1)).toBe(side)
    expect(neighbourOf(dome, side, 0, 1)).toBe(indexOf(90, 7.5))
  })
})

describe('the best few', () => {
  test('stand apart, best first, and pass over what is unknown', () => {
    const peak = (azimuth: number, elevation: number, height: number) => (d: (typeof dome)[number]) =>
      height - degreesBetween(d, { azimuthDegrees: azimuth, elevationDegrees: elevation }) / 180
    const [high, low] = [peak(15, 30, 1), peak(200, 45, 0.95)]
    const scores = dome.map((d, i) => (i === indexOf(15, 30) ? null : Math.max(high(d), low(d))))
    const [first, second, third] = bestApart(dome, scores, 3, 30)
    expect(degreesBetween(dome[first], { azimuthDegrees: 15, elevationDegrees: 30 })).toBeLessThan(7.6)
    expect(second).not.toBe(first)
    for (const [a, b] of [
      [first, second],
      [first, third],
      [second, third],
    ])
      expect(degreesBetween(dome[a], dome[b])).toBeGreaterThanOrEqual(30)
    expect(scores[first]!).toBeGreaterThanOrEqual(scores[second]!)
    expect(scores[second]!).toBeGreaterThanOrEqual(scores[third]!)
  })

  test('front and back are told apart', () => {
    expect([0, 60, 90, 270, 300].every(azimuthDegrees => showsFront({ azimuthDegrees, elevationDegrees: 10 }))).toBe(
      true,
    )
    expect([97.5, 180, 262.5].some(azimuthDegrees => showsFront({ azimuthDegrees, elevationDegrees: 10 }))).toBe(false)
  })
})
