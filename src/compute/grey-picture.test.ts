import { expect, test } from 'vitest'
import { rasterView } from '../core/reading/raster-view.ts'
import { figureOf, sheet } from '../core/spray/test-figures.ts'
import { greyPicture } from './grey-picture.ts'

/** A standing sheet of 10 × 30 mm that looks to the front; the field grows from the viewer's left to the right. */
const figure = figureOf([sheet(10, 30, (u, v) => [10 * (u - 0.5), 30 * v, 0])])
const raster = rasterView(figure, { azimuthDegrees: 0, elevationDegrees: 0, distanceMm: 1e5, target: [0, 0.5, 0] }, 256)
const field = Float32Array.from({ length: figure.positions.length / 3 }, (_, v) => figure.positions[3 * v] / 10 + 0.5)

test('has square pixels, right way round, even in L*', () => {
  const { width, height, grey, opacity } = greyPicture(figure, raster, field, 90)
  expect([width, height]).toEqual([30, 90])
  const at = (x: number, y: number) => grey[y * width + x]
  expect([...opacity].every(o => o === 255)).toBe(true)
  expect(at(0, 40)).toBeLessThan(10)
  expect(at(29, 40)).toBeGreaterThan(245)
  // L* 50 is code 119 of sRGB (CIE 15, IEC 61966-2-1): the middle lies between the two middle columns.
  expect(Math.abs((at(14, 40) + at(15, 40)) / 2 - 119)).toBeLessThan(2)
})

test('is clear where the figure is not, and its field may leave 0…1', () => {
  const half = { ...figure, triangles: figure.triangles.slice(0, figure.triangles.length / 2) }
  const seen = rasterView(half, { azimuthDegrees: 0, elevationDegrees: 0, distanceMm: 1e5, target: [0, 0.5, 0] }, 256)
  const { width, height, grey, opacity } = greyPicture(
    half,
    seen,
    field.map(() => 7),
    90,
  )
  expect(opacity[1 * width + 5]).toBe(0)
  expect(opacity[(height - 2) * width + 5]).toBe(255)
  expect(Math.max(...grey)).toBe(255)
})
