import { expect, test } from 'vitest'
import type { Paint } from '../recipe/recipe.ts'
import { atSaturation } from './kept-at-saturation.ts'
import { letThroughWords } from './let-through-words.ts'
import { PAINT_SHELF } from './paint-shelf.ts'

const paint = (id: string): Paint => PAINT_SHELF.find(p => p.id === id)!
const through = (id: string) => ({ name: paint(id).name, kept: atSaturation(paint(id))!.kept })

/** Common practice, no source: a covering blue needs the pre-shade less than a transparent red does, as it lets less through. */
test('names the one that lets more through, whichever comes first, with both figures', () => {
  for (const words of [
    letThroughWords(through('cold_blue'), through('clear_red')),
    letThroughWords(through('clear_red'), through('cold_blue')),
  ])
    expect(words).toMatch(
      /^At the same saturation Transparent red lets more .*: (29|30) of .* stay, of Cold blue 1[78]\.$/,
    )
})

test('two that differ by hardly a step are alike', () => {
  const words = letThroughWords({ name: 'One', kept: 0.4 }, { name: 'Two', kept: 0.425 })
  expect(words).toBe('At the same saturation One and Two let about as much of the pre-shade through.')
  expect(letThroughWords({ name: 'One', kept: 0.4 }, { name: 'Two', kept: 0.45 })).toContain(': 23 of')
})
