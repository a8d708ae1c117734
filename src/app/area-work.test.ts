import { afterEach, expect, test } from 'vitest'
import type { App } from './app.ts'
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
const derived = (app: App) => app.store.getState().derived
const until = async (done: () => boolean) => {
  for (let i = 0; !done(); i++) {
    if (i > 3000) throw new Error('waited in vain')
    await new Promise(resolve => setTimeout(resolve, 2))
  }
}
const surfaceWorkers = (world: TestWorld) => world.workers.filter(w => w.role === 'surface').length

test('areas are found once the figure stands painted, in a worker of their own, and read from then on', async () => {
  const world = testWorld()
  const app = await open(world)
  await until(() => derived(app).areas !== null)
  const { panels, figure, areas } = derived(app)
  expect(panels!.figureId).toBe(figure!.id)
  expect(panels!.panelOf.length).toBe(figure!.triangles.length / 3)
  // The stand-in figure is a ball over a floor: one area each.
  expect(panels!.panels.length).toBe(2)
  expect(areas!.reduce((sum, a) => sum + a.seenShare, 0)).toBeCloseTo(1, 9)
  expect(derived(app).findingAreas).toBeNull()
  const found = surfaceWorkers(world)
  app.commands.goToView('back')
  app.commands.setThresholds({ dark: 0.2 })
  await settled(app)
  expect(surfaceWorkers(world)).toBe(found)
  expect(derived(app).panels).toBe(panels)
  expect(derived(app).areas).not.toBe(areas)
})

test('another figure has other areas; going back finds the old ones at hand', async () => {
  const world = testWorld()
  const app = await open(world)
  await until(() => derived(app).areas !== null)
  const first = derived(app).panels!
  await app.commands.openFiles([testFile('ball.stl', 5)])
  expect(derived(app).areas).toBeNull()
  await until(() => derived(app).areas !== null)
  expect(derived(app).panels!.figureId).toBe(derived(app).figure!.id)
  expect(derived(app).panels!.figureId).not.toBe(first.figureId)
  const found = surfaceWorkers(world)
  app.commands.undo()
  await until(() => derived(app).areas !== null && derived(app).figure!.id === first.figureId)
  expect(derived(app).panels).toBe(first)
  expect(surfaceWorkers(world)).toBe(found)
})

test('looking for them can be called off, is not begun again by itself, and can be asked for', async () => {
  const world = testWorld()
  const app = await open(world)
  await until(() => derived(app).areas !== null)
  let calledOff = 0
  const stop = app.store.subscribe(({ derived: { findingAreas } }) => {
    if (findingAreas !== null && calledOff++ === 0) app.commands.cancelFindingAreas()
  })
  await app.commands.openFiles([testFile('ball.stl', 5)])
  await until(() => calledOff > 0)
  stop()
  expect(derived(app).findingAreas).toBeNull()
  const begun = surfaceWorkers(world)
  app.commands.setThresholds({ dark: 0.2 })
  await settled(app)
  expect(derived(app).panels).toBeNull()
  expect(surfaceWorkers(world)).toBe(begun)
  app.commands.findAreas()
  await until(() => derived(app).areas !== null)
})

test('naming an area and letting it stay dark are steps that undo takes back; another figure forgets them', async () => {
  const app = await open()
  await until(() => derived(app).areas !== null)
  const { id } = derived(app).panels!.panels[0]
  app.commands.renameArea(id, 'lining')
  app.commands.setMeantDark(id, true)
  const panels = () => app.store.getState().history.present.panels
  expect(panels()).toEqual({ names: { [id]: 'lining' }, meantDark: [id] })
  app.commands.undo()
  expect(panels().meantDark).toEqual([])
  await app.commands.openFiles([testFile('ball.stl', 4)])
  expect(panels()).toEqual({ names: {}, meantDark: [] })
})

test('the four sides are checked, what would help is tried, and applying it is one step that lights what it said', async () => {
  const app = await open()
  await until(() => derived(app).areas !== null)
  const recipe = () => app.store.getState().history.present.recipe
  const coat = recipe().coats.find(c => c.kind === 'mist')!
  app.commands.setPreshadeEnd(coat.id)
  app.commands.applyTorchSet(coat.id, 'overhead')
  // Straight from above, the lower half of the ball stays dark from every side.
  app.commands.select({ litShare: 0.9 })
  await settled(app)
  await app.commands.checkSides()
  const { unlit } = derived(app).sideCheck!
  expect(new Set(unlit.map(u => u.side))).toEqual(new Set(['front', 'back', 'left', 'right']))
  expect(derived(app).checkingSides).toBeNull()
  const [front] = unlit
  const remedy = front.remedies!.find(r => r.kind === 'torch')!
  expect(remedy.reached).toBeGreaterThan(0.5)

  const before = recipe()
  app.commands.applyRemedy(remedy)
  await settled(app)
  await app.commands.checkSides()
  const left = derived(app).sideCheck!.unlit.find(u => u.side === front.side && u.panel === front.panel)
  // What is left may be too little to be listed.
  expect((left?.unlitMm2 ?? 0) / front.unlitMm2).toBeLessThan(1 - remedy.reached + 0.05)
  app.commands.undo()
  expect(recipe()).toBe(before)

  app.commands.applyRemedy({ kind: 'part', partId: derived(app).figure!.parts[0].id, reached: 1 })
  expect(recipe().coats.find(c => c.id === coat.id)).toMatchObject({
    parts: { [derived(app).figure!.parts[0].id]: 'apart' },
  })
  app.commands.undo()
  expect(recipe()).toBe(before)
})

test('a torch that is moved ends the check, without a word', async () => {
  const app = await open()
  await until(() => derived(app).areas !== null)
  app.commands.select({ litShare: 1 })
  const checking = app.commands.checkSides()
  const coat = app.store.getState().history.present.recipe.coats.find(c => c.kind === 'mist')!
  app.commands.addTorch(coat.id)
  await checking
  expect(derived(app).checkingSides).toBeNull()
  expect(app.store.getState().session.problem).toBeNull()
  expect(derived(app).sideCheck?.unlit.every(u => u.remedies === null) ?? true).toBe(true)
})
