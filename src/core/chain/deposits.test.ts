import { describe, expect, test } from 'vitest'
import { demoRecipe } from '../recipe/demo-recipe.ts'
import type { EvenCoat, MistCoat, Recipe } from '../recipe/recipe.ts'
import { filmOfPass } from '../spray/film-per-pass.ts'
import { figureOf, icosphere } from '../spray/test-figures.ts'
import { depositsUm, directExposure, type Fields } from './deposits.ts'

const figure = figureOf([icosphere(1, 3, [0, 3, 0]), icosphere(2, 2, [7, 4, 1])])
const vertices = figure.positions.length / 3
const [first, second] = figure.parts
const demo = demoRecipe()
const mist = demo.coats[0] as MistCoat
const [front, back] = mist.torches

/** Uneven on purpose: a swapped torch or vertex cannot hide. */
const field = (seed: number) => Float32Array.from({ length: vertices }, (_, v) => Math.abs(Math.sin(seed + v * seed)))
const exposure = new Map([
  [front.id, field(1.3)],
  [back.id, field(2.7)],
])
const openness = field(0.4)
const fields: Fields = {
  exposureOf: (_, torch) => exposure.get(torch.id) ?? null,
  opennessOf: () => openness,
}
const recipeOf = (...coats: (MistCoat | EvenCoat)[]): Recipe => ({ ...demo, coats })
const sprayed = (frontPasses: number, backPasses: number, more: Partial<MistCoat> = {}): MistCoat => ({
  ...mist,
  torches: [
    { ...front, passes: frontPasses },
    { ...back, passes: backPasses },
  ],
  ...more,
})
const even: EvenCoat = {
  kind: 'even',
  id: 'even',
  name: '',
  hidden: false,
  paint: 'white',
  mix: mist.mix,
  parts: {},
  thicknessUm: 12.5,
}
const depositOf = (coat: MistCoat | EvenCoat) => depositsUm(figure, recipeOf(coat), fields)[0]

describe('a sprayed coat', () => {
  test('is passes × (direct film × exposure + diffuse film × openness), summed over torches', () => {
    const { volumeSolids } = demo.paints.find(p => p.id === mist.paint)!
    const deposit = depositOf(sprayed(3, 5))
    for (let v = 0; v < vertices; v += 7) {
      const expected = [
        { torch: front, passes: 3 },
        { torch: back, passes: 5 },
      ].reduce((sum, { torch, passes }) => {
        const film = filmOfPass(torch, mist.airbrush, mist.mix, volumeSolids)
        return sum + passes * (film.directUm * exposure.get(torch.id)![v] + film.diffuseUm * openness[v])
      }, 0)
      expect(deposit[v], `vertex ${v}`).toBeCloseTo(expected, 5)
    }
  })

  test('is linear in passes', () => {
    const [once, thrice] = [depositOf(sprayed(1, 2)), depositOf(sprayed(3, 6))]
    for (let v = 0; v < vertices; v++) expect(thrice[v]).toBeCloseTo(3 * once[v], 4)
  })

  test('muted torches and fields that are still missing leave nothing', () => {
    const muted = sprayed(3, 5, {
      torches: [
        { ...front, passes: 3 },
        { ...back, passes: 5, muted: true },
      ],
    })
    expect(depositOf(muted)).toEqual(depositOf(sprayed(3, 0)))
    const none: Fields = { exposureOf: () => null, opennessOf: () => openness }
    expect(Math.max(...depositsUm(figure, recipeOf(sprayed(3, 5)), none)[0])).toBe(0)
  })
})

describe('an even coat', () => {
  test('is one thickness on every part but those left out', () => {
    const deposit = depositOf({ ...even, parts: { [second.id]: 'absent', [first.id]: 'apart' } })
    for (let v = 0; v < vertices; v++) expect(deposit[v]).toBe(v < first.vertexCount ? 12.5 : 0)
  })
})

test('hidden coats are all zero, and keep their place in the order', () => {
  const [hidden, shown] = depositsUm(figure, recipeOf({ ...even, hidden: true }, even), fields)
  expect(Math.max(...hidden)).toBe(0)
  expect(Math.min(...shown)).toBe(12.5)
})

test('direct exposure sums the pre-shade’s torches that spray, once each whatever their passes', () => {
  const recipe = recipeOf(sprayed(3, 0), sprayed(1, 7, { id: 'later' }))
  const preshade = directExposure(figure, recipe, fields, 0)
  const all = directExposure(figure, recipe, fields, null)
  for (let v = 0; v < vertices; v += 5) {
    const [a, b] = [exposure.get(front.id)![v], exposure.get(back.id)![v]]
    expect(preshade[v]).toBeCloseTo(a, 6)
    expect(all[v]).toBeCloseTo(2 * a + b, 5)
  }
})
