import { PICTURE_REFINED } from '../scene/gpu/use-gpu-colours.ts'
import { graphicsKind } from '../scene/graphics-kind.ts'
import { ON_STAGE } from '../ui/paced-store.ts'
import type { AppHandle } from '../ui/use-app.ts'
import { finish, frameTimes, oneAhead, rendererName, rounded, stageContext, summaryOf, until } from './frame-times.ts'
import { openBenchFigure, untilRefined } from './open-bench-figure.ts'

/** A torch dragged over a figure of 1.0 M triangles for 5 s, alone and with its mirrored twin; then let go. */
export async function dragBench(app: AppHandle): Promise<object> {
  await openBenchFigure(app)
  const gl = stageContext()
  const pair = await drag(app, gl)
  const [coat] = app.store.getState().history.present.recipe.coats
  if (coat.kind !== 'mist') throw new Error('the demo begins with a mist coat')
  app.commands.linkTorch(coat.torches[0].id, null)
  await untilRefined(app)
  const one = await drag(app, gl)
  const { figure, fewTriangles } = app.store.getState().derived
  return {
    renderer: rendererName(gl),
    colours: graphicsKind().colours,
    triangles: figure!.triangles.length / 3,
    vertices: figure!.positions.length / 3,
    fewTriangles: fewTriangles ? fewTriangles.length / 3 : null,
    size: [gl.drawingBufferWidth, gl.drawingBufferHeight],
    gpu_drag_p95_ms: one.ahead.p95,
    gpu_refined_ms: one.refinedMs,
    one,
    pair,
  }
}

async function drag({ store, commands }: AppHandle, gl: WebGL2RenderingContext) {
  const [coat] = store.getState().history.present.recipe.coats
  if (coat.kind !== 'mist') throw new Error('the demo begins with a mist coat')
  const [torch] = coat.torches
  const move = (second: number) =>
    commands.setTorch(
      torch.id,
      { azimuthDegrees: 60 * Math.sin(second), elevationDegrees: 45 + 20 * Math.sin(1.7 * second) },
      `${ON_STAGE}bench`,
    )
  // The first second compiles shaders and warms everything up.
  await frameTimes(gl, 1, move)
  const ahead = await frameTimes(gl, 5, move, oneAhead(gl))
  const times = await frameTimes(gl, 5, move)
  const refined = () => performance.getEntriesByName(PICTURE_REFINED).at(-1)?.startTime ?? 0
  const released = performance.now()
  commands.endGesture()
  let refinedMs: number | null = null
  if (graphicsKind().colours === 'workers') {
    await untilRefined({ store })
  } else {
    await new Promise<void>(resolve => {
      const look = () => {
        if (refined() <= released) return requestAnimationFrame(look)
        finish(gl)
        refinedMs = rounded(performance.now() - released)
        resolve()
      }
      look()
    })
    await until('the hand rests', () => store.getState().session.gesture === null)
  }
  await untilRefined({ store })
  return {
    ahead: summaryOf(ahead),
    oneByOne: summaryOf(times),
    refinedMs,
  }
}
