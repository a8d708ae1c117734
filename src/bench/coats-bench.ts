import type { Coat } from '../core/recipe/recipe.ts'
import { graphicsKind } from '../scene/graphics-kind.ts'
import type { AppHandle } from '../ui/use-app.ts'
import { frameTimes, rendererName, stageContext, summaryOf } from './frame-times.ts'
import { openBenchFigure, untilRefined } from './open-bench-figure.ts'

const COATS = 12

/** The camera turned around a figure of 1.0 M triangles under 12 coats for 5 s; then a paint's passes changed every frame. */
export async function coatsBench(app: AppHandle): Promise<object> {
  const { store, commands } = app
  await openBenchFigure(app)
  const { recipe } = store.getState().history.present
  const coats = Array.from({ length: COATS }, (_, i): Coat => {
    const coat = recipe.coats[i % recipe.coats.length]
    const id = `bench_${i}`
    if (coat.kind !== 'mist') return { ...coat, id }
    // None links to a torch of another coat; passes differ so that no film is another's.
    const torches = coat.torches.map((torch, t) => ({ ...torch, id: `${id}_${t}`, passes: 1 + i, linkedTo: null }))
    return { ...coat, id, torches }
  })
  commands.setRecipe({ ...recipe, coats }, 'Bench')
  await untilRefined(app)
  const gl = stageContext()
  const surface = document.querySelector<HTMLElement>('.stage-surface')!
  let clientX = 600
  const point = (type: string, buttons: number) =>
    surface.dispatchEvent(new PointerEvent(type, { pointerId: 1, clientX, clientY: 400, buttons, bubbles: true }))
  // As a user does: the mouse drags the figure round.
  const turn = () => {
    clientX += 2
    point('pointermove', 1)
  }
  point('pointerdown', 1)
  await frameTimes(gl, 1, turn)
  const before = store.getState().history.present.camera.azimuthDegrees
  const turning = summaryOf(await frameTimes(gl, 5, turn))
  const after = store.getState().history.present.camera.azimuthDegrees
  point('pointerup', 0)
  if (after === before) throw new Error('the camera did not turn')
  await untilRefined(app)
  const change = (second: number) =>
    commands.setPasses('bench_0', 1 + (Math.floor(200 * second) % 40) / 8, 'bench passes')
  await frameTimes(gl, 1, change)
  const changed = await frameTimes(gl, 3, change)
  commands.endGesture()
  return {
    renderer: rendererName(gl),
    colours: graphicsKind().colours,
    triangles: store.getState().derived.figure!.triangles.length / 3,
    size: [gl.drawingBufferWidth, gl.drawingBufferHeight],
    gpu_twelve_coats_p95_ms: turning.p95,
    turning,
    changing: summaryOf(changed),
  }
}
