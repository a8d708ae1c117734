import { expect, test } from 'vitest'
import { figureOf, sheet } from '../spray/test-figures.ts'
import { DIFFERENCE_BANDS, deltaEField, differenceBand, differenceOf } from './difference.ts'
import { comparedSide, differenceWords } from './difference-words.ts'
import { rasterView } from './raster-view.ts'
import type { ViewReading } from './reading.ts'

const luminanceFor = (l: number): number => (l > 8 ? ((l + 16) / 116) ** 3 : l / (29 / 3) ** 3)
const wall = figureOf([sheet(300, 3, (u, v) => [40 * u - 20, 20 * v, 0])])
const raster = rasterView(wall, { azimuthDegrees: 0, elevationDegrees: 0, distanceMm: 1e5, target: [0, 0.5, 0] })
const vertices = wall.positions.length / 3
/** Grey of an L* by the place across the wall, 0…1. */
const greyWall = (lStar: (across: number) => number): Float32Array =>
  Float32Array.from({ length: 3 * vertices }, (_, i) =>
    luminanceFor(lStar((wall.positions[3 * Math.floor(i / 3)] + 20) / 40)),
  )

test('bands end where they say', () => {
  expect([0, 0.99, 1, 2.29, 2.3, 4.9, 5, 9.9, 10, 60].map(differenceBand)).toEqual([0, 0, 1, 1, 2, 2, 3, 3, 4, 4])
  expect(DIFFERENCE_BANDS).toHaveLength(5)
})

/**
 * Around L* 50 two greys differ by their ΔL over S_L, which is 1 where their mean is 50 (Sharma, Wu & Dalal 2005). Left tenth:
 * 0.5 apart, next two tenths 4, next three 8, right four 20.
 */
test('shares are those of the wall that differ so', () => {
  const half = (x: number) => (x < 0.1 ? 0.25 : x < 0.3 ? 2 : x < 0.6 ? 4 : 10)
  const difference = differenceOf(
    raster,
    wall,
    greyWall(x => 50 - half(x)),
    greyWall(x => 50 + half(x)),
  )
  const expected = [0.1, 0, 0.2, 0.3, 0.4]
  for (const [i, share] of difference!.shares.entries()) expect(Math.abs(share - expected[i])).toBeLessThan(0.01)
  expect(difference?.meanDeltaE).toBeCloseTo(0.1 * 0.5 + 0.2 * 4 + 0.3 * 8 + 0.4 * 20, 0)
})

test('a field of ΔE00: 20 between L* 40 and 60, and nothing between equals', () => {
  const field = deltaEField(
    greyWall(() => 40),
    greyWall(x => (x > 0.25 ? 60 : 40)),
  )
  field.forEach((deltaE, v) => {
    if (Math.abs(wall.positions[3 * v] + 10) > 0.1) expect(deltaE).toBeCloseTo(wall.positions[3 * v] > -10 ? 20 : 0, 2)
  })
})

test('the sentence says what differs and by how much', () => {
  const reading = (contrast: number, contrastLeft: number | null) => ({ contrast, contrastLeft }) as ViewReading
  const words = differenceWords(
    comparedSide('over the zenithal', reading(26.4, 0.53)),
    comparedSide('over the flat base', reading(4.2, null)),
    { meanDeltaE: 7, shares: [0.1, 0.2, 0.3, 0.25, 0.15] },
  )
  expect(words).toBe(
    'Over the flat base the lights and darks differ by 4 steps of value; over the zenithal by 26, which is 53 % of the pre-shade. On 40 % of what is seen they differ plainly.',
  )
  expect(differenceWords(comparedSide('in a', reading(1, null)), comparedSide('in b', reading(1.2, 1)), null)).toBe(
    'In b the lights and darks differ by 1 step of value, which is 100 % of the pre-shade; in a by 1.',
  )
})
