import { expect, test } from 'vitest'
import { AIRBRUSH_SETTINGS, flowCapMm3PerS, WHITE_PRESHADE } from './airbrush-settings.ts'

test('defaults lie in their ranges, and every one says where it comes from', () => {
  for (const { value, min, max, basis } of Object.values(AIRBRUSH_SETTINGS)) {
    expect(value).toBeGreaterThan(min)
    expect(value).toBeLessThan(max)
    expect(basis.length).toBeGreaterThan(5)
  }
})

test('the needle caps the flow by its area (from memory), and lets the presets through', () => {
  expect(flowCapMm3PerS(0.6) / flowCapMm3PerS(0.3)).toBeCloseTo(4, 9)
  expect(flowCapMm3PerS(0.3)).toBeCloseTo(17, 9)
  expect(flowCapMm3PerS(WHITE_PRESHADE.airbrush.needleMm)).toBeGreaterThan(WHITE_PRESHADE.flowMm3PerS.max)
})
