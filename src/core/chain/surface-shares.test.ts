import { describe, expect, test } from 'vitest'
import { coatFilm } from '../film/coat-film.ts'
import { PAINT_SHELF } from '../film/paint-shelf.ts'
import { demoRecipe } from '../recipe/demo-recipe.ts'
import { DROP_ML } from '../recipe/drops.ts'
import type { Coat, Finish, MistCoat, Recipe, VarnishCoat } from '../recipe/recipe.ts'
import { surfaceShares } from './surface-shares.ts'

const part = (id: string, firstVertex: number, vertexCount: number) => ({
  id,
  name: id,
  firstVertex,
  vertexCount,
  firstTriangle: 0,
  triangleCount: 0,
})
const figure = { parts: [part('body', 0, 3), part('shield', 3, 2)] }
const varnish = (finish: Finish, parts: VarnishCoat['parts'] = {}): VarnishCoat => ({
  kind: 'varnish',
  id: finish,
  name: '',
  hidden: false,
  parts,
  finish,
})
const mist = demoRecipe().coats[0] as MistCoat
const dropletUm = coatFilm(mist, { paints: PAINT_SHELF, dropMl: DROP_ML }).dropletUm
const none = new Float32Array(5)
const shares = (coats: readonly Coat[], deposits: readonly Float32Array[], from = 0) => {
  const recipe: Recipe = { ...demoRecipe(), paints: PAINT_SHELF, coats }
  return surfaceShares(figure, recipe, deposits, from)
}

describe('the last thing put on decides', () => {
  test('without varnish, or with it hidden or under a flat ground, there is nothing to say', () => {
    expect(shares([mist], [none])).toBeNull()
    expect(shares([{ ...varnish('gloss'), hidden: true }], [none])).toBeNull()
    expect(shares([varnish('gloss'), mist], [none, none], 1)).toBeNull()
  })

  test('a varnish goes on its parts, a later one over it', () => {
    // Of the finishes of references in docs/models/film.md: 0 gloss, a half satin, 1 matt.
    expect(shares([mist, varnish('gloss', { shield: 'absent' })], [none, none])).toEqual(Float32Array.of(0, 0, 0, 1, 1))
    expect(
      shares(
        [varnish('gloss'), varnish('satin', { body: 'absent' }), varnish('matt', { shield: 'absent' })],
        [none, none, none],
      ),
    ).toEqual(Float32Array.of(1, 1, 1, 0.5, 0.5))
  })

  test('paint over it is matt where droplets lie: Poisson’s share without any stays gloss', () => {
    const deposit = Float32Array.of(0, 0.2, 0.7, 3, 40)
    const over = shares([varnish('gloss'), mist], [none, deposit])!
    for (const [v, um] of deposit.entries()) expect(over[v]).toBeCloseTo(1 - Math.exp(-um / dropletUm), 6)
    expect(shares([mist, varnish('gloss')], [deposit, none])).toEqual(new Float32Array(5))
  })

  test('brushed paint closes over it: as documented, an e-th of the shine is left at half a µm', () => {
    const { torches: _, airbrush: __, ...rest } = mist
    const brushed = shares(
      [varnish('gloss'), { ...rest, kind: 'even', thicknessUm: 0.5 }],
      [none, none.map(() => 0.5)],
    )!
    expect(brushed[0]).toBeCloseTo(1 - 1 / Math.E, 6)
  })
})
