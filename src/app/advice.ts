import type { StoreApi } from 'zustand/vanilla'
import type { BakePool } from '../compute/bake-pool.ts'
import { isCancelled } from '../compute/compute-client.ts'
import type { GreyPicture } from '../compute/protocol.ts'
import { angleAdviceKey, preshadeMist } from '../core/advice/advice-of.ts'
import { readAngles } from '../core/advice/angle-score.ts'
import { bestApart, type Direction, DOME } from '../core/advice/dome.ts'
import {
  type LightMeasures,
  type LightPreset,
  type LightReading,
  presetLight,
  readLight,
} from '../core/advice/light-measures.ts'
import { COARSE_SCAN_PIXELS, SCAN_PIXELS, type ScanFields, type ViewMeasures } from '../core/advice/view-measures.ts'
import { problemOf } from '../core/problem.ts'
import { partsKey } from '../core/spray/torch-field-key.ts'
import type { AppState, Derived, LightSide } from './app-state.ts'

/** Directions a call: a bake that comes between waits for so many at most, about 60 ms on a large figure. */
const HANDFUL = 4
/** Answers stand so far apart that each is another picture. */
export const APART_DEGREES = 30
export const BEST_COUNT = 3

/** Looks around the figure on request. Answers stand in the store; they change nothing else. */
export interface Advice {
  scanAngles(): Promise<void>
  /** For the direction the camera looks from, and for its opposite. */
  scanLights(): Promise<void>
  cancel(): void
}

export function createAdvice(
  store: StoreApi<AppState>,
  pool: BakePool,
  fieldsOf: (figureId: string, withSaliency: boolean, signal: AbortSignal) => Promise<ScanFields>,
): Advice {
  let running: AbortController | null = null
  const setDerived = (patch: Partial<Derived>) => store.setState(state => ({ derived: { ...state.derived, ...patch } }))

  /** One scan at a time; a new one ends the one before. Another figure ends it too. */
  async function run(what: 'angles' | 'lights', scan: (signal: AbortSignal, figureId: string) => Promise<void>) {
    const { figure } = store.getState().derived
    if (!figure) return
    running?.abort(new DOMException('another scan', 'AbortError'))
    const mine = new AbortController()
    running = mine
    const unsubscribe = store.subscribe(state => {
      if (state.derived.figure !== figure) mine.abort(new DOMException('another figure', 'AbortError'))
    })
    setDerived({ scanning: { what, fraction: 0 } })
    try {
      await scan(mine.signal, figure.id)
    } catch (thrown) {
      if (!isCancelled(thrown)) store.setState(state => ({ session: { ...state.session, problem: problemOf(thrown) } }))
    } finally {
      unsubscribe()
      if (running === mine) {
        running = null
        setDerived({ scanning: null })
      }
    }
  }

  const progress = (what: 'angles' | 'lights', fraction: number) => setDerived({ scanning: { what, fraction } })

  return {
    scanAngles: () =>
      run('angles', async (signal, figureId) => {
        const key = angleAdviceKey(figureId, store.getState().history.present.recipe)
        const all = DOME.map((_, i) => i)
        const coarse = all.filter(i => DOME[i].coarse)
        let done = 0
        for (const indices of [coarse, all]) {
          // Saliency takes as long as the coarse look: that one does without, unless it is known.
          const fields = await fieldsOf(figureId, indices === all, signal)
          const pixels = indices === all ? SCAN_PIXELS : COARSE_SCAN_PIXELS
          const measures: (ViewMeasures | null)[] = DOME.map(() => null)
          await pool.deal<number, ViewMeasures>(
            {
              items: indices,
              handful: HANDFUL,
              prepare: (worker, s) => worker.call('keepScanFields', { figureId, fields }, { signal: s }),
              async ask(worker, items, s) {
                const directions = items.map(i => DOME[i])
                return (await worker.call('scanAngles', { figureId, directions, pixels }, { signal: s })).measures
              },
              onResults(first, results) {
                results.forEach((result, i) => {
                  measures[indices[first + i]] = result
                })
                done += results.length
                progress('angles', done / (coarse.length + all.length))
              },
            },
            signal,
          )
          setDerived({ angleAdvice: { key, readings: readAngles(DOME, measures), complete: indices === all } })
        }
      }),

    scanLights: () =>
      run('lights', async (signal, figureId) => {
        const { camera, recipe } = store.getState().history.present
        const coat = preshadeMist(recipe)
        if (!coat) return
        const { parts: partStates } = coat
        const view = { azimuthDegrees: camera.azimuthDegrees, elevationDegrees: camera.elevationDegrees }
        const views = [view, { ...view, azimuthDegrees: view.azimuthDegrees + 180 }]
        const presets = views.map(v => PRESETS.map(preset => ({ preset, direction: presetLight(preset, v) })))
        const lights = [...DOME, ...presets.flat().map(p => p.direction)]
        const readings: (readonly LightReading[])[] = []
        await pool.deal<Direction, readonly LightMeasures[]>(
          {
            items: lights,
            handful: HANDFUL,
            ask: async (worker, items, s) =>
              (await worker.call('scanLights', { figureId, partStates, views, lights: items }, { signal: s })).measures,
            onResults(first, results) {
              results.forEach((result, i) => {
                readings[first + i] = result.map(readLight)
              })
              progress('lights', Object.keys(readings).length / lights.length)
            },
          },
          signal,
        )
        const sides: LightSide[] = []
        for (const [side, v] of views.entries()) {
          const dome = DOME.map((_, i) => readings[i][side])
          const best = bestApart(
            DOME,
            dome.map(r => r.score),
            BEST_COUNT,
            APART_DEGREES,
          )
          const firstPreset = DOME.length + side * PRESETS.length
          const shown = presets[side].map((p, i) => ({ ...p, reading: readings[firstPreset + i][side] }))
          const pictures: GreyPicture[] = []
          await pool.deal<Direction, GreyPicture>(
            {
              items: best.map(i => DOME[i]),
              handful: 1,
              ask: async (worker, items, s) =>
                (await worker.call('lightPictures', { figureId, partStates, views: [v], lights: items }, { signal: s }))
                  .pictures,
              onResults(first, results) {
                pictures[first] = results[0]
              },
            },
            signal,
          )
          sides.push({
            view: v,
            readings: dome,
            best: best.map((index, i) => ({ index, picture: pictures[i] })),
            presets: shown,
          })
        }
        setDerived({ lightAdvice: { key: partsKey(figureId, partStates), sides } })
      }),

    cancel() {
      running?.abort(new DOMException('cancelled', 'AbortError'))
    },
  }
}

const PRESETS: readonly LightPreset[] = ['overhead', 'key', 'key-left', 'rim']
