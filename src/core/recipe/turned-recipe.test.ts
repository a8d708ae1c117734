import { expect, test } from 'vitest'
import { torchAxis } from '../spray/emitters.ts'
import { demoRecipe } from './demo-recipe.ts'
import { turnedRecipe } from './turned-recipe.ts'

test('a figure turned to its left sees torch and aim come round to its right', () => {
  const recipe = demoRecipe()
  const coats = recipe.coats.map(coat =>
    coat.kind === 'mist'
      ? { ...coat, torches: coat.torches.map(t => ({ ...t, azimuthDegrees: 35, aim: [0.3, 0.4, -0.1] as const })) }
      : coat,
  )
  const [before, after] = [{ ...recipe, coats }, turnedRecipe({ ...recipe, coats }, 50)].map(r => {
    const [coat] = r.coats
    if (coat.kind !== 'mist') throw new Error('the demo begins with a mist')
    return torchAxis(coat.torches[0], 30).nozzle
  })
  // The nozzle in the figure's frame goes round by −50°: its height and its distance from the axis stay.
  const angleOf = ([x, , z]: readonly number[]) => (Math.atan2(x, z) * 180) / Math.PI
  expect(angleOf(after)).toBeCloseTo(angleOf(before) - 50, 9)
  expect(after[1]).toBeCloseTo(before[1], 9)
  expect(Math.hypot(after[0], after[2])).toBeCloseTo(Math.hypot(before[0], before[2]), 9)
})
