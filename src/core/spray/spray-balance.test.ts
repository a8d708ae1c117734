import { describe, expect, test } from 'vitest'
import type { Torch } from '../recipe/recipe.ts'
import type { Vec3 } from '../vec3.ts'
import { sprayBalance } from './spray-balance.ts'
import { figureOf, icosphere, type TestPiece } from './test-figures.ts'
import { TORCH } from './test-torches.ts'

/** A lens: paint that lands on an open sheet's back is not counted, so bodies here are closed. */
function lens(radius: number, flatness: number, centre: Vec3, turn: number): TestPiece {
  const { positions, triangles } = icosphere(5, radius)
  const placed = new Float32Array(positions.length)
  for (let i = 0; i < placed.length; i += 3) {
    const y = positions[i + 1] * flatness
    placed[i] = centre[0] + positions[i] * Math.cos(turn) - y * Math.sin(turn)
    placed[i + 1] = centre[1] + positions[i] * Math.sin(turn) + y * Math.cos(turn)
    placed[i + 2] = centre[2] + positions[i + 2]
  }
  return { positions: placed, triangles }
}

// Awkward on purpose: a ball, a lens above that shadows it, one at a slant beside it.
const scene = figureOf([icosphere(5, 5, [1, 6, -2]), lens(4, 0.2, [-3, 14, 3], 0.2), lens(5, 0.3, [8, 7, 1], 1.1)])

const torches: readonly (readonly [string, Partial<Torch>])[] = [
  ['rows over the whole figure', { azimuthDegrees: 25, elevationDegrees: 50, spread: 0.09 }],
  ['rows from nearly below', { azimuthDegrees: 200, elevationDegrees: -35 }],
  ['rows with a roll', { azimuthDegrees: -40, elevationDegrees: 20, rollDegrees: 35 }],
  ['an area', { azimuthDegrees: 60, elevationDegrees: 35, aim: [0.1, 0.4, 0.1], sweep: { kind: 'area', radiusMm: 6 } }],
  ['an arc', { azimuthDegrees: 10, elevationDegrees: 30, distanceMm: 60, sweep: { kind: 'arc', spanDegrees: 110 } }],
  ['held still', { azimuthDegrees: -70, elevationDegrees: 65, sweep: { kind: 'still', secondsPerPass: 1 } }],
  ['a stroke', { azimuthDegrees: 20, elevationDegrees: 40, sweep: { kind: 'stroke', lengthMm: 26 } }],
  ['a parabola held still', { azimuthDegrees: 33, pattern: 'parabola', sweep: { kind: 'still', secondsPerPass: 1 } }],
  ['a cone, rows', { azimuthDegrees: 140, pattern: 'cone', spread: 0.1 }],
]

describe('landed + missed = what left the nozzle (conservation law; the misses on a sphere of their own)', () => {
  test.each(torches)('%s', (_, patch) => {
    const { landed, missed } = sprayBalance(scene, {}, { ...TORCH, ...patch }, 48)
    expect(landed).toBeGreaterThan(0.02)
    expect(missed).toBeGreaterThan(0.2)
    expect(Math.abs(landed + missed - 1)).toBeLessThan(0.002)
  })
  test('closes further as the sphere is made finer', () => {
    for (const sweep of [{ kind: 'figure' }, { kind: 'still', secondsPerPass: 1 }] as const) {
      const off = [500, 8_000, 128_000].map(points => {
        const { landed, missed } = sprayBalance(scene, {}, { ...TORCH, azimuthDegrees: 25, sweep }, 16, points)
        return Math.abs(landed + missed - 1)
      })
      expect(off[0]).toBeGreaterThan(0.004)
      expect(off[1]).toBeLessThan(off[0])
      expect(off[2]).toBeLessThan(off[0] / 10)
    }
  })
  test('a part that is absent lets the paint by', () => {
    const torch = { ...TORCH, azimuthDegrees: 25 }
    const whole = sprayBalance(scene, {}, torch, 16)
    const without = sprayBalance(scene, { piece_1: 'absent' }, torch, 16)
    expect(without.landed).toBeLessThan(0.8 * whole.landed)
    expect(without.landed + without.missed).toBeCloseTo(1, 2)
  })
})
