import { describe, expect, test } from 'vitest'
import { emittersFor, fieldsNeeded } from '../core/chain/fields-needed.ts'
import { problemOf } from '../core/problem.ts'
import { bakeExposure } from '../core/spray/bake-exposure.ts'
import { emittersOf } from '../core/spray/emitters.ts'
import { figureOf, floorSheet, icosphere } from '../core/spray/test-figures.ts'
import { parallelFrom, TORCH } from '../core/spray/test-torches.ts'
import { directionFrom } from '../core/vec3.ts'
import { defaultDocument } from '../document/default-document.ts'
import { bakeHandlers } from './bake-handlers.ts'
import { createBakePool } from './bake-pool.ts'
import { buffersOf } from './buffers-of.ts'
import { createComputeClient, isCancelled } from './compute-client.ts'
import { type InProcessWorker, inProcessWorker } from './in-process-worker.ts'
import { paintHandlers } from './paint-handlers.ts'
import { type Handlers, serveCompute } from './serve-compute.ts'

/** A ball beside a sheet, off every axis: shadows fall on something, and no swap of components can hide. */
const figure = figureOf([icosphere(3, 3, [1.5, 8, -0.5]), { ...icosphere(2, 2, [-3, 2, 1]) }])
const torch = { ...TORCH, azimuthDegrees: 33, elevationDegrees: 52, spread: 0.08 }
const tick = () => new Promise(resolve => setTimeout(resolve, 0))

describe('moving arrays', () => {
  test('finds every buffer once, in maps as well', () => {
    const shared = new Float32Array(4)
    const other = new Uint8Array(2)
    expect(
      buffersOf({ a: shared, b: [shared, { c: other }], d: new Map([['e', new Float32Array(shared.buffer)]]) }),
    ).toEqual([shared.buffer, other.buffer])
  })
  test('refuses a view of a part of a buffer', () => {
    expect(() => buffersOf({ a: new Float32Array(8).subarray(2) })).toThrow(/partial view/)
  })
  test('leaves shared memory alone', () => {
    expect(buffersOf(new Uint8Array(new SharedArrayBuffer(8)))).toEqual([])
  })
  test('a reply is moved out of the worker, not copied', async () => {
    let inside: Float32Array | null = null
    const client = createComputeClient<'bake'>(
      inProcessWorker(port =>
        serveCompute<'bake'>(port, {
          ...bakeHandlers(() => 0),
          keepFigure: () => ({ bytes: 0 }),
          bakeEmitters: () => {
            inside = Float32Array.of(1, 2, 3)
            return { exposure: inside }
          },
        }),
      ),
    )
    const { exposure } = await client.call('bakeEmitters', {
      figureId: 'a',
      partStates: {},
      emitters: [],
      bufferSize: 512,
    })
    expect([...exposure]).toEqual([1, 2, 3])
    expect(inside!.byteLength).toBe(0)
    client.close()
  })
})

describe('calls', () => {
  const slow = (steps: number[], turns = 50): Handlers<'bake'> => ({
    ...bakeHandlers(() => 0),
    keepFigure: ({ figure: { id } }) => {
      if (id === 'bad') throw new Error('bad figure')
      return { bytes: 7 }
    },
    async bakeEmitters({ bufferSize }, { breathe }) {
      for (let i = 0; i < turns; i++) {
        steps.push(bufferSize as number)
        await breathe(i / turns)
      }
      return { exposure: Float32Array.of(bufferSize as number) }
    },
  })
  const bake = (bufferSize: number) => ({ figureId: 'a', partStates: {}, emitters: [], bufferSize })

  test('are answered in the order they were made, each with its own reply', async () => {
    const steps: number[] = []
    const client = createComputeClient<'bake'>(inProcessWorker(port => serveCompute(port, slow(steps, 3))))
    const replies = await Promise.all([7, 3, 5].map(n => client.call('bakeEmitters', bake(n))))
    expect(replies.map(r => r.exposure[0])).toEqual([7, 3, 5])
    expect(steps).toEqual([7, 7, 7, 3, 3, 3, 5, 5, 5])
    client.close()
  })

  test('a cancel stops the work inside the worker, and what waits behind it runs', async () => {
    const steps: number[] = []
    const client = createComputeClient<'bake'>(inProcessWorker(port => serveCompute(port, slow(steps, 400))))
    const abort = new AbortController()
    const first = client.call('bakeEmitters', bake(1), {
      signal: abort.signal,
      onProgress: () => {
        if (steps.length >= 5) abort.abort()
      },
    })
    const second = client.call('bakeEmitters', bake(2))
    await expect(first).rejects.toSatisfy(isCancelled)
    await second
    const ofFirst = steps.filter(n => n === 1).length
    // The cancel crosses over while a few more breaths are taken: far from 400.
    expect(ofFirst).toBeGreaterThanOrEqual(5)
    expect(ofFirst).toBeLessThan(60)
    expect(steps.filter(n => n === 2)).toHaveLength(400)
    client.close()
  })

  test('what is cancelled while it waits never starts', async () => {
    const steps: number[] = []
    const client = createComputeClient<'bake'>(inProcessWorker(port => serveCompute(port, slow(steps, 20))))
    const abort = new AbortController()
    const first = client.call('bakeEmitters', bake(1))
    const second = client.call('bakeEmitters', bake(2), { signal: abort.signal })
    abort.abort()
    await expect(second).rejects.toSatisfy(isCancelled)
    await first
    await tick()
    expect(steps.includes(2)).toBe(false)
    client.close()
  })

  test('a thrown error comes back as a problem and the worker goes on', async () => {
    const client = createComputeClient<'bake'>(inProcessWorker(port => serveCompute(port, slow([]))))
    const bad = client.call('keepFigure', { figure: { ...figure, id: 'bad' } })
    await expect(bad).rejects.toSatisfy(
      e => JSON.stringify(problemOf(e)) === '{"code":"internal","detail":"bad figure"}',
    )
    expect(await client.call('keepFigure', { figure })).toEqual({ bytes: 7 })
    client.close()
  })

  test('a crash fails every open call by name, and once only', async () => {
    let crashes = 0
    const worker = inProcessWorker(port => serveCompute(port, slow([], 1e6)))
    const client = createComputeClient<'bake'>(worker, () => crashes++)
    const call = client.call('bakeEmitters', bake(1))
    worker.crash()
    worker.crash()
    await expect(call).rejects.toSatisfy(e => {
      const problem = problemOf(e)
      return problem.code === 'worker/crashed' && problem.during === 'bakeEmitters'
    })
    expect(crashes).toBe(1)
    await expect(client.call('keepFigure', { figure })).rejects.toThrow('worker/crashed')
  })

  test('replies that arrive out of order go to the calls they belong to', async () => {
    const listeners: ((event: MessageEvent) => void)[] = []
    const sent: { id: number; request: { bufferSize: number } }[] = []
    const client = createComputeClient<'bake'>({
      postMessage: message => sent.push(message as never),
      addEventListener: (type, listener) => {
        if (type === 'message') listeners.push(listener)
      },
      terminate: () => {},
    })
    const calls = [11, 22, 33].map(n => client.call('bakeEmitters', bake(n)))
    for (const { id, request } of [sent[2], sent[0], sent[1]])
      for (const listener of listeners)
        listener(
          new MessageEvent('message', { data: { type: 'reply', id, reply: { exposure: [request.bufferSize] } } }),
        )
    expect((await Promise.all(calls)).map(r => r.exposure[0])).toEqual([11, 22, 33])
  })
})

describe('the pool', () => {
  const started: InProcessWorker[] = []
  const start = () => {
    const worker = inProcessWorker(port =>
      serveCompute(
        port,
        bakeHandlers(() => performance.now()),
      ),
    )
    started.push(worker)
    return worker
  }
  const job = (count: number) => ({
    partStates: {},
    emitters: emittersOf(torch, figure, count),
    bufferSize: 512 as const,
  })
  const sumOf = (shares: readonly Float32Array[]) => {
    const sum = new Float32Array(shares[0].length)
    for (const share of shares) for (let v = 0; v < sum.length; v++) sum[v] += share[v]
    return sum
  }

  test.each([1, 2, 3])('%d workers together find what one bake finds', async size => {
    const pool = createBakePool(size, start)
    pool.keepFigure(figure, [])
    const shares = await pool.bake(job(13))
    expect(shares).toHaveLength(size)
    const sum = sumOf(shares)
    const whole = bakeExposure(figure, {}, emittersOf(torch, figure, 13), { bufferSize: 512 })
    let largest = 0
    for (let v = 0; v < whole.length; v++) {
      // Sums of 13 float32 numbers up to 1, added in another order.
      expect(Math.abs(sum[v] - whole[v]), `vertex ${v}`).toBeLessThan(13 * 2 ** -23)
      largest = Math.max(largest, whole[v])
    }
    expect(largest).toBeGreaterThan(0.5)
    pool.close()
  })

  test('another figure cancels what was asked about the one before', async () => {
    const pool = createBakePool(2, start)
    pool.keepFigure(figure, [])
    const before = pool.bake(job(64))
    const other = figureOf([floorSheet(4, 5)])
    pool.keepFigure({ ...other, id: 'other' }, [])
    const after = pool.bake(job(4))
    await expect(before).rejects.toSatisfy(isCancelled)
    expect((await after)[0]).toHaveLength(other.positions.length / 3)
    pool.close()
  })

  test('a worker that runs out of memory is ended, says so and comes back with the figure', async () => {
    started.length = 0
    let full = true
    const pool = createBakePool(2, () => {
      const { keepFigure, bakeEmitters, ...others } = bakeHandlers(() => performance.now())
      const worker = inProcessWorker(port =>
        serveCompute<'bake'>(port, {
          ...others,
          keepFigure,
          bakeEmitters(request, context) {
            if (full) throw new RangeError('Array buffer allocation failed')
            return bakeEmitters(request, context)
          },
        }),
      )
      started.push(worker)
      return worker
    })
    pool.keepFigure(figure, [])
    await expect(pool.bake(job(4))).rejects.toSatisfy(e => problemOf(e).code === 'worker/crashed')
    expect(started.length).toBeGreaterThan(2)
    full = false
    expect(sumOf(await pool.bake(job(8)))).toHaveLength(figure.positions.length / 3)
    pool.close()
  })

  test('replies that overtake one another stay with their torch and figure', async () => {
    const held: (() => void)[] = []
    const pool = createBakePool(2, () => {
      const worker = start()
      return {
        ...worker,
        addEventListener(type, listener) {
          worker.addEventListener(type, event => {
            if (event.data?.reply?.exposure) held.push(() => listener(event))
            else listener(event)
          })
        },
      }
    })
    const jobOf = (azimuthDegrees: number) => ({
      partStates: {},
      bufferSize: 512 as const,
      emitters: emittersOf({ ...torch, azimuthDegrees }, figure, 4),
    })
    const until = async (count: number) => {
      while (held.length < count) await tick()
    }
    pool.keepFigure(figure, [])
    const azimuths = [10, 130, 250]
    const bakes = azimuths.map(azimuth => pool.bake(jobOf(azimuth)))
    await until(6)
    // 6 shares of three torches from two workers, in an order in which no worker sent them.
    for (const i of [4, 1, 5, 0, 3, 2]) held[i]()
    for (const [i, azimuth] of azimuths.entries()) {
      const whole = bakeExposure(figure, {}, jobOf(azimuth).emitters, { bufferSize: 512 })
      const sum = sumOf(await bakes[i])
      for (let v = 0; v < whole.length; v++) expect(Math.abs(sum[v] - whole[v])).toBeLessThan(1e-6)
    }

    // Baked on the first figure, delivered after the second has come.
    held.length = 0
    const late = pool.bake(jobOf(10))
    await until(2)
    pool.keepFigure({ ...figureOf([floorSheet(4, 5)]), id: 'other' }, [])
    for (const deliver of held) deliver()
    await expect(late).rejects.toSatisfy(isCancelled)
    pool.close()
  })

  test('starts a worker that died again, with the figure', async () => {
    started.length = 0
    const pool = createBakePool(2, start)
    pool.keepFigure(figure, [])
    const doomed = pool.bake(job(4000))
    started[1].crash()
    await expect(doomed).rejects.toThrow('worker/crashed')
    expect(started).toHaveLength(3)
    expect(await pool.bake(job(8))).toHaveLength(2)
    pool.close()
  })
})

describe('a cancel is heard inside', () => {
  // One direction over 160,000 triangles, of many: what is between two breaths cannot be a whole direction.
  const large = figureOf([icosphere(6, 5), icosphere(6, 4, [3, 7, 1])])
  const toward = directionFrom(20, 40)
  const contextThat = (breathe: (fraction: number) => void) => ({
    signal: new AbortController().signal,
    onProgress: () => {},
    breathe: async (fraction: number) => breathe(fraction),
  })
  /** A clock by which every step takes long. */
  const handlers = () => {
    let ms = 0
    return bakeHandlers(() => (ms += 100))
  }
  const cancelAt = (breath: number) => {
    let breaths = 0
    return contextThat(() => {
      if (++breaths === breath) throw new DOMException('cancelled', 'AbortError')
    })
  }
  const job = { figureId: large.id, partStates: {}, bufferSize: 512 }

  test('a direction', async () => {
    const { keepFigure, bakeEmitters } = handlers()
    await keepFigure({ figure: large }, cancelAt(0))
    const heard: number[] = []
    const emitters = [parallelFrom(toward), parallelFrom(toward)]
    await bakeEmitters(
      { ...job, emitters },
      contextThat(fraction => heard.push(fraction)),
    )
    expect(heard.filter(fraction => fraction === 0).length).toBeGreaterThan(2)
    await expect(bakeEmitters({ ...job, emitters }, cancelAt(2))).rejects.toSatisfy(isCancelled)
  })

  test('the taking in of a figure, which then is not there', async () => {
    const { keepFigure, bakeEmitters } = handlers()
    await keepFigure({ figure: large }, cancelAt(0))
    await expect(keepFigure({ figure: large }, cancelAt(3))).rejects.toSatisfy(isCancelled)
    const emitters = [parallelFrom(toward)]
    await expect((async () => bakeEmitters({ ...job, emitters }, cancelAt(0)))()).rejects.toThrow('not the one kept')
  })
})

describe('a worker', () => {
  const client = () =>
    createComputeClient<'bake'>(
      inProcessWorker(port =>
        serveCompute(
          port,
          bakeHandlers(() => performance.now()),
        ),
      ),
    )
  const job = { partStates: {}, emitters: emittersOf(torch, figure, 4), bufferSize: 512 }

  test('refuses to bake a figure it was not given', async () => {
    const worker = client()
    await expect(worker.call('bakeEmitters', { figureId: figure.id, ...job })).rejects.toThrow()
    await worker.call('keepFigure', { figure })
    await expect(worker.call('bakeEmitters', { figureId: 'another', ...job })).rejects.toThrow()
    expect((await worker.call('bakeEmitters', { figureId: figure.id, ...job })).exposure.length).toBeGreaterThan(0)
    worker.close()
  })
})

describe('the paint worker', () => {
  test('paints the sum of the shares', async () => {
    const { recipe } = defaultDocument()
    const needs = fieldsNeeded(figure, recipe)
    expect(needs.length).toBeGreaterThan(1)
    const fields = needs.map(need =>
      bakeExposure(figure, need.partStates, emittersFor(need, figure, 'coarse'), { bufferSize: 512 }),
    )
    const painted = async (sharesOf: (field: Float32Array) => Float32Array[]) => {
      const client = createComputeClient<'paint'>(inProcessWorker(port => serveCompute(port, paintHandlers())))
      await client.call('keepFigure', { figure })
      for (const [i, { key }] of needs.entries())
        await client.call('keepField', { figureId: figure.id, key, shares: sharesOf(fields[i]) })
      const { linearRgb } = await client.call('paint', {
        figureId: figure.id,
        side: 'main',
        recipe,
        ground: { kind: 'preshade' },
        look: { kind: 'painted' },
        illuminant: 'D65',
        grain: false,
      })
      client.close()
      return linearRgb
    }
    const whole = await painted(field => [field])
    // Quarters of a float32 are exact, and so is their sum.
    const shared = await painted(field => [field.map(x => x / 4), field.map(x => x / 2), field.map(x => x / 4)])
    expect(shared).toEqual(whole)
    expect(new Set(whole).size).toBeGreaterThan(100)
  })

  test('adds the shares of a field up and forgets them with the figure', async () => {
    const client = createComputeClient<'paint'>(inProcessWorker(port => serveCompute(port, paintHandlers())))
    await client.call('keepFigure', { figure })
    const shares = [new Float32Array(4), new Float32Array(4)]
    expect(await client.call('keepField', { figureId: figure.id, key: 'k', shares }, { move: true })).toEqual({
      bytes: 16,
    })
    expect(shares[0].byteLength).toBe(0)
    await client.call('keepFigure', { figure: { ...figure, id: 'next' } })
    await expect(
      client.call('keepField', { figureId: figure.id, key: 'k', shares: [new Float32Array(4)] }),
    ).rejects.toThrow()
    client.close()
  })
})
