import { describe, expect, test } from 'vitest'
import { figureOf, icosphere } from '../spray/test-figures.ts'
import { directionFrom, dot, type Vec3 } from '../vec3.ts'
import { brushGuess, scoreGuess } from './guess-score.ts'

const RADIUS = 16
const sphere = figureOf([icosphere(6, RADIUS, [0, RADIUS, 0])])
const outward = (v: number): Vec3 => [
  sphere.positions[3 * v] / RADIUS,
  (sphere.positions[3 * v + 1] - RADIUS) / RADIUS,
  sphere.positions[3 * v + 2] / RADIUS,
]
const perVertex = (of: (n: Vec3) => number): Float32Array =>
  Float32Array.from({ length: sphere.positions.length / 3 }, (_, v) => of(outward(v)))
const radians = (degrees: number) => (degrees * Math.PI) / 180
const cap = (axis: Vec3, degrees: number) => perVertex(n => (dot(n, axis) > Math.cos(radians(degrees)) ? 1 : 0))
/** Exposure that falls with the cosine: above cos(a) lies the cap of half-angle a. */
const light = (axis: Vec3) => perVertex(n => dot(n, axis))

describe('two caps on a sphere', () => {
  const axis = directionFrom(35, 50)

  // A cap of half-angle a has area 2πR²(1 − cos a); the rims of two around one axis are 2R sin(|a − b|/2) apart.
  test.each([
    [40, 55],
    [70, 48],
  ])('around one axis, guessed %i° where %i° is lit', (guessed, lit) => {
    const score = scoreGuess(sphere, cap(axis, guessed), light(axis), Math.cos(radians(lit)))
    const [small, large] = [Math.min(guessed, lit), Math.max(guessed, lit)].map(a => 1 - Math.cos(radians(a)))
    expect(Math.abs(score.overlap - small / large)).toBeLessThan(0.01)
    expect(score.edgeErrorMm).toBeCloseTo(2 * RADIUS * Math.sin(radians(Math.abs(guessed - lit)) / 2), 1)
    expect(Math.abs(score.missed - (guessed < lit ? 1 - small / large : 0))).toBeLessThan(0.01)
    expect(Math.abs(score.wrong - (guessed > lit ? 1 - small / large : 0))).toBeLessThan(0.01)
  })

  // Two hemispheres whose axes are φ apart share a lune of (π − φ)/π of each: overlap (π − φ)/(π + φ).
  test.each([30, 100])('hemispheres %i° apart', phi => {
    const other = directionFrom(35, 50 - phi)
    const score = scoreGuess(sphere, cap(other, 90), light(axis), 0)
    expect(Math.abs(score.overlap - (180 - phi) / (180 + phi))).toBeLessThan(0.01)
    expect(Math.abs(score.missed - phi / 180)).toBeLessThan(0.01)
    // A rim point at angle s from where the rims cross is asin(sin φ · sin s) off the other great circle.
    let sum = 0
    for (let s = 0.5; s < 360; s++)
      sum += 2 * RADIUS * Math.sin(Math.asin(Math.abs(Math.sin(radians(phi)) * Math.sin(radians(s)))) / 2)
    expect(Math.abs(score.edgeErrorMm! - sum / 360)).toBeLessThan(0.15)
  })

  // Lit: within 30° and beyond 80° of the axis; guessed: the cap of 30° alone. Its edge is right, the other one, 2R sin 25°
  // away, is missing.
  test('an edge that is missing counts', () => {
    const band = perVertex(n => {
      const angle = (Math.acos(Math.min(1, Math.max(-1, dot(n, axis)))) * 180) / Math.PI
      return angle < 55 ? 30 - angle : angle - 80
    })
    const score = scoreGuess(sphere, cap(axis, 30), band, 0)
    // Both rims count by their length on the way back: sin 80° of it lies 2R sin 25° away, sin 30° nowhere.
    const [near, far] = [Math.sin(radians(30)), Math.sin(radians(80))]
    const back = (far * 2 * RADIUS * Math.sin(radians(25))) / (near + far)
    expect(Math.abs(score.edgeErrorMm! - back / 2)).toBeLessThan(0.15)
  })

  test('what is not counted weighs nothing', () => {
    const front = Uint8Array.from({ length: sphere.triangles.length / 3 }, (_, t) =>
      outward(sphere.triangles[3 * t])[2] > 0 ? 1 : 0,
    )
    // Guessed: the whole sphere. Lit: the right half. Counted: the front half, of which half is lit.
    const score = scoreGuess(sphere, cap([0, 0, 1], 181), light([1, 0, 0]), 0, front)
    expect(score.overlap).toBeCloseTo(0.5, 1)
  })
})

test('nothing painted overlaps nothing and has no edge; nothing lit and nothing painted agree', () => {
  const axis = directionFrom(10, 20)
  const nothing = cap(axis, 0)
  expect(scoreGuess(sphere, nothing, light(axis), 0.5)).toMatchObject({ overlap: 0, missed: 1, edgeErrorMm: null })
  expect(scoreGuess(sphere, nothing, light(axis), 2).overlap).toBe(1)
})

test('a brush of 3 mm paints the cap of a ball around its place, and only what faces the eye', () => {
  const guess = new Float32Array(sphere.positions.length / 3)
  const axis = directionFrom(-20, 30)
  const at: Vec3 = [RADIUS * axis[0], RADIUS + RADIUS * axis[1], RADIUS * axis[2]]
  brushGuess(sphere, guess, at, [-axis[0], -axis[1], -axis[2]], 3, 1)
  // A chord of 3 mm on a radius of 16 spans 2 asin(3/32).
  const expected = cap(axis, (2 * Math.asin(3 / 32) * 180) / Math.PI)
  expect(guess.reduce((n, g, v) => n + Math.abs(g - expected[v]), 0)).toBeLessThan(4)
  brushGuess(sphere, guess, at, axis, 3, 0)
  expect(Math.max(...guess)).toBe(1)
  brushGuess(sphere, guess, at, [-axis[0], -axis[1], -axis[2]], 3.1, 0)
  expect(Math.max(...guess)).toBe(0)
})
