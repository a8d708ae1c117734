import { afterEach, describe, expect, test } from 'vitest'
import { angleAdviceKey, preshadeMist } from '../core/advice/advice-of.ts'
import { DOME, degreesBetween } from '../core/advice/dome.ts'
import type { App } from './app.ts'
import type { Derived } from './app-state.ts'
import { settled, startedApp, testFile } from './test-environment.ts'

const apps: App[] = []
const open = async () => {
  const app = await startedApp()
  apps.push(app)
  return app
}
afterEach(() => {
  for (const app of apps.splice(0)) app.close()
})
const derived = (app: App) => app.store.getState().derived
const recipe = (app: App) => app.store.getState().history.present.recipe

describe('looking around the figure', () => {
  test('shows a coarse dome first, then all of it, with progress that only grows; nothing saved changes', async () => {
    const app = await open()
    const before = app.store.getState().history
    const seen: Derived[] = []
    app.store.subscribe(state => seen.push(state.derived))
    await app.commands.scanAngles()
    const answers = [...new Set(seen.flatMap(d => d.angleAdvice ?? []))]
    expect(answers.map(a => a.complete)).toEqual([false, true])
    expect(answers[0].readings.filter(r => r !== null)).toHaveLength(DOME.filter(d => d.coarse).length)
    expect(answers[1].readings.every(r => r !== null)).toBe(true)
    const fractions = seen.flatMap(d => d.scanning?.fraction ?? [])
    expect(fractions).toEqual([...fractions].sort((a, b) => a - b))
    expect(fractions.at(-1)).toBe(1)
    expect(derived(app).scanning).toBeNull()
    expect(app.store.getState().history).toBe(before)
    // A ball over a sheet: more of it is seen from above than level, where the sheet is a line.
    const at = (elevation: number) => answers[1].readings[DOME.findIndex(d => d.elevationDegrees === elevation)]!.terms
    expect(at(60).size!).toBeGreaterThan(1.2 * at(0).size!)
    expect(at(45).values!).toBeGreaterThan(1)
  })

  test('a cancel ends it at once and leaves the answer there was', async () => {
    const app = await open()
    await app.commands.scanAngles()
    const kept = derived(app).angleAdvice
    const again = app.commands.scanAngles()
    app.commands.cancelScan()
    await again
    expect(derived(app).angleAdvice).toBe(kept)
    expect(derived(app).scanning).toBeNull()
    expect(app.store.getState().session.problem).toBeNull()
  })

  test('another figure ends it; no answer of the old one comes after', async () => {
    const app = await open()
    const running = app.commands.scanAngles()
    await app.commands.openFiles([testFile('ball.stl', 5)])
    await running
    await settled(app)
    expect(derived(app).angleAdvice).toBeNull()
    expect(derived(app).scanning).toBeNull()
    await app.commands.scanAngles()
    expect(derived(app).angleAdvice!.key).toBe(angleAdviceKey(derived(app).figure!.id, recipe(app)))
  })

  test('a torch can be moved meanwhile', async () => {
    const app = await open()
    const running = app.commands.scanAngles()
    app.commands.setTorch(preshadeMist(recipe(app))!.torches[0].id, { elevationDegrees: 77 })
    await settled(app)
    expect(derived(app).sides.main!.quality).toBe('refined')
    await running
    // What it was found for is no longer what stands.
    expect(derived(app).angleAdvice!.key).not.toBe(angleAdviceKey(derived(app).figure!.id, recipe(app)))
  })
})

test('advice on angles is of the pre-shade: what lies above does not make it old', async () => {
  const app = await open()
  const key = () => angleAdviceKey(derived(app).figure!.id, recipe(app))
  const before = key()
  const glaze = recipe(app).coats.at(-1)!
  app.commands.setMix(glaze.id, { thinnerDrops: 9 })
  expect(key()).toBe(before)
  app.commands.setPasses(preshadeMist(recipe(app))!.id, 9)
  expect(key()).not.toBe(before)
})

describe('trying spray from all around', () => {
  test('answers for both sides, with pictures; what it finds becomes torches in one step, and undo brings all back', async () => {
    const app = await open()
    await app.commands.scanLights()
    const { sides } = derived(app).lightAdvice!
    const { camera } = app.store.getState().history.present
    expect(sides.map(s => Math.round(degreesBetween(s.view, camera)))).toEqual([0, 180 - 2 * camera.elevationDegrees])
    for (const side of sides) {
      expect(side.readings).toHaveLength(DOME.length)
      expect(side.best).toHaveLength(3)
      expect(side.presets.map(p => p.preset)).toEqual(['overhead', 'key', 'key-left', 'rim'])
      for (const { picture } of side.best) {
        expect(Math.max(picture.width, picture.height)).toBe(256)
        expect(picture.grey).toHaveLength(picture.width * picture.height)
        expect(Math.max(...picture.grey)).toBeGreaterThan(200)
      }
      // Light from behind what is looked at leaves most of it dark, from the eye hardly any.
      const at = (azimuth: number) =>
        side.readings[
          DOME.reduce(
            (best, d, i) => {
              const off = degreesBetween(d, { azimuthDegrees: azimuth, elevationDegrees: 15 })
              return off < best.off ? { off, i } : best
            },
            { off: 999, i: 0 },
          ).i
        ]
      expect(at(side.view.azimuthDegrees + 180).dark).toBeGreaterThan(at(side.view.azimuthDegrees).dark + 0.3)
    }

    const coat = preshadeMist(recipe(app))!
    const undoSteps = app.store.getState().history.past.length
    app.commands.placeTorches(
      coat.id,
      sides.map((side, i) => ({
        name: i === 0 ? 'Front' : 'Back',
        azimuthDegrees: DOME[side.best[0].index].azimuthDegrees,
        elevationDegrees: DOME[side.best[0].index].elevationDegrees,
      })),
    )
    const made = preshadeMist(recipe(app))!
    expect(made.torches).toHaveLength(2)
    expect(made.torches[0]).toMatchObject({
      name: 'Front',
      elevationDegrees: DOME[sides[0].best[0].index].elevationDegrees,
      rollDegrees: 0,
      linkedTo: null,
      passes: coat.torches[0].passes,
      distanceMm: coat.torches[0].distanceMm,
    })
    expect(made.torches[0].id).not.toBe(made.torches[1].id)
    expect(app.store.getState().history.past.length).toBe(undoSteps + 1)
    app.commands.undo()
    expect(preshadeMist(recipe(app))).toEqual(coat)
  })
})
