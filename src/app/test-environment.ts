import { bakeHandlers } from '../compute/bake-handlers.ts'
import { type InProcessWorker, inProcessWorker } from '../compute/in-process-worker.ts'
import { intakeHandlers } from '../compute/intake-handlers.ts'
import { paintHandlers } from '../compute/paint-handlers.ts'
import type { CallName, RequestOf, WorkerRole } from '../compute/protocol.ts'
import { type Handlers, serveCompute } from '../compute/serve-compute.ts'
import { sha256Hex } from '../compute/sha256-hex.ts'
import { surfaceHandlers } from '../compute/surface-handlers.ts'
import type { Figure } from '../core/mesh/figure.ts'
import { ProblemError } from '../core/problem.ts'
import { figureOf, floorSheet, icosphere } from '../core/spray/test-figures.ts'
import { type App, createApp } from './app.ts'
import type { AppEnvironment, KeyValueStorage } from './app-environment.ts'

/** A world for tests: workers without threads, files that are descriptions of test figures, storage in a map. */
export interface TestWorld {
  readonly environment: AppEnvironment
  readonly storage: Map<string, unknown>
  readonly workers: { readonly role: WorkerRole; readonly worker: InProcessWorker }[]
  /** Requests in the order they were handled. */
  readonly calls: Record<'bakeEmitters' | 'paint' | 'read' | 'keepField' | 'placeFigure' | 'readFile', unknown[]>
  failStorage: Error | null
  /** What the app does when the page is hidden. */
  readonly hide: (() => void)[]
}

/** A file that the stand-in reader understands: `ball 3` is a ball of that radius over a floor. */
export const testFile = (name: string, radius: number): File => new File([`ball ${radius}`], name)

export function testWorld(storage = new Map<string, unknown>()): TestWorld {
  const workers: TestWorld['workers'] = []
  const calls: TestWorld['calls'] = {
    bakeEmitters: [],
    paint: [],
    read: [],
    keepField: [],
    placeFigure: [],
    readFile: [],
  }
  const counted = <R extends WorkerRole>(handlers: Handlers<R>): Handlers<R> => {
    const out: Record<string, unknown> = {}
    for (const [name, handler] of Object.entries(handlers))
      out[name] = (request: RequestOf<R, CallName<R>>, context: never) => {
        if (name in calls) calls[name as keyof typeof calls].push(request)
        return (handler as (request: unknown, context: never) => unknown)(request, context)
      }
    return out as Handlers<R>
  }
  const world: TestWorld = {
    storage,
    workers,
    calls,
    failStorage: null,
    hide: [],
    environment: {
      storage: storageIn(storage, () => world.failStorage),
      startWorker(role) {
        const worker = inProcessWorker(port => {
          if (role === 'bake') serveCompute<'bake'>(port, counted(bakeHandlers(() => performance.now())))
          else if (role === 'paint') serveCompute<'paint'>(port, counted(paintHandlers()))
          else if (role === 'surface') serveCompute<'surface'>(port, counted(surfaceHandlers()))
          else serveCompute<'intake'>(port, counted(standInIntake()))
        })
        workers.push({ role, worker })
        return worker
      },
      cores: 2,
      fetchModel: async fileName => {
        if (fileName === 'figures.json')
          return new TextEncoder().encode(
            JSON.stringify([
              {
                name: 'sentinel',
                title: 'Sentinel',
                file: 'sentinel.glb',
                up: '+y',
                front: '+z',
                heightMm: 28,
                about: '',
              },
            ]),
          )
        if (fileName !== 'sentinel.glb') throw new Error(`${fileName}: 404`)
        return new TextEncoder().encode('ball 4')
      },
      onHidden: run => world.hide.push(run),
      clock: {
        now: () => performance.now(),
        after(ms, run) {
          const timer = setTimeout(run, ms)
          return () => clearTimeout(timer)
        },
      },
    },
  }
  return world
}

function storageIn(map: Map<string, unknown>, failure: () => Error | null): KeyValueStorage {
  const orFail = <T>(value: T): Promise<T> => {
    const error = failure()
    return error ? Promise.reject(error) : Promise.resolve(value)
  }
  return {
    get: key => orFail(map.get(key)),
    set: (key, value) => orFail(undefined).then(() => void map.set(key, value)),
    remove: key => orFail(undefined).then(() => void map.delete(key)),
  }
}

function standInIntake(): Handlers<'intake'> {
  let read: { sha256: string; radius: number } | null = null
  return {
    async readFile({ fileName, content }, { breathe }) {
      const bytes = new Uint8Array(await content.arrayBuffer())
      const [word, radius] = new TextDecoder().decode(bytes).split(' ')
      if (word === 'endless') for (let i = 0; ; i++) await breathe(1 - 1 / (i + 2))
      if (word !== 'ball') throw new ProblemError({ code: 'file/damaged', fileName, detail: 'no ball' })
      read = { sha256: await sha256Hex(bytes), radius: Number(radius) }
      return {
        sha256: read.sha256,
        format: 'stl',
        statedUnit: null,
        statedUp: null,
        triangles: 400,
        extents: [1, 2, 3],
        notes: [{ kind: 'welded', count: 5 }],
        guess: { up: '+z', front: '-y', heightMm: 10 * read.radius, unit: 'mm' },
      }
    },
    readSpectra: intakeHandlers().readSpectra,
    placeFigure({ placement, refinement, copies }) {
      if (!read) throw new Error('nothing was read')
      const { heightMm } = placement
      const ball = figureOf([
        icosphere(2, heightMm / 4, [heightMm / 20, heightMm / 2, 0]),
        floorSheet(heightMm / 2, 6, 0),
      ])
      const figure: Figure = { ...ball, id: JSON.stringify([read, placement, refinement]), heightMm }
      const copy = (): Figure => structuredClone(figure)
      return { figure: copy(), copies: Array.from({ length: copies }, copy), notes: [] }
    },
  }
}

export async function startedApp(world = testWorld()): Promise<App> {
  const app = createApp(world.environment)
  await app.started
  await settled(app)
  return app
}

/** Until everything that follows from the document stands. */
export async function settled({ store }: App, timeoutMs = 15_000): Promise<void> {
  const end = performance.now() + timeoutMs
  for (;;) {
    const { session, derived } = store.getState()
    if (session.ready && session.intake === null && derived.progress === null) return
    if (performance.now() > end)
      throw new Error(`not settled: ${JSON.stringify({ ...session, progress: derived.progress })}`)
    await new Promise(resolve => setTimeout(resolve, 5))
  }
}
