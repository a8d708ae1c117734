import { expect, test } from 'vitest'
import { directionWords, turnedDegrees } from './direction-words.ts'

test('a direction is said as a painter would turn the figure', () => {
  const said = (azimuthDegrees: number, elevationDegrees: number) =>
    directionWords({ azimuthDegrees, elevationDegrees })
  expect(said(0, 0)).toBe('front, level')
  expect(said(180, 30)).toBe('back, 30° above')
  expect(said(-180, 30)).toBe('back, 30° above')
  expect(said(45, 7.5)).toBe('45° to its left, 8° above')
  expect(said(337.5, 45)).toBe('23° to its right, 45° above')
  expect(said(270, -20)).toBe('90° to its right, 20° below')
  expect(said(123, 90)).toBe('straight above')
  expect(turnedDegrees(181)).toBe(-179)
})
