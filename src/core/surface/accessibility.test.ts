import { describe, expect, test } from 'vitest'
import { figureOf, icosphere, sheet, type TestPiece } from '../spray/test-figures.ts'
import type { Vec3 } from '../vec3.ts'
import { accessibilityMm } from './accessibility.ts'

/** The same surface seen from its other side. */
function insideOut({ positions, normals, triangles }: TestPiece): TestPiece {
  const turned = [...triangles]
  for (let t = 0; t < turned.length; t += 3) [turned[t + 1], turned[t + 2]] = [turned[t + 2], turned[t + 1]]
  return { positions, normals: Array.from(normals!, x => -x), triangles: turned }
}

const radiiOf = (pieces: readonly TestPiece[], probeMm: number) => {
  const figure = figureOf(pieces)
  const radii = accessibilityMm(figure, probeMm)
  const at = (v: number): Vec3 => [...figure.positions.subarray(3 * v, 3 * v + 3)] as unknown as Vec3
  return [...radii].map((radius, v) => ({ radius, at: at(v) }))
}

/** Every sphere through a point of a sphere's inside that touches it from within is that sphere. Closed form. */
test.each([1.3, 4])('inside a ball of %d mm: its radius; a smaller probe is the limit', radius => {
  const ball = insideOut(icosphere(4, radius, [1, 5, -2]))
  for (const { radius: r } of radiiOf([ball], 10)) expect(r / radius).toBeCloseTo(1, 3)
  for (const { radius: r } of radiiOf([ball], 0.8)) expect(r).toBeCloseTo(0.8, 6)
})

test('outside a ball everything is in reach', () => {
  for (const { radius } of radiiOf([icosphere(4, 3, [0, 3, 0])], 5)) expect(radius).toBe(5)
})

/** A circle in a corner of half-angle a touches both walls s from the apex: r = s·tan a. Closed form. */
describe.each([20, 35, 50])('a groove whose walls stand %i° to its middle', half => {
  const a = (half * Math.PI) / 180
  const wall = (side: 1 | -1, cells: number) =>
    sheet(
      cells,
      cells,
      // Unlike spacing on the two walls: no vertex stands opposite another.
      (u, v) => {
        const s = (side > 0 ? 6 : 5.3) * u
        return [side * s * Math.sin(a), s * Math.cos(a), 12 * (v - 0.5) + 0.07 * side]
      },
      () => [-side * Math.cos(a), Math.sin(a), 0],
    )
  const error = (cells: number) => {
    const along = radiiOf([wall(1, cells), wall(-1, cells)], 2).filter(
      ({ at }) => Math.abs(at[2]) < 1 && Math.abs(Math.hypot(at[0], at[1]) - 1) < 0.5,
    )
    expect(along.length).toBeGreaterThan(5)
    return Math.max(...along.map(({ at, radius }) => Math.abs(radius - Math.hypot(at[0], at[1]) * Math.tan(a))))
  }
  test('r = s·tan a, nearer as vertices stand closer', () => {
    expect(error(96)).toBeLessThan(0.02)
    expect(error(96)).toBeLessThan(error(24) / 3)
  })
})

/** Closed form: half the width, between walls that are deep and long. */
test('a slot of 1.4 mm: half of it', () => {
  const wall = (side: 1 | -1) =>
    sheet(
      60,
      60,
      (u, v) => [side * 0.7, 6 * u, 6 * (v - 0.5)],
      () => [-side, 0, 0],
    )
  const middle = radiiOf([wall(1), wall(-1)], 3).filter(({ at }) => Math.abs(at[2]) < 1 && Math.abs(at[1] - 3) < 1)
  expect(middle.length).toBeGreaterThan(100)
  for (const { radius } of middle) expect(radius).toBeCloseTo(0.7, 2)
})

/** On the wall of a hole its radius R; on its flat bottom R less the distance from the axis. Closed form. */
test('a blind hole of radius 1.1 mm', () => {
  const R = 1.1
  const wall = sheet(
    160,
    60,
    (u, v) => [R * Math.sin(2 * Math.PI * u), 6 * v, R * Math.cos(2 * Math.PI * u)],
    u => [-Math.sin(2 * Math.PI * u), 0, -Math.cos(2 * Math.PI * u)],
  )
  const bottom = sheet(
    40,
    160,
    (u, v) => [R * u * Math.cos(2 * Math.PI * v), 0, R * u * Math.sin(2 * Math.PI * v)],
    () => [0, 1, 0],
  )
  const radii = radiiOf([wall, bottom], 3)
  for (const { at, radius } of radii) {
    const axis = Math.hypot(at[0], at[2])
    if (at[1] > 2 && at[1] < 4) expect(radius).toBeCloseTo(R, 2)
    else if (at[1] === 0 && axis < 0.8 * R) expect(Math.abs(radius - (R - axis))).toBeLessThan(0.02)
  }
})

test('a search of every vertex against every other finds the same', () => {
  const figure = figureOf([icosphere(3, 3, [0, 4, 0]), icosphere(3, 2, [3.9, 5, 1]), icosphere(2, 1, [-1, 8, 2])])
  const { positions: p, normals: n } = figure
  const radii = accessibilityMm(figure, 1.5)
  let smaller = 0
  for (let v = 0; v < radii.length; v++) {
    let r = 1.5
    for (let q = 0; q < radii.length; q++) {
      const d = [0, 1, 2].map(k => p[3 * q + k] - p[3 * v + k])
      const squared = d[0] ** 2 + d[1] ** 2 + d[2] ** 2
      const along = d[0] * n[3 * v] + d[1] * n[3 * v + 1] + d[2] * n[3 * v + 2]
      if (squared > 1e-12 && along > 0) r = Math.min(r, squared / (2 * along))
    }
    expect(radii[v]).toBeCloseTo(r, 5)
    if (r < 1.5) smaller++
  }
  expect(smaller).toBeGreaterThan(50)
})
