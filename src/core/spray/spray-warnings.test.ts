import { describe, expect, test } from 'vitest'
import { demoRecipe } from '../recipe/demo-recipe.ts'
import type { Coat, MistCoat, Recipe } from '../recipe/recipe.ts'
import { warningBasis, warningWords } from './spray-warning-words.ts'
import { isQuestion, type SprayWarningCode, sprayWarnings, WARNING_LIMITS } from './spray-warnings.ts'

const demo = demoRecipe()
const [white, blue] = demo.coats as [MistCoat, MistCoat]
const FIGURE = { heightMm: 32, box: [-9, 0, -6, 9, 32, 6] as const }

const warned = (coat: MistCoat, patch: Partial<Recipe> = {}, coats: readonly Coat[] = [coat]) =>
  sprayWarnings({ ...demo, coats, ...patch }, coat, FIGURE).filter(w => !isQuestion(w))
const codes = (coat: MistCoat, patch?: Partial<Recipe>) => warned(coat, patch).map(w => w.code)
const withBrush = (patch: Partial<MistCoat['airbrush']>): MistCoat => ({
  ...white,
  airbrush: { ...white.airbrush, ...patch },
})
const withTorches = (patch: Partial<MistCoat['torches'][number]>): MistCoat => ({
  ...white,
  torches: white.torches.map((t, i) => (i === 1 ? { ...t, ...patch } : t)),
})
const withMix = (paintDrops: number, thinnerDrops: number, mediumDrops = 0): MistCoat => ({
  ...white,
  mix: { paintDrops, thinnerDrops, mediumDrops },
})

test('the presets are quiet (common practice, no source)', () => {
  for (const coat of demo.coats) {
    if (coat.kind === 'mist') expect(sprayWarnings(demo, coat, FIGURE).filter(w => !isQuestion(w))).toEqual([])
  }
})

describe('each limit, just short of it and just past it', () => {
  // Wet film of a pass by hand: Q·η·(1 − f)·R/(v·2sd); the white's R = (cos²60·sin25°/25° + sin²60) = 0.9921.
  const radians = (25 * Math.PI) / 180
  const response = (0.25 * Math.sin(radians)) / radians + 0.75
  const flowFor = (um: number) => ((um / 1000) * 100 * 15) / (0.75 * 0.95 * response)
  test.each<[SprayWarningCode, MistCoat, MistCoat]>([
    ['spray/runs', withBrush({ flowMm3PerS: flowFor(29.9) }), withBrush({ flowMm3PerS: flowFor(30.1) })],
    ['spray/flooded-recesses', withBrush({ flowMm3PerS: flowFor(14.9) }), withBrush({ flowMm3PerS: flowFor(15.1) })],
    ['spray/dusting', withTorches({ distanceMm: 149 }), withTorches({ distanceMm: 151 })],
    ['spray/high-pressure', withBrush({ pressureBar: 2.06 }), withBrush({ pressureBar: 2.1 })],
    ['spray/thick-mix', withMix(2, 1), withMix(5, 2)],
    ['spray/weak-binder', withMix(1, 6), withMix(1, 7)],
  ])('%s', (code, well, ill) => {
    expect(codes(well)).not.toContain(code)
    expect(codes(ill)).toContain(code)
  })
  test('medium holds binder, and drops are not volumes', () => {
    expect(codes(withMix(1, 7, 1))).toEqual([])
    expect(codes(withMix(1, 7), { dropMl: { paint: 0.04, thinner: 0.02, medium: 0.04 } })).toEqual([])
    expect(codes(withMix(1, 4), { dropMl: { paint: 0.02, thinner: 0.04, medium: 0.04 } })).toEqual([
      'spray/weak-binder',
    ])
  })
  test('the torch that is worst is named; one that does not spray is not judged', () => {
    const [far] = warned(withTorches({ distanceMm: 190 }))
    expect(far).toEqual({ code: 'spray/dusting', torch: white.torches[1].id, value: 190 })
    expect(warned(withTorches({ distanceMm: 190, muted: true }))).toEqual([])
    expect(warned(withTorches({ distanceMm: 190, passes: 0 }))).toEqual([])
    expect(warned({ ...withTorches({ distanceMm: 190 }), hidden: true })).toEqual([])
  })
  test('overspray once it is known what the figure catches', () => {
    const caught = (directMm2: number) =>
      Object.fromEntries(white.torches.map(t => [t.id, { directMm2, openMm2: 0 }] as const))
    const at = (directMm2: number) =>
      sprayWarnings({ ...demo, coats: [white] }, white, { ...FIGURE, caught: caught(directMm2) }).map(w => w.code)
    expect(at(600)).not.toContain('spray/overspray')
    expect(at(60)).toContain('spray/overspray')
    expect(codes(white)).not.toContain('spray/overspray')
  })
})

describe('what lies below', () => {
  const varnish = (finish: 'gloss' | 'matt'): Coat => ({
    kind: 'varnish',
    id: 'coat_v',
    name: 'Varnish',
    hidden: false,
    parts: {},
    finish,
  })
  test('gloss is warned of, matt is not', () => {
    expect(warned(white, {}, [varnish('gloss'), white]).map(w => w.code)).toEqual(['spray/gloss-below'])
    expect(warned(white, {}, [varnish('matt'), white])).toEqual([])
  })
  test('the primer is asked about by the first thin coat alone', () => {
    const asked = (coat: MistCoat, coats: readonly Coat[]) =>
      sprayWarnings({ ...demo, coats }, coat, null).some(w => w.code === 'spray/primer-matt')
    expect(asked(white, [white, blue])).toBe(true)
    expect(asked(blue, [white, blue])).toBe(false)
    expect(asked(withMix(1, 1), [])).toBe(false)
  })
})

test('every sentence says its number; every limit says that it is from memory and lies in its range', () => {
  for (const [code, { value, min, max }] of Object.entries(WARNING_LIMITS)) {
    const warning = { code: code as SprayWarningCode, torch: null, value }
    expect(value).toBeGreaterThan(min)
    expect(value).toBeLessThan(max)
    expect(warningWords(warning)).toMatch(/\d/)
    expect(warningBasis(warning)).toMatch(/From memory/)
  }
})
