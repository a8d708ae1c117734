import { expect, test } from 'vitest'
import { barOfPsi, coatKindWords, mixWords, passesWords, pressureWords, psiOfBar, wholeDrops } from './coat-words.ts'
import { demoRecipe } from './demo-recipe.ts'
import type { MistCoat, Mix } from './recipe.ts'

const mix = (paintDrops: number, thinnerDrops: number, mediumDrops = 0): Mix => ({
  paintDrops,
  thinnerDrops,
  mediumDrops,
})

test('pressure in psi and bar', () => {
  // Independent: pound-force 4.4482216152605 N over square inch 6.4516e-4 m².
  expect(barOfPsi(1)).toBeCloseTo(4.4482216152605 / 6.4516e-4 / 1e5, 6)
  expect(barOfPsi(25)).toBeCloseTo(1.72, 2)
  expect(psiOfBar(barOfPsi(18))).toBeCloseTo(18, 9)
  expect(pressureWords(1.72)).toBe('25 psi (1.72 bar)')
  expect(pressureWords(1.24)).toBe('18 psi (1.24 bar)')
})

test('a mix is said in drops', () => {
  expect(mixWords(mix(1, 3))).toBe('1 paint + 3 thinner')
  expect(mixWords(mix(2, 5, 1))).toBe('2 paint + 5 thinner + 1 medium')
  expect(mixWords(mix(1, 0, 4))).toBe('1 paint + 4 medium')
  expect(mixWords(mix(0, 0))).toBe('nothing in the pot')
})

test('whole drops keep the mix', () => {
  expect(wholeDrops(mix(2, 6))).toEqual(mix(2, 6))
  expect(wholeDrops(mix(1, 2.5))).toEqual(mix(2, 5))
  expect(wholeDrops(mix(0.25, 1, 0.5))).toEqual(mix(1, 4, 2))
  expect(wholeDrops(mix(1, 4 / 3))).toEqual(mix(3, 4))
  // Beyond a pot of twenty the nearest that keeps everything in: within 1 % here.
  const near = wholeDrops(mix(1, Math.PI, 0))
  expect(near.thinnerDrops / near.paintDrops).toBeCloseTo(Math.PI, 2)
  expect(Number.isInteger(near.thinnerDrops)).toBe(true)
  expect(wholeDrops(mix(0.001, 1)).paintDrops).toBe(1)
})

test('kind and passes', () => {
  const [white, , deep] = demoRecipe().coats as MistCoat[]
  expect(coatKindWords(white)).toBe('sprayed')
  expect(coatKindWords({ kind: 'even' })).toBe('all over')
  expect(passesWords(white)).toBe('12 passes a side')
  expect(passesWords(deep)).toBe('3 passes')
  const [front, back] = white.torches
  expect(passesWords({ ...white, torches: [front, { ...back, passes: 5 }] })).toBe('passes vary: 5 to 12')
  expect(
    passesWords({
      ...white,
      torches: [
        { ...front, passes: 1 },
        { ...back, muted: true },
      ],
    }),
  ).toBe('1 pass')
  expect(passesWords({ ...white, torches: [] })).toBe('no passes')
})
