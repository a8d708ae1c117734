import { expect, test } from 'vitest'
import { bakeExposure } from './bake-exposure.ts'
import { emittersOf } from './emitters.ts'
import { largestExposure } from './largest-exposure.ts'
import { figureOf, icosphere } from './test-figures.ts'
import { TORCH } from './test-torches.ts'

// A ball has every normal: its largest exposure is what the bound has to reach, and not by much.
const figure = figureOf([icosphere(4, 15, [1, 16, -2])])

test.each([0, 35, 120])('no vertex of a ball has more; 15 %% more at most is promised, roll ±%d°', rollDegrees => {
  const emitters = emittersOf({ ...TORCH, azimuthDegrees: 33, rollDegrees }, figure, 16)
  const largest = bakeExposure(figure, {}, emitters, { bufferSize: 256 }).reduce((a, b) => Math.max(a, b), 0)
  const bound = largestExposure(emitters, figure.box)
  expect(bound).toBeGreaterThanOrEqual(largest)
  expect(bound).toBeLessThan(1.15 * largest)
})

test('a resting nozzle: no vertex has more', () => {
  const emitters = emittersOf({ ...TORCH, azimuthDegrees: 33, sweep: { kind: 'still', secondsPerPass: 1 } }, figure, 16)
  const largest = bakeExposure(figure, {}, emitters, { bufferSize: 256 }).reduce((a, b) => Math.max(a, b), 0)
  expect(largestExposure(emitters, figure.box)).toBeGreaterThanOrEqual(largest)
})
