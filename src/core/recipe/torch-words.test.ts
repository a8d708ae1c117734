import { describe, expect, test } from 'vitest'
import { directionFrom, type Vec3 } from '../vec3.ts'
import type { Torch } from './recipe.ts'
import { TORCH_DEFAULTS } from './torch-sets.ts'
import { distanceWords, hourWords, torchWords } from './torch-words.ts'

const torch = (patch: Partial<Torch>): Torch => ({ ...TORCH_DEFAULTS, id: 'torch_1', ...patch })

describe('how to hold the figure', () => {
  test.each<[number, number, number, string]>([
    [30, 35, 0, 'brush level, figure tipped 35° towards the brush, turned to 1 o’clock'],
    [330, 35, 0, 'brush level, figure tipped 35° towards the brush, turned to 11 o’clock'],
    [0, 45, 45, 'brush level, figure tipped 45° towards the brush, turned to 12 o’clock, rolling 45° both ways'],
    [180, 20, 0, 'brush level, figure tipped 20° towards the brush, turned to 6 o’clock'],
    [90, -25, 120, 'brush level, figure tipped 25° away from the brush, turned to 3 o’clock, rolling 120° both ways'],
    [-45, 0, 0, 'brush level, figure upright, turned to half past 10'],
    [123, 90, 30, 'figure upright, brush straight down from above'],
    [0, -88, 0, 'figure upright, brush straight up from below'],
  ])('azimuth %d, elevation %d, roll %d', (azimuthDegrees, elevationDegrees, rollDegrees, words) => {
    expect(torchWords(torch({ azimuthDegrees, elevationDegrees, rollDegrees }))).toBe(words)
  })

  test('other sweeps say how', () => {
    expect(torchWords(torch({ sweep: { kind: 'area', radiusMm: 4.25 } }))).toMatch(/, over a disc of 8\.5 mm$/)
    expect(torchWords(torch({ sweep: { kind: 'still', secondsPerPass: 0.5 } }))).toMatch(
      /, held still for 0\.5 s a pass$/,
    )
    // The arc turns the figure by itself; its roll is not used (emitters).
    expect(torchWords(torch({ sweep: { kind: 'arc', spanDegrees: 120 }, rollDegrees: 30 }))).toBe(
      'brush level, figure tipped 45° towards the brush, turned to 12 o’clock, carried 120° around the figure',
    )
  })

  test('distance', () => expect(distanceWords({ distanceMm: 85.4 })).toBe('85 mm away'))
})

describe('following the words brings the torch to the level brush', () => {
  // The figure is turned and tipped as the words say, by rotations written out here; the brush is at +z.
  const turnedClockwise = ([x, y, z]: Vec3, degrees: number): Vec3 => {
    const [c, s] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)]
    // Seen from above with the brush (+z) at 12, the figure's left (+x) is at 9 and must go to 12.
    return [c * x - s * z, y, s * x + c * z]
  }
  const headTowardsBrush = ([x, y, z]: Vec3, degrees: number): Vec3 => {
    const [c, s] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)]
    return [x, c * y - s * z, s * y + c * z]
  }

  test('the two rotations are what they are called', () => {
    expect(turnedClockwise([1, 0, 0], 90)[2]).toBeCloseTo(1)
    expect(headTowardsBrush([0, 1, 0], 40)[2]).toBeGreaterThan(0)
  })

  test.each([
    [30, 35],
    [75, -25],
    [210, 10],
    [345, 60],
  ])('azimuth %d, elevation %d', (azimuthDegrees, elevationDegrees) => {
    const words = torchWords(torch({ azimuthDegrees, elevationDegrees }))
    const hour = /turned to (half past )?(\d+)/.exec(words)
    const tip = /tipped (\d+)° (towards|away from)/.exec(words)
    if (!hour || !tip) throw new Error(words)
    const turn = 30 * (Number(hour[2]) + (hour[1] ? 0.5 : 0))
    const tipped = Number(tip[1]) * (tip[2] === 'towards' ? 1 : -1)
    const seen = headTowardsBrush(turnedClockwise(directionFrom(azimuthDegrees, elevationDegrees), turn), tipped)
    expect(seen[0]).toBeCloseTo(0)
    expect(seen[1]).toBeCloseTo(0)
    expect(seen[2]).toBeCloseTo(1)
  })

  test('hours go all the way round', () => {
    expect([0, 44, 72, 144, 216, 288, 352, 353, -90, 720].map(hourWords)).toEqual([
      '12 o’clock',
      'half past 1',
      'half past 2',
      '5 o’clock',
      '7 o’clock',
      'half past 9',
      'half past 11',
      '12 o’clock',
      '9 o’clock',
      '12 o’clock',
    ])
  })
})
