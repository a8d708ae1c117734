import { expect, test } from 'vitest'
import { CAUTIONS, CAUTIONS_DEFER, CAUTIONS_SHORT } from './cautions.ts'

test('both lists begin by deferring to the data sheet and local rules', () => {
  expect(CAUTIONS_DEFER).toMatch(/safety data sheet.*local rules.*licensed practice/)
  expect(CAUTIONS_SHORT[0]).toBe(CAUTIONS_DEFER)
  expect(CAUTIONS[0].text).toBe(CAUTIONS_DEFER)
  expect(CAUTIONS_SHORT.length).toBeLessThanOrEqual(6)
})

// What HSE, NIOSH and OSHA warn of about spraying: nothing of it may get lost when the words change.
test.each([
  [/water-based/],
  [/booth/],
  [/not vapour/],
  [/isocyanate/],
  [/isopropyl alcohol.*12 °C/],
  [/cadmium, lead, chromate or cobalt/],
  [/nitrile or neoprene gloves, not latex/],
  [/never point it at skin or eyes/i],
  [/drain: local waste rules/],
  [/ask a doctor/],
])('a caution says %s', words => {
  expect(CAUTIONS.filter(({ text }) => words.test(text))).toHaveLength(1)
})
