import { describe, expect, test } from 'vitest'
import { filmOfPass } from '../spray/film-per-pass.ts'
import { CAUTIONS_SHORT } from './cautions.ts'
import { demoRecipe } from './demo-recipe.ts'
import type { Coat, MistCoat, Recipe } from './recipe.ts'
import { mlWords, type RecipeSheetInput, recipeSheet, recipeSheetText } from './recipe-sheet.ts'

const FIGURE = {
  title: 'Sentinel',
  heightMm: 32,
  box: [-9, 0, -6, 9, 32, 6],
  parts: [
    { id: 'helmet', name: 'Helmet' },
    { id: 'pack', name: 'Power pack' },
    { id: 'shield', name: 'Shield' },
  ],
} as const

const [white, blue, deep] = demoRecipe().coats as [MistCoat, MistCoat, MistCoat]
const EVEN: Coat = {
  kind: 'even',
  id: 'coat_9',
  name: 'Wash of grey',
  hidden: false,
  paint: 'black',
  mix: { paintDrops: 1, thinnerDrops: 2.5, mediumDrops: 0.5 },
  parts: {},
  thicknessUm: 7,
}

const withCoats = (coats: readonly Coat[], patch: Partial<Recipe> = {}): Recipe => ({
  ...demoRecipe(),
  coats,
  ...patch,
})
const sheetOf = (recipe: Recipe, patch: Partial<RecipeSheetInput> = {}) =>
  recipeSheet({ recipe, figure: FIGURE, squadSize: 7, views: ['Across the table'], ...patch })

describe('the sheet', () => {
  test('every coat stands in order, hidden ones left out', () => {
    const sheet = sheetOf(withCoats([white, { ...blue, hidden: true }, EVEN, deep]))
    expect(sheet.coats.map(c => [c.number, c.name])).toEqual([
      [1, 'White pre-shade'],
      [2, 'Wash of grey'],
      [3, 'Deep blue shadows'],
    ])
    const text = recipeSheetText(sheet)
    expect(text).not.toContain('Cold blue (')
    const places = sheet.coats.map(c => text.indexOf(`${c.number}. ${c.name}`))
    expect(places[0]).toBeGreaterThan(text.indexOf('Primer: Black of carbon black (PBk7)'))
    expect(places).toEqual([...places].sort((a, b) => a - b))
    expect(sheet.coats.map(c => c.endsPreshade)).toEqual([false, true, false])
  })

  test('a varnish says its finish and its danger, and takes no drops, torches nor share of the paint used', () => {
    const varnish: Coat = {
      kind: 'varnish',
      id: 'coat_8',
      name: 'Last coat',
      hidden: false,
      parts: { shield: 'absent' },
      finish: 'satin',
    }
    const sheet = sheetOf(withCoats([white, varnish]))
    const [, coat] = sheet.coats
    expect([coat.kind, coat.paint, coat.drops, coat.use, coat.partsOff]).toEqual([
      'varnish',
      'Satin varnish',
      null,
      null,
      ['Shield'],
    ])
    expect(sheet.use).toEqual(sheet.coats[0].use)
    const text = recipeSheetText(sheet)
    expect(text).toContain('2. Last coat (varnish)')
    expect(text).toMatch(/two parts[\s\S]*isocyanate/)
  })

  test('drops are whole, the mix the same', () => {
    const [coat] = sheetOf(withCoats([EVEN])).coats
    expect(coat.drops).toEqual({ paintDrops: 2, thinnerDrops: 5, mediumDrops: 1 })
    expect(coat.mix).toBe('2 paint + 5 thinner + 1 medium')
  })

  test('how the airbrush is set', () => {
    const [coat] = sheetOf(demoRecipe()).coats
    expect(coat.pressure).toBe('25 psi (1.72 bar)')
    expect(coat.needle).toBe('0.4 mm')
    expect(coat.distance).toBe('100 mm')
    expect(coat.passes).toBe('12 passes a side')
    expect(coat.torches.map(t => t.words)).toEqual([
      'brush level, figure tipped 60° towards the brush, turned to 12 o’clock, rolling 25° both ways',
      'brush level, figure tipped 60° towards the brush, turned to 6 o’clock, rolling 25° both ways',
    ])
  })

  test('muted torches and those without a pass are not sprayed', () => {
    const [front, back] = white.torches
    const [coat] = sheetOf(withCoats([{ ...white, torches: [front, { ...back, muted: true }] }])).coats
    expect(coat.torches.map(t => t.name)).toEqual(['Front'])
    expect(sheetOf(withCoats([{ ...white, torches: [{ ...front, passes: 0 }] }])).coats[0]).toMatchObject({
      torches: [],
      distance: null,
      build: 'nothing is sprayed',
      passes: 'no passes',
    })
  })

  test('parts off and apart are named, parts of another figure are not', () => {
    const parts = { pack: 'absent', shield: 'apart', helmet: 'on', tail: 'absent' } as const
    const recipe = withCoats([{ ...white, parts }])
    const sheet = sheetOf(recipe)
    expect(sheet.coats[0].partsOff).toEqual(['Power pack'])
    expect(sheet.coats[0].partsApart).toEqual(['Shield'])
    expect(recipeSheetText(sheet)).toContain('Parts off: Power pack\n')
    expect(sheetOf(recipe, { figure: null }).coats[0].partsOff).toEqual(['pack', 'tail'])
  })

  test('paint for the squad is that of one figure as often', () => {
    const one = sheetOf(demoRecipe(), { squadSize: 1 })
    const seven = sheetOf(demoRecipe())
    for (const [i, coat] of seven.coats.entries()) {
      expect(coat.use?.perFigure).toEqual(one.coats[i].use?.perFigure)
      expect(coat.use?.squad.paintMl).toBeCloseTo(7 * (one.coats[i].use?.squad.paintMl ?? Number.NaN), 9)
    }
    // Conservation: flow times time the trigger is open, shared out by drops.
    const use = seven.coats[0].use?.perFigure
    if (!use) throw new Error('no use')
    expect(use.mixMl).toBeCloseTo((white.airbrush.flowMm3PerS * use.seconds) / 1000, 9)
    expect(use.paintMl + use.thinnerMl + use.mediumMl).toBeCloseTo(use.mixMl, 9)
    expect(use.thinnerMl / use.paintMl).toBeCloseTo(4, 9)
    const sum = seven.coats.reduce((total, c) => total + (c.use?.squad.mixMl ?? 0), 0)
    expect(seven.use?.squad.mixMl).toBeCloseTo(sum, 9)
    expect(sheetOf(demoRecipe(), { figure: null }).use).toBeNull()
  })

  test('what lands is told where it is known', () => {
    const figure = { ...FIGURE, caught: { [white.torches[0].id]: { directMm2: 700, openMm2: 900 } } }
    const one = withCoats([{ ...white, torches: [white.torches[0]] }])
    const [coat] = sheetOf(one, { figure }).coats
    const { landsMl, mixMl } = coat.use?.perFigure ?? { landsMl: null, mixMl: 0 }
    expect(coat.use?.landing).toBe(
      `of what leaves the nozzle, ${Math.round((100 * (landsMl ?? 0)) / mixMl)} % lands on the figure`,
    )
    expect(recipeSheetText(sheetOf(one, { figure })).replace(/\s+/g, ' ')).toContain('% lands on the figure')
    // One torch of two is not baked yet: better nothing than half.
    expect(sheetOf(demoRecipe(), { figure }).coats[0].use?.landing).toBeNull()
  })

  test('drops of the recipe’s own size', () => {
    const small = { ...demoRecipe(), dropMl: { paint: 0.04, thinner: 0.02, medium: 0.04 } }
    const use = sheetOf(small).coats[0].use?.perFigure
    expect((use?.thinnerMl ?? 0) / (use?.paintMl ?? 1)).toBeCloseTo(2, 9)
  })

  test('build is the film of all passes at a place that faces the torch', () => {
    // Solids 0.35 in 1 + 4 drops: 0.07. Wet of one pass by hand: Q·η / (v · 2 s d), no roll; 5 % of it is diffuse.
    const torch = { ...white.torches[0], rollDegrees: 0, passes: 3 }
    const recipe = withCoats([{ ...white, torches: [torch] }])
    const paints = recipe.paints.map(p => ({ ...p, volumeSolids: 0.35 }))
    const wetUm = (1000 * 12 * 0.75) / (100 * 2 * 0.075 * 100)
    const [coat] = sheetOf({ ...recipe, paints }).coats
    expect(coat.torches[0].buildUm).toBeCloseTo(3 * wetUm * 0.95 * 0.07, 9)
    expect(coat.build).toBe('about 1.2 µm where the surface faces a torch (estimate)')
    expect(filmOfPass(torch, white.airbrush, white.mix, 0.35).directUm).toBeCloseTo(wetUm * 0.95 * 0.07, 9)
  })

  test('pigments by name and Colour Index; cobalt is warned of where it is sprayed', () => {
    const body = {
      kind: 'pigments',
      pigments: [
        { ci: 'PB28', amount: 0.5 },
        { ci: 'PBr7 raw umber', amount: 0.1 },
      ],
    } as const
    const paints = demoRecipe().paints.map(p => (p.id === 'white' ? { ...p, body } : p))
    const [coat, other] = sheetOf({ ...demoRecipe(), paints }).coats
    expect(coat.pigments).toEqual(['cobalt blue (PB28)', 'raw umber (PBr7)'])
    expect(coat.warning).toMatch(/cobalt.*not be sprayed/)
    expect(other.warning).toBeNull()
  })

  test('a squad size that makes no sense is one', () => {
    for (const squadSize of [0, -3, Number.NaN]) expect(sheetOf(demoRecipe(), { squadSize }).squadSize).toBe(1)
  })
})

describe('as text', () => {
  const long: Recipe = {
    ...withCoats([{ ...white, name: `White ${'verylongword'.repeat(12)}` }, EVEN, blue]),
    notes: 'Shake well.\n\nThe cloak last, from both sides, because it hides the legs and catches most of what comes.',
  }

  test('no line is longer than 80 characters, no word is lost', () => {
    const sheet = sheetOf(long)
    const text = recipeSheetText(sheet)
    for (const line of text.split('\n')) expect(line.length, line).toBeLessThanOrEqual(80)
    const bare = text.replace(/\s+/g, '')
    for (const part of [...CAUTIONS_SHORT, sheet.notes, sheet.provenance, sheet.batch, sheet.coats[0].name])
      expect(bare.includes(part.replace(/\s+/g, '')), part).toBe(true)
    expect(text).toContain('25 psi (1.72 bar)')
    expect(text).toContain('For 7 figures')
    expect(text).toContain('Drops: 2 paint + 5 thinner + 1 medium')
  })

  test('millilitres are rounded to what they are worth', () => {
    expect([0, 0.004, 0.0123, 0.987, 1.449, 12.6].map(mlWords)).toEqual([
      '0 mL',
      'less than 0.01 mL',
      '0.012 mL',
      '0.99 mL',
      '1.4 mL',
      '13 mL',
    ])
  })
})
