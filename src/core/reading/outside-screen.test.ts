import { expect, test } from 'vitest'
import { figureOf, sheet } from '../spray/test-figures.ts'
import { outsideScreen } from './outside-screen.ts'
import { rasterView } from './raster-view.ts'

/** An upright wall, 40 wide, facing the front; columns of vertices 0.1 mm apart. */
const wall = figureOf([sheet(400, 3, (u, v) => [40 * u - 20, 20 * v, 0])])
const raster = rasterView(wall, { azimuthDegrees: 0, elevationDegrees: 0, distanceMm: 1e5, target: [0, 0.5, 0] })
const vertices = wall.positions.length / 3
const shareFromLeft = (v: number) => (wall.positions[3 * v] + 20) / 40
const colours = (of: (share: number) => readonly [number, number, number]) => {
  const rgb = new Float32Array(3 * vertices)
  for (let v = 0; v < vertices; v++) rgb.set(of(shareFromLeft(v)), 3 * v)
  return rgb
}

test('shares of what is seen that sRGB and that P3 cannot show', () => {
  // Green of P3 and one beyond it, in linear sRGB; then a plain one.
  const linearRgb = colours(s => (s < 0.1 ? [-0.4, 1.1, -0.1] : s < 0.35 ? [-0.2, 1, -0.05] : [0.2, 0.5, 0.3]))
  const outside = outsideScreen(raster, wall, { linearRgb, surface: null })
  expect(outside?.srgb).toBeCloseTo(0.35, 2)
  expect(outside?.['display-p3']).toBeCloseTo(0.1, 2)
})

test('a gloss takes the surface’s 4 % away first', () => {
  const linearRgb = colours(() => [0.02, 0.3, 0.5])
  const surface = new Uint8Array(4 * vertices)
  for (let v = 0; v < vertices; v++) surface[4 * v] = shareFromLeft(v) < 0.6 ? 255 : 0
  expect(outsideScreen(raster, wall, { linearRgb, surface: null })?.srgb).toBe(0)
  expect(outsideScreen(raster, wall, { linearRgb, surface })?.srgb).toBeCloseTo(0.6, 2)
})
