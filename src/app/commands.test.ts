import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { createStore } from 'zustand/vanilla'
import { PAINT_SHELF } from '../core/film/paint-shelf.ts'
import type { Problem } from '../core/problem.ts'
import type { Coat, Torch } from '../core/recipe/recipe.ts'
import { openDocument } from '../document/document-file.ts'
import { type AppState, PRIMER } from './app-state.ts'
import type { Commands } from './commands.ts'
import { createCommands } from './create-commands.ts'
import { createEditor } from './edit-document.ts'
import { initialState } from './initial-state.ts'
import { intakeNoteText, problemText } from './problem-text.ts'

function commandsAlone() {
  const store = createStore<AppState>(initialState)
  const none = async () => {}
  const commands = createCommands(store, createEditor(store), {
    openFiles: none,
    openBuiltIn: none,
    builtInFigures: async () => [],
    cancelIntake: () => {},
    armsLength: async () => null,
    turnedPortraits: async () => [],
    brushGuess: none,
    judgeGuess: none,
    hover: () => {},
    checkSides: none,
    cancelSideCheck: () => {},
    findAreas: () => {},
    cancelFindingAreas: () => {},
    readSpectra: async () => ({ ok: true, value: [] }),
    exportGlb: async () => ({ fileName: '', bytes: new Uint8Array() }),
    scanAngles: none,
    scanLights: none,
    cancelScan: () => {},
  })
  return { store, commands, present: () => store.getState().history.present }
}

type Act = (commands: Commands, coat: Coat, torch: Torch | undefined, n: number) => void

/** Every command that changes the document, with sensible and with absurd numbers. */
const ACTS: readonly Act[] = [
  c => void c.addCoat('mist'),
  c => void c.addCoat('even'),
  (c, coat) => c.duplicateCoat(coat.id),
  (c, coat) => c.deleteCoat(coat.id),
  (c, coat, _, n) => c.moveCoat(coat.id, n),
  (c, coat, _, n) => c.renameCoat(coat.id, `coat ${n}`),
  (c, coat, _, n) => c.hideCoat(coat.id, n % 2 === 0),
  (c, coat, _, n) => c.setMix(coat.id, { thinnerDrops: n }, 'thin'),
  (c, coat, _, n) => c.setAirbrush(coat.id, { flowMm3PerS: n }),
  (c, coat, _, n) => c.setPasses(coat.id, n, 'passes'),
  (c, coat, _, n) => c.setThickness(coat.id, n),
  (c, coat, _, n) => c.setPartState(coat.id, `part_${n}`, n % 2 === 0 ? 'apart' : 'on'),
  (c, coat, _, n) => c.setPreshadeEnd(n > 3 ? null : coat.id),
  (c, _, __, n) => c.setPrimer({ thicknessUm: n }),
  (c, coat, _, n) => c.putPaint({ ...PAINT_SHELF[3], volumeSolids: n / 5 }, n % 2 === 0 ? coat.id : PRIMER),
  (c, _, __, n) => c.setNotes(`note ${n}`),
  (c, coat) => void c.addTorch(coat.id),
  (c, coat, _, n) => c.applyTorchSet(coat.id, n % 2 === 0 ? 'ring' : 'front-and-back'),
  (c, _, torch) => c.duplicateTorch(torch?.id ?? ''),
  (c, _, torch) => c.deleteTorch(torch?.id ?? ''),
  (c, _, torch, n) => c.setTorch(torch?.id ?? '', { azimuthDegrees: n }, 'drag'),
  (c, _, torch, n) => c.setTorch(torch?.id ?? '', { distanceMm: Number.NaN, passes: n }),
  (c, _, torch) => c.linkTorch(torch?.id ?? '', null),
  (c, _, __, n) => c.setLook({ kind: 'steps', count: n }),
  (c, coat) => c.setLook({ kind: 'deposit', coat: coat.id }),
  (c, _, __, n) => c.setLamp({ kind: 'lamp', azimuthDegrees: n, elevationDegrees: n }),
  (c, _, __, n) => c.setCompare({ kind: 'flat', arrangement: { kind: 'seam', at: n / 10 }, greyY: null }, 'seam'),
  (c, _, __, n) => c.setThresholds({ dark: n / 10 }),
  (c, _, __, n) => c.setPlacement({ heightMm: n, up: n % 2 === 0 ? '+z' : '-x' }),
  (c, _, __, n) => c.setRefinement({ vertexBudget: 1000 * n }),
  c => c.endGesture(),
  c => c.goToView('back'),
  c => c.undo(),
  c => c.redo(),
]

const anyActs = fc.array(
  fc.tuple(
    fc.nat(ACTS.length - 1),
    fc.nat(9),
    fc.oneof(
      { weight: 5, arbitrary: fc.integer({ min: 0, max: 12 }) },
      { weight: 1, arbitrary: fc.constantFrom(-1, 1e12, Number.NaN, Number.POSITIVE_INFINITY) },
    ),
  ),
  { maxLength: 40 },
)

function after(acts: readonly (readonly [number, number, number])[]) {
  const app = commandsAlone()
  for (const [which, i, n] of acts) {
    const { coats } = app.present().recipe
    const coat = coats[i % Math.max(1, coats.length)] ?? { id: 'gone' }
    const torches = coats.flatMap(c => (c.kind === 'mist' ? c.torches : []))
    ACTS[which](app.commands, coat, torches[i % Math.max(1, torches.length)], n)
  }
  return app
}

const repeat = (run: () => void, times = 300) => {
  for (let i = 0; i < times; i++) run()
}

test('after any commands, undoing all of them gives the start back and redoing all of them the end', () => {
  fc.assert(
    fc.property(anyActs, acts => {
      const { commands, present } = after(acts)
      const start = commandsAlone().present()
      repeat(commands.redo)
      const { camera, ...last } = present()
      repeat(commands.undo)
      expect(present()).toEqual({ ...start, camera })
      repeat(commands.redo)
      expect(present()).toEqual({ ...last, camera })
    }),
    { seed: 31, numRuns: 150 },
  )
})

test('after any commands, the document is one that opens again', () => {
  fc.assert(
    fc.property(anyActs, acts => {
      const { commands } = after(acts)
      const { text, fileName } = commands.documentFile()
      expect(openDocument(text, fileName)).toMatchObject({ ok: true })
    }),
    { seed: 32, numRuns: 150 },
  )
})

test('after any commands, nothing is selected that is gone', () => {
  fc.assert(
    fc.property(anyActs, acts => {
      const { store, present } = after(acts)
      const { openCoat, selectedTorch } = store.getState().session
      const { coats } = present().recipe
      if (openCoat !== null) expect(coats.map(c => c.id)).toContain(openCoat)
      if (selectedTorch !== null)
        expect(coats.flatMap(c => (c.kind === 'mist' ? c.torches.map(t => t.id) : []))).toContain(selectedTorch)
    }),
    { seed: 33, numRuns: 150 },
  )
})

test('setting what is set already leaves no step', () => {
  const { commands, present, store } = commandsAlone()
  const [coat] = present().recipe.coats
  const { look, lamp, compare, thresholds, figure } = present()
  commands.renameCoat(coat.id, coat.name)
  if (coat.kind !== 'varnish') commands.setMix(coat.id, { ...coat.mix })
  commands.setLook({ ...look })
  commands.setLamp({ ...lamp })
  commands.setCompare({ ...compare })
  commands.setThresholds({ ...thresholds })
  commands.setPlacement({ ...figure.placement })
  commands.moveCoat(coat.id, 0)
  expect(store.getState().history.past).toEqual([])
})

test('notes typed in one go are one step, and nobody holds them', () => {
  const { commands, store } = commandsAlone()
  for (const notes of ['t', 'th', 'thin']) commands.setNotes(notes)
  expect(store.getState().history.past.map(s => s.label)).toEqual(['Write notes'])
  expect(store.getState().session.gesture).toBeNull()
})

test('saved files are named after the recipe', () => {
  const { commands, present } = commandsAlone()
  commands.setRecipe({ ...present().recipe, name: 'Grüne Wächter / №2' }, 'Rename')
  expect(commands.recipeFile().fileName).toBe('gru-ne-wa-chter-no2.recipe.json')
})

describe('words', () => {
  const PROBLEMS: readonly Problem[] = [
    { code: 'file/too-large', fileName: 'a.stl', found: 3e9, limit: 2 ** 30, what: 'bytes' },
    { code: 'file/damaged', fileName: 'a.stl', detail: 'it ends after 12 triangles' },
    { code: 'document/newer', fileName: 'a.json', found: 9, supported: 1 },
    { code: 'document/figure-missing', fileName: 'knight.stl' },
    { code: 'storage/full' },
    { code: 'internal', detail: '' },
  ]
  test.each(PROBLEMS)('$code', problem => {
    const { title, advice } = problemText(problem)
    for (const text of [title, advice]) {
      expect(text).not.toMatch(/undefined|NaN|\[object|\.\.|\s$/)
      expect(text.length).toBeGreaterThan(8)
    }
    expect(advice).toMatch(/[.!]$/)
    if ('fileName' in problem) expect(title).toContain(problem.fileName)
  })
  test('both version numbers are named', () => {
    expect(problemText({ code: 'document/newer', fileName: 'a', found: 9, supported: 4 }).advice).toMatch(/9.*4/)
  })
  test('counts are written in full and in the singular', () => {
    expect(intakeNoteText({ kind: 'open-edges', count: 1234567 }).title).toBe('1,234,567 open edges')
    expect(intakeNoteText({ kind: 'open-edges', count: 1 }).title).toBe('1 open edge')
  })
})

describe('a lesson', () => {
  test('stands on a document of its own; the user’s work comes back with its undo, and is what is saved', () => {
    const { store, commands } = commandsAlone()
    commands.renameCoat(store.getState().history.present.recipe.coats[0].id, 'Mine')
    const own = store.getState().history
    const saved = commands.documentFile()
    commands.learn('form')
    expect(store.getState().history.past).toEqual([])
    expect(store.getState().history.present.figure.source).toEqual({ kind: 'built-in', name: 'sphere' })
    commands.setLesson(document => ({ ...document, look: { kind: 'value' } }))
    expect(commands.documentFile()).toEqual(saved)
    // From one lesson to the next, and on the user's own figure.
    commands.learn('recess')
    commands.learnOn('mine')
    expect(store.getState().history.present.figure).toBe(own.present.figure)
    commands.stopLearning()
    expect(store.getState().history).toBe(own)
    expect(store.getState().session.learning).toBeNull()
    commands.undo()
    expect(store.getState().history.present.recipe.coats[0].name).not.toBe('Mine')
  })
})
