import type { AppHandle } from '../ui/use-app.ts'
import { benchFigure } from './bench-figure.ts'
import { until } from './frame-times.ts'

/** Puts the bench's figure on the stage, as a user would, and waits until everything about it is refined. */
export async function openBenchFigure({ store, commands }: AppHandle): Promise<void> {
  await until('the page stands', () => store.getState().session.ready)
  commands.setPreferences({ cautionsSeen: true, startSeen: true })
  commands.select({ dialog: null })
  await commands.openFiles([benchFigure()])
  await untilRefined({ store })
  await until('fewer triangles are there', () => store.getState().derived.fewTriangles !== null)
}

export const untilRefined = ({ store }: Pick<AppHandle, 'store'>): Promise<void> =>
  until('the picture is refined', () => {
    const { figure, progress, sides, readings } = store.getState().derived
    return (
      figure !== null &&
      progress === null &&
      sides.main?.figureId === figure.id &&
      sides.main.quality === 'refined' &&
      readings.main !== null
    )
  })
