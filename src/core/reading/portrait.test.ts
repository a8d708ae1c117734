import { expect, test } from 'vitest'
import { srgbByte } from '../colour/srgb.ts'
import { figureOf, icosphere, sheet } from '../spray/test-figures.ts'
import { portrait } from './portrait.ts'

const FRONT = { azimuthDegrees: 0, elevationDegrees: 0, distanceMm: 1e5, target: [0, 0.5, 0] } as const

test('a ball covers π/4 of its picture, as large as it is', () => {
  const ball = figureOf([icosphere(5, 7, [0, 7, 0])])
  const { rgba, width, pixelWidthMm, pixelHeightMm } = portrait(
    ball,
    new Float32Array(ball.positions.length).fill(0.2),
    FRONT,
    64,
  )
  let covered = 0
  for (let i = 3; i < rgba.length; i += 4) covered += rgba[i] / 255
  expect(covered / 64 ** 2).toBeCloseTo(Math.PI / 4, 2)
  expect(width * pixelWidthMm).toBeCloseTo(14, 1)
  expect(pixelHeightMm).toBeCloseTo(pixelWidthMm, 3)
  expect(rgba[4 * (32 * 64 + 32)]).toBe(srgbByte(0.2))
})

test('colours stand where they are: the wall’s left is the picture’s left, its top the first row', () => {
  const wall = figureOf([sheet(60, 3, (u, v) => [30 * u - 15, 20 * v, 0])])
  const rgb = Float32Array.from(wall.positions, (_, i) => {
    const v = 3 * Math.floor(i / 3)
    // Red grows to the right, green upwards, blue is even.
    return [(wall.positions[v] + 15) / 30, wall.positions[v + 1] / 20, 0.3][i % 3]
  })
  const { rgba } = portrait(wall, rgb, FRONT, 30)
  const at = (column: number, row: number) => [...rgba.subarray(4 * (30 * row + column), 4 * (30 * row + column) + 3)]
  const expected = (u: number, v: number) => [u, v, 0.3].map(srgbByte)
  for (const [column, row] of [
    [3, 4],
    [25, 12],
    [14, 27],
  ])
    for (const [k, byte] of at(column, row).entries())
      expect(Math.abs(byte - expected((column + 0.5) / 30, 1 - (row + 0.5) / 30)[k])).toBeLessThanOrEqual(2)
})
