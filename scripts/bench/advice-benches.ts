import { createStore, type StoreApi } from 'zustand/vanilla'
import { type Advice, createAdvice } from '../../src/app/advice.ts'
import type { AppState } from '../../src/app/app-state.ts'
import { initialState } from '../../src/app/initial-state.ts'
import { createBakePool } from '../../src/compute/bake-pool.ts'
import { type Direction, DOME } from '../../src/core/advice/dome.ts'
import { SCAN_PIXELS } from '../../src/core/advice/view-measures.ts'
import type { Figure } from '../../src/core/mesh/figure.ts'
import type { Emitter } from '../../src/core/spray/emitters.ts'
import { directionFrom } from '../../src/core/vec3.ts'
import { type Measured, raysMs } from './bake-benches.ts'
import { lumpyFigure } from './bench-figures.ts'
import { startBakeThread, startThread } from './thread-port.ts'

/** The page's own scan on two workers, the figure already there. */
async function scanning<T>(figure: Figure, run: (advice: Advice, store: StoreApi<AppState>) => Promise<T>): Promise<T> {
  const pool = createBakePool(2, startBakeThread)
  const store = createStore<AppState>(initialState)
  store.setState(state => ({ derived: { ...state.derived, figure } }))
  pool.keepFigure(figure, [])
  const paint = startThread('./saliency-worker.ts', figure)
  const answer = () =>
    new Promise<unknown>((resolve, reject) => {
      paint.once('message', resolve)
      paint.once('error', reject)
    })
  // Any values will do: they are only counted.
  const preshadeLStar = Float32Array.from({ length: figure.positions.length / 3 }, (_, v) => v % 100)
  const advice = createAdvice(store, pool, async (_, withSaliency) => {
    if (!withSaliency) return { saliency: null, preshadeLStar }
    const saliency = answer() as Promise<Float32Array>
    paint.postMessage('go')
    return { saliency: await saliency, preshadeLStar }
  })
  try {
    // Loads, compiles and warms up, every worker.
    await answer()
    const warm = [0, 1].map(i => DOME[i])
    await pool.bake({ partStates: {}, emitters: warm.map(towards), bufferSize: SCAN_PIXELS })
    return await run(advice, store)
  } finally {
    pool.close()
    await paint.terminate()
  }
}

const towards = ({ azimuthDegrees, elevationDegrees }: Direction): Emitter => ({
  kind: 'parallel',
  toward: directionFrom(azimuthDegrees, elevationDegrees),
  weight: 1,
})

const raysNote = (figure: Figure): string => {
  const ms = raysMs(figure, DOME.map(towards)) / 2
  return `visibility alone by rays, all of the dome, two cores: ${(ms / 1000).toFixed(1)} s`
}

const vertices = (figure: Figure) => `${figure.positions.length / 3} vertices`

export const adviceBenches: Record<string, () => Promise<Measured>> = {
  /** From the button to the whole dome, saliency included. */
  async angle_scan_ms_300k() {
    const figure = lumpyFigure([7, 6, 6, 6])
    return scanning(figure, async (advice, store) => {
      const begun = performance.now()
      let coarseMs = 0
      const unsubscribe = store.subscribe(({ derived }) => {
        if (derived.angleAdvice && coarseMs === 0) coarseMs = performance.now() - begun
      })
      await advice.scanAngles()
      const value = performance.now() - begun
      unsubscribe()
      const { problem } = store.getState().session
      if (problem) throw new Error(JSON.stringify(problem))
      const note = `${DOME.length} directions, 2 workers, ${vertices(figure)}; coarse dome after ${coarseMs.toFixed(0)} ms; ${raysNote(figure)}`
      return { value, unit: 'ms', note }
    })
  },

  /** From the button to both sides' domes, the six pictures included. */
  async light_scan_ms_300k() {
    const figure = lumpyFigure([7, 6, 6, 6])
    return scanning(figure, async (advice, store) => {
      const begun = performance.now()
      await advice.scanLights()
      const value = performance.now() - begun
      const { problem } = store.getState().session
      if (problem || !store.getState().derived.lightAdvice) throw new Error(JSON.stringify(problem))
      const lights = DOME.length + 8
      const note = `${lights} lights seen from 2 views, 2 workers, ${vertices(figure)}; ${raysNote(figure)}`
      return { value, unit: 'ms', note }
    })
  },
}
