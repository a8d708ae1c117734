import { afterEach, describe, expect, test } from 'vitest'
import { PAINT_SHELF } from '../core/film/paint-shelf.ts'
import type { MistCoat, Torch } from '../core/recipe/recipe.ts'
import { REFINED } from '../core/spray/bake-exposure.ts'
import type { App } from './app.ts'
import { PRIMER } from './app-state.ts'
import { settled, startedApp, type TestWorld, testFile, testWorld } from './test-environment.ts'

const apps: App[] = []
const open = async (world: TestWorld = testWorld()) => {
  const app = await startedApp(world)
  apps.push(app)
  return app
}
afterEach(() => {
  for (const app of apps.splice(0)) app.close()
})

const state = (app: App) => app.store.getState()
const recipe = (app: App) => state(app).history.present.recipe
const mist = (app: App) => recipe(app).coats.find((c): c is MistCoat => c.kind === 'mist')!
const torch = (app: App): Torch => mist(app).torches[0]
const rgb = (app: App, side: 'main' | 'other' = 'main') => state(app).derived.sides[side]!.linearRgb
const difference = (a: Float32Array, b: Float32Array) => a.reduce((sum, x, i) => sum + Math.abs(x - b[i]), 0) / a.length
const pause = (ms: number) => new Promise(resolve => setTimeout(resolve, ms))
const until = async (done: () => boolean) => {
  for (let i = 0; !done(); i++) {
    if (i > 3000) throw new Error('waited in vain')
    await pause(2)
  }
}

describe('the start', () => {
  test('stands refined, painted and read', async () => {
    const app = await open()
    const { derived, session, history } = state(app)
    expect(session).toMatchObject({ ready: true, problem: null, intake: null })
    expect(history.past).toEqual([])
    expect(derived.sides.main).toMatchObject({ figureId: derived.figure!.id, quality: 'refined' })
    expect(rgb(app)).toHaveLength(derived.figure!.positions.length)
    expect(new Set(rgb(app)).size).toBeGreaterThan(50)
    expect(derived.readings.main).not.toBeNull()
    expect(derived.sides.other).toBeNull()
  })
})

describe('what is baked', () => {
  test('paint, thinning, passes, primer, look and names never bake', async () => {
    const world = testWorld()
    const app = await open(world)
    const baked = world.calls.bakeEmitters.length
    const painted = world.calls.paint.length
    expect(baked).toBeGreaterThan(0)
    const { id } = mist(app)
    app.commands.setMix(id, { thinnerDrops: 9 }, 'thin')
    await settled(app)
    app.commands.endGesture()
    app.commands.setPasses(id, 5)
    app.commands.setAirbrush(id, { flowMm3PerS: 7, diffuseShare: 0.1 })
    app.commands.putPaint({ ...recipe(app).paints[0], volumeSolids: 0.4 }, id)
    app.commands.setPrimer({ thicknessUm: 30 })
    app.commands.renameCoat(id, 'Other')
    app.commands.setLook({ kind: 'value' })
    app.commands.setTorch(torch(app).id, { name: 'lamp', passes: 2 })
    app.commands.setThresholds({ light: 0.6 })
    await settled(app)
    expect(world.calls.bakeEmitters.length).toBe(baked)
    expect(world.calls.paint.length).toBeGreaterThan(painted + 1)
  })

  test('another lamp paints once and bakes nothing', async () => {
    const world = testWorld()
    const app = await open(world)
    const { bakeEmitters, paint } = world.calls
    const [baked, painted] = [bakeEmitters.length, paint.length]
    app.commands.setIlluminant('LED-B1')
    await settled(app)
    expect([bakeEmitters.length - baked, paint.length - painted]).toEqual([0, 1])
    expect(paint.at(-1)).toMatchObject({ illuminant: 'LED-B1' })
  })

  test('a moved torch bakes its own field alone, and moving it back bakes nothing', async () => {
    const world = testWorld()
    const app = await open(world)
    app.commands.linkTorch(torch(app).id, null)
    const before = rgb(app).slice()
    const baked = world.calls.keepField.length
    app.commands.setTorch(torch(app).id, { azimuthDegrees: 31 })
    await settled(app)
    // Coarse, then refined.
    expect(world.calls.keepField.length - baked).toBe(2)
    expect(difference(rgb(app), before)).toBeGreaterThan(1e-3)
    app.commands.undo()
    await settled(app)
    expect(world.calls.keepField.length - baked).toBe(2)
    expect(difference(rgb(app), before)).toBe(0)
  })

  test('a part that comes off bakes anew', async () => {
    const world = testWorld()
    const app = await open(world)
    const baked = world.calls.keepField.length
    app.commands.setPartState(mist(app).id, 'piece_1', 'absent')
    await settled(app)
    expect(world.calls.keepField.length).toBeGreaterThan(baked)
  })

  test('hidden coats and muted torches need nothing', async () => {
    const world = testWorld()
    const app = await open(world)
    app.commands.setLook({ kind: 'deposit', coat: mist(app).id })
    await settled(app)
    expect(state(app).derived.depositMaxUm).toBeGreaterThan(0)
    const baked = world.calls.keepField.length
    app.commands.hideCoat(mist(app).id, true)
    await settled(app)
    expect(state(app).derived.depositMaxUm).toBe(0)
    app.commands.setTorch(torch(app).id, { azimuthDegrees: 3 })
    await settled(app)
    expect(world.calls.keepField.length).toBe(baked)
  })
})

describe('while a torch is held', () => {
  test('answers are coarse at once and refined when it is let go; one undo takes the whole drag back', async () => {
    const app = await open()
    const before = state(app).derived.sides.main
    const { id } = torch(app)
    app.commands.setTorch(id, { azimuthDegrees: 12 }, 'drag')
    expect(state(app).session.gesture).toBe('drag')
    expect(state(app).derived.progress).not.toBeNull()
    // The old picture stays until the new one is there.
    expect(state(app).derived.sides.main).toBe(before)
    await until(() => state(app).derived.sides.main !== before)
    expect(state(app).derived.sides.main!.quality).toBe('coarse')
    for (let i = 1; i < 12; i++) app.commands.setTorch(id, { azimuthDegrees: 12 + i }, 'drag')
    app.commands.endGesture()
    await settled(app)
    expect(state(app).derived.sides.main!.quality).toBe('refined')
    expect(state(app).history.past).toHaveLength(1)
    app.commands.undo()
    await settled(app)
    expect(difference(rgb(app), before!.linearRgb)).toBe(0)
  })

  test('a hand that rests gets the refined answer without letting go', async () => {
    const app = await open()
    app.commands.setTorch(torch(app).id, { elevationDegrees: 12 }, 'drag')
    await settled(app)
    expect(state(app).session.gesture).toBe('drag')
    expect(state(app).derived.sides.main!.quality).toBe('refined')
  })

  test('of a fast drag few places are baked, and the last one is what stands', async () => {
    const world = testWorld()
    const app = await open(world)
    const baked = world.calls.keepField.length
    const { id } = torch(app)
    for (let i = 0; i < 60; i++) {
      app.commands.setTorch(id, { azimuthDegrees: i }, 'drag')
      if (i % 6 === 5) await pause(1)
    }
    app.commands.endGesture()
    await settled(app)
    // A linked pair: two fields a place.
    expect(world.calls.keepField.length - baked).toBeLessThan(60)
    const direct = await open()
    direct.commands.setTorch(torch(direct).id, { azimuthDegrees: 59 })
    await settled(direct)
    expect(difference(rgb(app), rgb(direct))).toBe(0)
  })

  test('the next move stops the refinement of the last one inside the workers', async () => {
    const world = testWorld()
    const app = await open(world)
    const { id } = torch(app)
    const started = world.calls.bakeEmitters.length
    app.commands.setTorch(id, { azimuthDegrees: 5 })
    await until(() => world.calls.bakeEmitters.slice(started).some(isRefined))
    const kept = world.calls.keepField.length
    app.commands.setTorch(id, { azimuthDegrees: 50 })
    await settled(app)
    const keys = world.calls.keepField.slice(kept).map(call => (call as { key: string }).key)
    // Coarse and refined of the last place; of the place before it nothing was finished.
    const counts = new Map<string, number>()
    for (const key of keys) counts.set(key, (counts.get(key) ?? 0) + 1)
    expect([...counts.values()].every(n => n === 2)).toBe(true)
  })
})

const isRefined = (call: unknown) => (call as { emitters: unknown[] }).emitters.length >= REFINED.directions / 2

describe('the camera', () => {
  test('is no undo step and stays where it is when something is undone', async () => {
    const app = await open()
    app.commands.setPasses(mist(app).id, 9)
    app.commands.goToView('back')
    expect(state(app).history.past).toHaveLength(1)
    app.commands.undo()
    expect(state(app).history.present.camera.view).toBe('back')
    expect(torch(app).passes).not.toBe(9)
    app.commands.redo()
    expect(torch(app).passes).toBe(9)
    expect(state(app).history.present.camera.view).toBe('back')
  })

  test('reads once after it rests, and paints nothing', async () => {
    const world = testWorld()
    const app = await open(world)
    const { read, paint } = world.calls
    const counts = [read.length, paint.length]
    const { camera } = state(app).history.present
    for (let i = 0; i < 8; i++) app.commands.setCamera({ ...camera, view: 'free', azimuthDegrees: i })
    expect(state(app).derived.progress?.what).toBe('reading')
    await settled(app)
    expect([read.length, paint.length]).toEqual([counts[0] + 1, counts[1]])
    expect(read.at(-1)).toMatchObject({ camera: { azimuthDegrees: 7 } })
  })
})

describe('hovering', () => {
  const at = { side: 'main' as const, u: 0.5, v: 0.5, x: 300, y: 200 }
  const down = { origin: [1.6, 100, 0] as const, direction: [0, -1, 0] as const }

  test('names what the line of sight meets; leaving takes the card away', async () => {
    const app = await open()
    app.commands.hover({ ...at, ray: down })
    await until(() => state(app).session.hover !== null)
    expect(state(app).session.hover).toMatchObject({ side: 'main', x: 300, y: 200, partId: 'piece_1' })
    app.commands.hover({ ...at, x: 301, ray: { ...down, origin: [15, 100, 15] } })
    await until(() => state(app).session.hover?.x === 301)
    expect(state(app).session.hover!.partId).toBe('piece_2')
    app.commands.hover(null)
    expect(state(app).session.hover).toBeNull()
  })

  test('a pointer that has left meanwhile gets no card; past the figure there is none', async () => {
    const app = await open()
    app.commands.hover({ ...at, ray: down })
    app.commands.hover(null)
    await pause(30)
    expect(state(app).session.hover).toBeNull()
    app.commands.hover({ ...at, ray: { ...down, direction: [0, 1, 0] } })
    await pause(30)
    expect(state(app).session.hover).toBeNull()
  })

  test('while a fast pointer moves, only the newest place waits', async () => {
    const app = await open()
    for (let x = 0; x < 50; x++) app.commands.hover({ ...at, x, ray: down })
    const seen = new Set<number>()
    const unsubscribe = app.store.subscribe(s => {
      if (s.session.hover) seen.add(s.session.hover.x)
    })
    await until(() => state(app).session.hover?.x === 49)
    unsubscribe()
    expect(seen.size).toBeLessThanOrEqual(2)
  })
})

/** Each needs fields that the other does not. */
test('the shape is turned while a torch moves: the picture is refined all the same', async () => {
  const app = await open()
  const strip = app.commands.turnedPortraits(8, 16)
  for (let i = 0; i < 4; i++) {
    app.commands.setTorch(torch(app).id, { azimuthDegrees: 31 + 7 * i })
    await until(() => state(app).derived.sides.main!.quality === 'coarse')
    await new Promise(resolve => setTimeout(resolve, 5))
  }
  await strip.catch(() => {})
  await settled(app)
  expect(state(app).derived.sides.main!.quality).toBe('refined')
})

describe('comparing', () => {
  test('the other side appears, follows and goes', async () => {
    const app = await open()
    app.commands.setCompare({ kind: 'flat', arrangement: { kind: 'side-by-side' }, greyY: 0.2 })
    await settled(app)
    expect(rgb(app, 'other')).toHaveLength(rgb(app).length)
    expect(state(app).derived.readings.other).not.toBeNull()
    app.commands.setCompare({ kind: 'off' })
    await settled(app)
    expect(state(app).derived.sides.other).toBeNull()
    expect(state(app).derived.readings.other).toBeNull()
  })

  /** With nothing over its pre-shade it is the bare grey all over, whatever its torches do. */
  test('another recipe stands over its own base, or over one grey', async () => {
    const app = await open()
    const own = recipe(app)
    const preshade = { ...own, name: 'Bare', coats: own.coats.slice(0, 1), preshadeEnd: own.coats[0].id }
    const arrangement = { kind: 'side-by-side' } as const
    app.commands.setCompare({ kind: 'recipe', arrangement, recipe: preshade, flat: { greyY: 0.31 } })
    await settled(app)
    expect(rgb(app, 'other').every(x => Math.abs(x - 0.31) < 0.005)).toBe(true)
    app.commands.setCompare({ kind: 'recipe', arrangement, recipe: preshade })
    await settled(app)
    expect(rgb(app, 'other').some(x => Math.abs(x - 0.31) > 0.1)).toBe(true)
  })

  test('moving the seam paints nothing', async () => {
    const world = testWorld()
    const app = await open(world)
    app.commands.setCompare({ kind: 'flat', arrangement: { kind: 'seam', at: 0.5 }, greyY: null })
    await settled(app)
    const painted = world.calls.paint.length
    app.commands.setCompare({ kind: 'flat', arrangement: { kind: 'seam', at: 0.7 }, greyY: null }, 'seam')
    app.commands.endGesture()
    await settled(app)
    expect(world.calls.paint.length).toBe(painted)
  })
})

describe('figures', () => {
  test('one that comes while colours are mixed is painted', async () => {
    const app = await open()
    for (const radius of [4, 5, 6]) {
      const before = state(app).derived.figure
      let value = false
      // Colours are mixed until it stands, and nothing asks for them after.
      const mixing = setInterval(() => {
        value = !value
        app.commands.setLook({ kind: value ? 'value' : 'painted' })
      }, 1)
      const unsubscribe = app.store.subscribe(({ derived }) => {
        if (derived.figure !== before) clearInterval(mixing)
      })
      await app.commands.openFiles([testFile(`ball-${radius}.stl`, radius)])
      unsubscribe()
      await settled(app)
      expect(state(app).derived.sides.main!.figureId).toBe(state(app).derived.figure!.id)
    }
  })

  test('a file is opened, guessed and can be placed otherwise without reading it again', async () => {
    const world = testWorld()
    const app = await open(world)
    await app.commands.openFiles([testFile('knight.stl', 3)])
    await settled(app)
    const { figure } = state(app).history.present
    expect(figure.source).toMatchObject({ kind: 'file', fileName: 'knight.stl' })
    expect(figure.placement).toEqual({ up: '+z', front: '-y', heightMm: 30, unit: 'mm' })
    expect(state(app).derived).toMatchObject({
      file: { fileName: 'knight.stl', extents: [1, 2, 3] },
      figure: { heightMm: 30 },
    })
    const reads = world.calls.readFile.length
    app.commands.setPlacement({ heightMm: 54 })
    await settled(app)
    expect(state(app).derived.figure!.heightMm).toBe(54)
    expect(world.calls.readFile.length).toBe(reads)
    app.commands.undo()
    app.commands.undo()
    await settled(app)
    expect(state(app).history.present.figure.source.kind).toBe('built-in')
    expect(state(app).derived.figure!.heightMm).toBe(32)
    app.commands.redo()
    await settled(app)
    expect(state(app).derived.file!.fileName).toBe('knight.stl')
    expect(state(app).derived.figure!.heightMm).toBe(30)
  })

  test('a bad file says so and leaves everything as it was', async () => {
    const app = await open()
    const { history, derived } = state(app)
    await app.commands.openFiles([new File(['cube'], 'cube.stl')])
    expect(state(app).session).toMatchObject({ intake: null, problem: { code: 'file/damaged', fileName: 'cube.stl' } })
    expect(state(app).history).toBe(history)
    expect(state(app).derived.figure).toBe(derived.figure)
    expect(state(app).derived.sides.main).toBe(derived.sides.main)
  })

  test('reading can be called off: the worker is ended, nothing is said', async () => {
    const world = testWorld()
    const app = await open(world)
    const { figure } = state(app).derived
    const opening = app.commands.openFiles([new File(['endless'], 'endless.stl')])
    await until(() => (state(app).session.intake?.fraction ?? 0) > 0.5)
    app.commands.cancelIntake()
    await opening
    expect(state(app).session).toMatchObject({ intake: null, problem: null })
    expect(state(app).derived.figure).toBe(figure)
    app.commands.setPlacement({ heightMm: 40 })
    await settled(app)
    expect(state(app).derived.figure!.heightMm).toBe(40)
  })

  test('built-in figures are listed and opened; one that is not there says so', async () => {
    const app = await open()
    expect((await app.commands.builtInFigures()).map(f => f.title)).toEqual(['Sentinel'])
    await app.commands.openFiles([testFile('knight.stl', 3)])
    await app.commands.openBuiltIn('sentinel')
    await settled(app)
    expect(state(app).derived.figure!.heightMm).toBe(28)
    expect(state(app).derived.file!.fileName).toBe('sentinel.glb')
    await app.commands.openBuiltIn('nobody')
    expect(state(app).session.problem).toEqual({ code: 'document/figure-missing', fileName: 'nobody' })
    expect(state(app).derived.figure!.heightMm).toBe(28)
  })

  test('up and front are never one line', async () => {
    const app = await open()
    app.commands.setPlacement({ up: '+z' })
    expect(state(app).history.present.figure.placement).toMatchObject({ up: '+z', front: '+y' })
    app.commands.setPlacement({ front: '-z' })
    expect(state(app).history.present.figure.placement).toMatchObject({ front: '-z', up: '+y' })
    await settled(app)
  })

  test('a part of a file that takes for ever is ended by the clock', async () => {
    const world = testWorld()
    const after = world.environment.clock.after
    Object.assign(world.environment.clock, {
      after: (ms: number, run: () => void) => after(ms >= 60_000 ? 30 : ms, run),
    })
    const app = await open(world)
    await app.commands.openFiles([new File(['endless'], 'endless.stl')])
    expect(state(app).session.problem).toEqual({ code: 'file/timed-out', fileName: 'endless.stl', seconds: 60 })
  })
})

describe('paints', () => {
  const blue = PAINT_SHELF.find(p => p.id === 'cold_blue')!
  test('a made paint and its use are one step; an edited one changes every coat that has it', async () => {
    const app = await open()
    const before = recipe(app)
    const own = { ...blue, id: 'own_1', name: 'Mine' }
    app.commands.putPaint(own, mist(app).id)
    expect(mist(app).paint).toBe('own_1')
    app.commands.undo()
    expect(recipe(app)).toEqual(before)
    app.commands.redo()
    app.commands.putPaint(own, PRIMER)
    expect(recipe(app).primer.paint).toBe('own_1')
    app.commands.putPaint({ ...own, volumeSolids: 0.2 }, PRIMER)
    expect(
      recipe(app)
        .paints.filter(p => p.id === 'own_1')
        .map(p => p.volumeSolids),
    ).toEqual([0.2])
    const steps = app.store.getState().history
    app.commands.putPaint(recipe(app).paints.find(p => p.id === 'own_1')!, PRIMER)
    expect(app.store.getState().history).toBe(steps)
  })

  test('changing the primer leaves it open', async () => {
    const app = await open()
    app.commands.select({ openCoat: PRIMER })
    app.commands.setPrimer({ thicknessUm: 22 })
    expect(app.store.getState().session.openCoat).toBe(PRIMER)
  })

  test('measured spectra come from a worker that ends with them; a bad file says why', async () => {
    const app = await open()
    const text = 'BEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\na 50 0 0\nEND_DATA\n'
    const read = await app.commands.readSpectra(new File([text], 'a.txt'))
    expect(read.ok && read.value.map(s => [s.name, s.reflectance.length])).toEqual([['a', 16]])
    const bad = await app.commands.readSpectra(new File(['nothing'], 'b.txt'))
    expect(!bad.ok && bad.problem.code).toBe('spectra/unusable')
    const large = await app.commands.readSpectra(new File([new Uint8Array(5 << 20)], 'c.txt'))
    expect(!large.ok && large.problem.code).toBe('file/too-large')
  })
})

describe('when a worker dies', () => {
  test.each(['bake', 'paint'] as const)('a %s worker: it is started again and the picture stands', async role => {
    const world = testWorld()
    const app = await open(world)
    const before = rgb(app).slice()
    app.commands.setTorch(torch(app).id, { azimuthDegrees: 80 })
    world.workers.findLast(w => w.role === role)!.worker.crash()
    await settled(app)
    app.commands.undo()
    await settled(app)
    expect(state(app).derived.sides.main!.quality).toBe('refined')
    expect(difference(rgb(app), before)).toBe(0)
    expect(world.workers.filter(w => w.role === role)).toHaveLength(role === 'bake' ? 3 : 2)
  })
})

describe('keeping', () => {
  test('a reload finds document, figure and preferences again', async () => {
    const world = testWorld()
    const app = await open(world)
    await app.commands.openFiles([testFile('knight.stl', 3)])
    app.commands.setPlacement({ heightMm: 41 })
    app.commands.setTorch(torch(app).id, { azimuthDegrees: 77 })
    app.commands.goToView('shelf')
    app.commands.setPreferences({ cautionsSeen: true })
    await settled(app)
    await app.saveNow()
    const before = state(app)
    app.close()

    const again = await open(testWorld(world.storage))
    // Through JSON: −0 becomes 0.
    expect(state(again).history.present).toEqual(JSON.parse(JSON.stringify(before.history.present)))
    expect(state(again).history.past).toEqual([])
    expect(state(again).preferences).toMatchObject({ cautionsSeen: true, startSeen: false })
    expect(state(again).derived.figure!.id).toBe(before.derived.figure!.id)
    expect(difference(rgb(again), rgb(app))).toBe(0)
  })

  test('is done at once when the page is hidden', async () => {
    const world = testWorld()
    const app = await open(world)
    app.commands.setNotes('in a hurry')
    for (const run of world.hide) run()
    await pause(20)
    expect(String(world.storage.get('document'))).toContain('in a hurry')
  })

  test('is done by itself shortly after a change', async () => {
    const world = testWorld()
    const app = await open(world)
    expect(world.storage.has('document')).toBe(false)
    app.commands.setNotes('thin coats')
    await until(() => String(world.storage.get('document')).includes('thin coats'))
  })

  test.each([
    ['QuotaExceededError', 'storage/full'],
    ['InvalidStateError', 'storage/unavailable'],
  ])('%s is said once and stops nothing', async (name, code) => {
    const world = testWorld()
    const app = await open(world)
    world.failStorage = Object.assign(new Error('no'), { name })
    app.commands.setNotes('a')
    await app.saveNow()
    expect(state(app).session.problem).toEqual({ code })
    app.commands.dismissProblem()
    app.commands.setPasses(mist(app).id, 8)
    await app.saveNow()
    expect(state(app).session.problem).toBeNull()
    expect(torch(app).passes).toBe(8)
  })

  test('storage that never worked starts the demo', async () => {
    const world = testWorld()
    world.failStorage = new Error('private window')
    const app = await open(world)
    expect(state(app).derived.figure).not.toBeNull()
  })

  test('damaged storage says so and starts the demo', async () => {
    const world = testWorld(
      new Map<string, unknown>([
        ['document', '{"format":"greycoat-document","version":1}'],
        ['figure', 7],
        ['preferences', 'x'],
      ]),
    )
    const app = await open(world)
    expect(state(app).session.problem?.code).toBe('document/invalid')
    expect(state(app).derived.sides.main).not.toBeNull()
  })

  test('a saved file whose figure is not here asks for it, keeps the rest, and takes it when it comes', async () => {
    const first = await open()
    await first.commands.openFiles([testFile('knight.stl', 3)])
    first.commands.setPlacement({ heightMm: 47 })
    first.commands.renameCoat(mist(first).id, 'Special')
    const { fileName, text } = first.commands.documentFile()

    const app = await open()
    const { figure } = state(app).derived
    await app.commands.openFiles([new File([text], fileName)])
    expect(state(app).session.problem).toEqual({ code: 'document/figure-missing', fileName: 'knight.stl' })
    expect(mist(app).name).toBe('Special')
    expect(state(app).derived.figure).toBe(figure)
    await app.commands.openFiles([testFile('renamed.stl', 3)])
    await settled(app)
    expect(state(app).session.problem).toBeNull()
    expect(state(app).derived.figure!.heightMm).toBe(47)
    expect(mist(app).name).toBe('Special')
  })

  test('a recipe file replaces the recipe alone', async () => {
    const first = await open()
    first.commands.renameCoat(mist(first).id, 'Special')
    const { fileName, text } = first.commands.recipeFile()
    const app = await open()
    await app.commands.openFiles([new File([text], fileName)])
    expect(mist(app).name).toBe('Special')
    expect(state(app).history.past).toHaveLength(1)
    await app.commands.openFiles([new File(['{"format":"greycoat-recipe","version":5}'], 'new.json')])
    expect(state(app).session.problem).toMatchObject({ code: 'document/newer', found: 5, supported: 2 })
  })
})
