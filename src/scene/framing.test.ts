import { describe, expect, test } from 'vitest'
import { add, anglesOf, cross, directionFrom, dot, scale, type Vec3 } from '../core/vec3.ts'
import type { Camera } from '../document/document.ts'
import { directionOnSphere, type Framing, framingOf, pointAtDepthOf, project, rayThrough } from './framing.ts'

/** Nothing here lies on an axis or a plane of symmetry: a swapped component cannot hide. */
/** A wide base, a narrow waist, a head that juts out: every slab counts somewhere. */
const FIGURE = { heightMm: 34, radiiMm: [13, 12, 5, 6, 0, 9, 8, 4] } as const
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

  test('a ray through a projected point meets it', () => {
    expect(project(FRAMING, FRAMING.target).x).toBeCloseTo(0, 12)
    expect(project(FRAMING, FRAMING.target).depth).toBeCloseTo(310, 9)
    const point: Vec3 = [7, 21, 4]
    const seen = project(FRAMING, point)
    const met = pointAtDepthOf(FRAMING, seen.x, seen.y, point)
    met.forEach((v, i) => {
      expect(v, `component ${i}`).toBeCloseTo(point[i], 9)
    })
    expect(dot(rayThrough(FRAMING, seen.x, seen.y), FRAMING.back)).toBeLessThan(0)
  })

  /** Rims of every slab, projected one by one: the referee of the closed form that fits the lens. */
  const covered = (framing: Framing) => {
    const seen = FIGURE.radiiMm.flatMap((radius, slab) =>
      radius === 0
        ? []
        : [slab, slab + 1].flatMap(edge =>
            Array.from({ length: 720 }, (_, a) =>
              project(framing, add(scale(directionFrom(a / 2, 0), radius), [0, (edge * 34) / 8, 0])),
            ),
          ),
    )
    const along = (of: (p: { x: number; y: number }) => number) => [
      Math.min(...seen.map(of)),
      Math.max(...seen.map(of)),
    ]
    return { x: along(p => p.x), y: along(p => p.y) }
  }

  test.each([1, 2.5, 0.4])(
    'at zoom 1 and aspect %f the figure fills the pane and is in its middle, from any place',
    aspect => {
      for (const elevationDegrees of [-60, 0, 18, 40, 89]) {
        for (const distanceMm of [120, 300, 1000]) {
          const framing = framingOf({ ...CAMERA, elevationDegrees, distanceMm, target: [0, 0.5, 0] }, FIGURE, aspect, 1)
          const { x, y } = covered(framing)
          const message = `elevation ${elevationDegrees}, ${distanceMm} mm`
          // Source: the margin asked for, a tenth.
          expect(Math.max(x[1], y[1]), message).toBeCloseTo(1 / 1.1, 4)
          expect(y[0] + y[1], message).toBeCloseTo(0, 9)
          expect(x[0] + x[1], message).toBeCloseTo(0, 9)
        }
      }
    },
  )

  test('zoom 2 shows everything twice as large', () => {
    const once = project(framingOf(CAMERA, FIGURE, 1.3, 1), [7, 21, 4])
    const twice = project(framingOf(CAMERA, FIGURE, 1.3, 2), [7, 21, 4])
    expect(twice.x).toBeCloseTo(2 * once.x, 12)
    expect(twice.y).toBeCloseTo(2 * once.y, 12)
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
