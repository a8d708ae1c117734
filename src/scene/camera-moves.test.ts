import { expect, test } from 'vitest'
import { NAMED_VIEWS } from '../document/named-views.ts'
import { between, orbited, panned, wrapDegrees } from './camera-moves.ts'
import { framingOf, project } from './framing.ts'

const FIGURE = { heightMm: 34, radiiMm: [13, 5, 9] } as const

test.each([
  [-180, 180],
  [190, -170],
  [725, 5],
  [-541, 179],
])('%d degrees is %d', (degrees, wrapped) => {
  expect(wrapDegrees(degrees)).toBe(wrapped)
})

test('the way from 170 to −150 leads over the back', () => {
  const from = { ...NAMED_VIEWS.table, azimuthDegrees: 170 }
  const to = { ...NAMED_VIEWS.hand, azimuthDegrees: -150 }
  expect(between(from, to, 0.75).azimuthDegrees).toBeCloseTo(-160, 9)
  expect(between(from, to, 1)).toEqual(to)
  // Halfway by logarithm between 1000 and 300 mm: their geometric mean.
  expect(between(from, to, 0.5).distanceMm).toBeCloseTo(Math.sqrt(1000 * 300), 6)
})

test('panning by what a point is off the middle brings it there', () => {
  const camera = { ...NAMED_VIEWS.table, azimuthDegrees: 50, elevationDegrees: 20 }
  const before = framingOf(camera, FIGURE, 1.2, 2)
  const moved = framingOf(panned(camera, before, 3, -2, FIGURE.heightMm), FIGURE, 1.2, 2)
  const point = before.target.map((t, i) => t + 3 * before.right[i] - 2 * before.up[i]) as [number, number, number]
  const middle = project(before, before.target)
  expect(project(moved, point).x).toBeCloseTo(middle.x, 9)
  expect(project(moved, point).y).toBeCloseTo(middle.y, 9)
})

test('orbiting frees the camera from its named view and stops short of the pole', () => {
  const moved = orbited(NAMED_VIEWS.table, 10, 200)
  expect(moved.view).toBe('free')
  expect(moved.elevationDegrees).toBeLessThan(90)
  expect(moved.azimuthDegrees).toBe(35)
})
