import { existsSync, readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Problem, Result } from '../core/problem.ts'
import { defaultDocument } from './default-document.ts'
import { flatBaseOf } from './document.ts'
import {
  DOCUMENT_VERSION,
  openDocument,
  openRecipe,
  openSaved,
  RECIPE_VERSION,
  saveDocument,
  saveRecipe,
} from './document-file.ts'
import { DOCUMENT_MIGRATIONS, type Migration } from './document-migrations.ts'

const fixture = (version: number) => new URL(`../../tests/fixtures/document-v${version}.json`, import.meta.url)
const problemIn = (result: Result<unknown>): Problem | null => (result.ok ? null : result.problem)
const valueIn = <T>(result: Result<T>): T => {
  if (!result.ok) throw new Error(JSON.stringify(result.problem))
  return result.value
}
const demo = defaultDocument()

describe('what was saved once opens for ever', () => {
  test('version 1, every number of it', () => {
    const text = readFileSync(fixture(1), 'utf8')
    const opened = valueIn(openDocument(text, 'v1.json'))
    // Read off the frozen file by hand.
    expect(opened.figure.placement).toEqual({ up: '+z', front: '-y', heightMm: 54, unit: 'in' })
    expect(opened.recipe.coats.map(c => [c.id, c.kind, c.hidden])).toEqual([
      ['coat_1', 'mist', false],
      ['coat_2', 'even', true],
    ])
    const [coat] = opened.recipe.coats
    expect(coat.kind === 'mist' && coat.torches.map(t => t.sweep.kind)).toEqual([
      'figure',
      'figure',
      'area',
      'arc',
      'still',
    ])
    expect(coat.parts).toEqual({ helmet: 'apart', shield: 'absent' })
    expect(opened.compare.kind).toBe('recipe')
  })

  test('another recipe may lie over one grey; files that say nothing of it lie over their own', () => {
    const text = readFileSync(fixture(2), 'utf8')
    const plain = valueIn(openDocument(text, 'v2.json')).compare
    expect(flatBaseOf(plain)).toBeNull()
    const withFlat = (flat: unknown) => {
      const file = JSON.parse(text)
      file.document.compare.flat = flat
      return openDocument(JSON.stringify(file), 'v2.json')
    }
    expect(flatBaseOf(valueIn(withFlat({ greyY: 0.3 })).compare)).toEqual({ greyY: 0.3 })
    expect(flatBaseOf(valueIn(withFlat({ greyY: null })).compare)).toEqual({ greyY: null })
    expect(withFlat({ greyY: 3 }).ok).toBe(false)
  })

  test('version 1 gains what version 2 added, and loses nothing', () => {
    const text = readFileSync(fixture(1), 'utf8')
    const old = JSON.parse(text).document
    const opened = valueIn(openDocument(text, 'v1.json'))
    expect(opened).toMatchObject(old)
    expect(opened.illuminant).toBe('D65')
    expect(opened.panels).toEqual({ names: {}, meantDark: [] })
    const recipes = [opened.recipe, opened.compare.kind === 'recipe' ? opened.compare.recipe : opened.recipe]
    for (const recipe of recipes) {
      expect(recipe.calibration).toBeNull()
      expect(recipe.dropMl).toEqual({ paint: 0.04, thinner: 0.04, medium: 0.04 })
      for (const coat of recipe.coats)
        if (coat.kind === 'mist') expect(coat.torches.every(t => t.pattern === 'gaussian')).toBe(true)
      for (const { body } of recipe.paints) if (body.kind === 'spectral') expect(body.swatches).toBeNull()
    }
  })

  test('version 2, every number of it', () => {
    const text = readFileSync(fixture(2), 'utf8')
    expect(DOCUMENT_VERSION).toBe(2)
    expect(valueIn(openDocument(text, 'v2.json'))).toEqual(JSON.parse(text).document)
  })

  test('every older version has its frozen file, and it opens', () => {
    for (let version = 1; version <= DOCUMENT_MIGRATIONS.length + 1; version++) {
      expect(existsSync(fixture(version)), `document-v${version}.json`).toBe(true)
      valueIn(openDocument(readFileSync(fixture(version), 'utf8'), `v${version}`))
    }
  })

  test('saving and opening gives the same document and recipe back', () => {
    const rich = valueIn(openDocument(readFileSync(fixture(1), 'utf8'), 'v1.json'))
    for (const document of [demo, rich]) {
      expect(valueIn(openDocument(saveDocument(document), 'a.json'))).toEqual(document)
      expect(valueIn(openRecipe(saveRecipe(document.recipe), 'a.json'))).toEqual(document.recipe)
      expect(valueIn(openRecipe(saveDocument(document), 'a.json'))).toEqual(document.recipe)
      expect(valueIn(openSaved(saveDocument(document), 'a.json')).kind).toBe('document')
      expect(valueIn(openSaved(saveRecipe(document.recipe), 'a.json')).kind).toBe('recipe')
    }
  })

  test('a byte-order mark in front is no damage', () => {
    expect(valueIn(openDocument(`\uFEFF${saveDocument(demo)}`, 'a.json'))).toEqual(demo)
  })
})

describe('migrations', () => {
  /** As if two versions had followed version 1: first the notes were called remarks, then the name was a title. */
  type Old = { recipe: Record<string, unknown> }
  const renamed = (from: string, to: string) => (old: Old) => {
    const { [from]: value, ...recipe } = old.recipe
    return { ...old, recipe: { ...recipe, [to]: value } }
  }
  const migrations: readonly Migration[] = [
    { name: 'remarks became notes', up: renamed('remarks', 'notes') },
    { name: 'title became name', up: renamed('title', 'name') },
  ]
  const { name: _, notes: __, ...bare } = demo.recipe
  const file = (version: number, recipe: object) =>
    JSON.stringify({ format: 'greycoat-document', version, document: { ...demo, recipe } })

  test.each([
    [1, { ...bare, title: 'Mine', remarks: 'thin' }],
    [2, { ...bare, title: 'Mine', notes: 'thin' }],
    [3, { ...bare, name: 'Mine', notes: 'thin' }],
  ])('version %d is brought up step by step', (version, recipe) => {
    const opened = valueIn(openDocument(file(version, recipe), 'a.json', migrations))
    expect(opened.recipe).toMatchObject({ name: 'Mine', notes: 'thin' })
  })

  test('a step is not run twice, nor skipped', () => {
    expect(
      problemIn(openDocument(file(2, { ...bare, title: 'Mine', remarks: 'thin' }), 'a.json', migrations))?.code,
    ).toBe('document/invalid')
  })

  test('a step that throws is a damaged file', () => {
    const throws: Migration = {
      name: 'throws',
      up: () => {
        throw new Error('no')
      },
    }
    expect(problemIn(openDocument(file(1, bare), 'a.json', [throws]))).toMatchObject({
      code: 'document/invalid',
      path: 'document',
    })
  })
})

describe('refusals say what is wrong', () => {
  const saved = JSON.parse(saveDocument(demo))
  /** A deep copy with one place changed. */
  const changed = (path: string, value: unknown): string => {
    const copy = structuredClone(saved)
    const keys = path.split('.')
    const last = keys.pop()!
    const place = keys.reduce((at, key) => at[key], copy)
    place[last] = value
    return JSON.stringify(copy)
  }

  test('a newer version, with both numbers', () => {
    expect(problemIn(openDocument(changed('version', 7), 'a.json'))).toEqual({
      code: 'document/newer',
      fileName: 'a.json',
      found: 7,
      supported: DOCUMENT_VERSION,
    })
    const recipe = JSON.stringify({ ...JSON.parse(saveRecipe(demo.recipe)), version: 99 })
    expect(problemIn(openRecipe(recipe, 'r.json'))).toMatchObject({
      code: 'document/newer',
      found: 99,
      supported: RECIPE_VERSION,
    })
  })

  test.each([
    ['not JSON', 'solid cube'],
    ['a list', '[]'],
    ['nothing', ''],
    ['another format', '{"format":"gltf","version":1}'],
    ['a recipe where a document is asked for', saveRecipe(demo.recipe)],
  ])('%s', (_, text) => {
    expect(problemIn(openDocument(text, 'a.json'))?.code).toBe('document/not-ours')
  })

  const firstCoat = 'document.recipe.coats.0'
  test.each([
    ['version', 0.5],
    ['document.figure.placement.heightMm', -3],
    ['document.figure.placement.front', '-y'],
    ['document.figure.source.name', '../secret'],
    ['document.camera.distanceMm', null],
    ['document.recipe.primer.paint', 'nowhere'],
    ['document.recipe.preshadeEnd', 'nowhere'],
    [`${firstCoat}.torches.0.linkedTo`, 'nowhere'],
    ['document.recipe.coats.1.id', demo.recipe.coats[0].id],
    [`${firstCoat}.torches.0.azimuthDegrees`, 1e9],
    [`${firstCoat}.mix.paintDrops`, '1'],
    ['document.recipe.paints.0.body.pigments.0.ci', 'PX999'],
    ['document.thresholds.dark', 0.9],
  ])('the path of the damage: %s', (path, value) => {
    expect(problemIn(openDocument(changed(path, value), 'a.json'))).toMatchObject({ code: 'document/invalid', path })
  })

  test('what nobody knows is refused, not dropped', () => {
    expect(problemIn(openDocument(changed(`${firstCoat}.glitter`, 1), 'a.json'))).toMatchObject({
      code: 'document/invalid',
    })
  })

  test('a list too long to show', () => {
    const coats = Array.from({ length: 65 }, (_, i) => ({ ...demo.recipe.coats.at(-1)!, id: `c${i}` }))
    expect(problemIn(openDocument(changed('document.recipe.coats', coats), 'a.json'))).toMatchObject({
      code: 'document/invalid',
      path: 'document.recipe.coats',
    })
  })
})

describe('never throws', () => {
  const opens = (text: string) => {
    for (const open of [openDocument, openRecipe, openSaved]) expect(typeof open(text, 'a.json').ok).toBe('boolean')
  }
  test('on any text', () => {
    fc.assert(fc.property(fc.oneof(fc.string(), fc.json()), opens), { seed: 1, numRuns: 500 })
  })
  test('on any body in our envelope', () => {
    const body = fc.jsonValue()
    fc.assert(
      fc.property(body, fc.constantFrom('greycoat-document', 'greycoat-recipe'), (value, format) =>
        opens(JSON.stringify({ format, version: 1, document: value, recipe: value })),
      ),
      { seed: 2, numRuns: 500 },
    )
  })
  test('on our own file with any place replaced by anything, and what it lets through opens again', () => {
    const saved = JSON.parse(readFileSync(fixture(1), 'utf8'))
    const paths: (readonly (string | number)[])[] = []
    const walk = (value: unknown, path: readonly (string | number)[]) => {
      paths.push(path)
      if (typeof value === 'object' && value !== null)
        for (const [key, child] of Object.entries(value)) walk(child, [...path, key])
    }
    walk(saved.document, ['document'])
    fc.assert(
      fc.property(fc.constantFrom(...paths), fc.jsonValue({ maxDepth: 2 }), (path, value) => {
        const copy = structuredClone(saved)
        const place = path.slice(0, -1).reduce((at, key) => at[key], copy)
        place[path.at(-1)!] = value
        const opened = openDocument(JSON.stringify(copy), 'a.json')
        if (opened.ok) expect(valueIn(openDocument(saveDocument(opened.value), 'b.json'))).toEqual(opened.value)
      }),
      { seed: 3, numRuns: 1500 },
    )
  })
  test('on nesting that exhausts a parser', () => {
    opens(`{"format":"greycoat-document","version":1,"document":${'['.repeat(20_000)}${']'.repeat(20_000)}}`)
    opens(
      '{"format":"greycoat-document","version":1,"document":{"__proto__":{"figure":1},"recipe":{"__proto__":null}}}',
    )
  })
})
