import { describe, expect, test } from 'vitest'
import { add, cross, directionFrom, dot, scale, type Vec3 } from '../core/vec3.ts'
import type { Camera } from '../document/document.ts'
import { anglesOf, directionOnSphere, framingOf, pointAtDepthOf, project, rayThrough } from './framing.ts'

/** Nothing here lies on an axis or a plane of symmetry: a swapped component cannot hide. */
const FIGURE = { heightMm: 34, box: [-11, 0, -9, 12, 34, 10] } as const
const CAMERA: Camera = {
  view: 'free',
  azimuthDegrees: 37,
  elevationDegrees: 22,
  distanceMm: 310,
  target: [0.05, 0.45, -0.03],
}
const FRAMING = framingOf(CAMERA, FIGURE, 1.3, 1.7)
const CENTRE: Vec3 = [1, 15, -2]

describe('the frame', () => {
  test('is right-handed and unit, with up on screen towards +y', () => {
    const made = cross(FRAMING.right, FRAMING.up)
    made.forEach((v, i) => {
      expect(v, `component ${i}`).toBeCloseTo(FRAMING.back[i], 12)
    })
    expect(dot(FRAMING.up, FRAMING.up)).toBeCloseTo(1, 12)
    expect(FRAMING.up[1]).toBeGreaterThan(0)
  })

  test('seen from the front, the figure’s own left is on the right of the picture', () => {
    const front = framingOf({ ...CAMERA, azimuthDegrees: 0, target: [0, 0.5, 0] }, FIGURE, 1, 1)
    expect(project(front, [5, 17, 0]).x).toBeGreaterThan(0)
  })

  test('the target is in the middle, and a ray through a projected point meets it', () => {
    const middle = project(FRAMING, FRAMING.target)
    expect(middle.x).toBeCloseTo(0, 12)
    expect(middle.depth).toBeCloseTo(310, 9)
    const point: Vec3 = [7, 21, 4]
    const seen = project(FRAMING, point)
    const met = pointAtDepthOf(FRAMING, seen.x, seen.y, point)
    met.forEach((v, i) => {
      expect(v, `component ${i}`).toBeCloseTo(point[i], 9)
    })
    expect(dot(rayThrough(FRAMING, seen.x, seen.y), FRAMING.back)).toBeLessThan(0)
  })

  test.each([1, 0.4, 2.5])(
    'at zoom 1 every corner of an upright cylinder around the figure is in the pane (aspect %f)',
    aspect => {
      for (const elevationDegrees of [-60, 0, 18, 40, 90]) {
        for (const distanceMm of [300, 1000]) {
          const framing = framingOf({ ...CAMERA, elevationDegrees, distanceMm, target: [0, 0.5, 0] }, FIGURE, aspect, 1)
          for (let a = 0; a < 360; a += 15) {
            for (const y of [0, 34]) {
              const seen = project(framing, add(scale(directionFrom(a, 0), 12), [0, y, 0]))
              expect(Math.max(Math.abs(seen.x), Math.abs(seen.y))).toBeLessThan(1)
            }
          }
        }
      }
    },
  )

  test('nearer and farther eyes show the figure equally large', () => {
    const near = framingOf({ ...CAMERA, distanceMm: 300, target: [0, 0.5, 0] }, FIGURE, 1, 1)
    const far = framingOf({ ...CAMERA, distanceMm: 1000, target: [0, 0.5, 0] }, FIGURE, 1, 1)
    const aside = (f: typeof near) => project(f, add(f.target, scale(f.up, 10))).y
    expect(aside(near)).toBeCloseTo(aside(far), 12)
  })
})

describe('dragging on the sphere around an aim point', () => {
  const along = (azimuth: number, elevation: number) => {
    const direction = directionFrom(azimuth, elevation)
    const seen = project(FRAMING, add(CENTRE, scale(direction, 9)))
    return { direction, seen }
  }

  test.each([
    ['near', 60, 40],
    ['near', -20, 5],
    ['far', 190, 30],
    ['far', -120, -35],
  ] as const)('%s side at azimuth %d, elevation %d: the direction that was projected comes back', (side, a, e) => {
    const { direction, seen } = along(a, e)
    const found = directionOnSphere(FRAMING, seen.x, seen.y, CENTRE, 9, side)
    found.forEach((v, i) => {
      expect(v, `component ${i}`).toBeCloseTo(direction[i], 9)
    })
  })

  test('over the rim the other side follows', () => {
    const middle = project(FRAMING, CENTRE)
    const outside = directionOnSphere(FRAMING, middle.x + 1.2, middle.y, CENTRE, 9, 'near')
    const toEye = add(FRAMING.eye, scale(CENTRE, -1))
    expect(dot(outside, toEye)).toBeLessThan(0)
  })
})

test.each([
  [33, -48],
  [-171, 12],
  [150, 89],
])('azimuth %d, elevation %d survive the way through a direction', (azimuthDegrees, elevationDegrees) => {
  const found = anglesOf(directionFrom(azimuthDegrees, elevationDegrees))
  expect(found.azimuthDegrees).toBeCloseTo(azimuthDegrees, 9)
  expect(found.elevationDegrees).toBeCloseTo(elevationDegrees, 9)
})
