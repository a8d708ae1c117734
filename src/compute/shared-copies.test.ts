import { expect, test } from 'vitest'
import { bakeExposure } from '../core/spray/bake-exposure.ts'
import { parallelFrom } from '../core/spray/test-torches.ts'
import { directionFrom } from '../core/vec3.ts'
import { bakeHandlers } from './bake-handlers.ts'
import { createBakePool } from './bake-pool.ts'
import { createComputeClient } from './compute-client.ts'
import { inProcessWorker } from './in-process-worker.ts'
import { intakeHandlers } from './intake-handlers.ts'
import { serveCompute } from './serve-compute.ts'

/** A tetrahedron, no two edges alike. */
const STL = (() => {
  const p = ['0 0 0', '10 1 0', '2 0 9', '3 12 4']
  const faces = [[0, 1, 2], [0, 3, 1], [1, 3, 2], [2, 3, 0]] // biome-ignore format: one line
  const facet = (f: number[]) =>
    `facet normal 0 0 0\nouter loop\n${f.map(i => `vertex ${p[i]}`).join('\n')}\nendloop\nendfacet`
  return `solid t\n${faces.map(facet).join('\n')}\nendsolid t\n`
})()

async function placed(isolated: boolean) {
  const client = createComputeClient<'intake'>(
    inProcessWorker(port => serveCompute<'intake'>(port, intakeHandlers(isolated))),
  )
  const facts = await client.call('readFile', { fileName: 't.stl', content: new Blob([STL]), sideFiles: new Map() })
  const refinement = { edgeMmAt32: 1, vertexBudget: 10_000 }
  const reply = await client.call('placeFigure', { placement: facts.guess, refinement, copies: 3 })
  client.close()
  return reply
}

test('where the page is isolated the bake workers share one copy of a figure', async () => {
  const { figure, copies } = await placed(true)
  const [forPaint, one, other] = copies
  for (const array of ['positions', 'normals', 'triangles'] as const) {
    expect(one[array].buffer).toBeInstanceOf(SharedArrayBuffer)
    expect(other[array].buffer).toBe(one[array].buffer)
    expect(forPaint[array].buffer).toBeInstanceOf(ArrayBuffer)
    expect(figure[array].buffer).toBeInstanceOf(ArrayBuffer)
    expect(one[array]).toEqual(figure[array])
  }
})

test('elsewhere nothing is shared, and both bake the same', async () => {
  const fields = []
  for (const isolated of [false, true]) {
    const { figure, copies } = await placed(isolated)
    if (!isolated) for (const copy of copies) expect(copy.positions.buffer).toBeInstanceOf(ArrayBuffer)
    const pool = createBakePool(2, () =>
      inProcessWorker(port =>
        serveCompute(
          port,
          bakeHandlers(() => performance.now()),
        ),
      ),
    )
    pool.keepFigure(figure, copies.slice(1))
    const emitters = [parallelFrom(directionFrom(20, 40))]
    const [field] = await pool.bake({ partStates: {}, emitters, bufferSize: 256 })
    expect(field).toEqual(bakeExposure(figure, {}, emitters, { bufferSize: 256 }))
    fields.push(field)
    pool.close()
  }
  expect(fields[0]).toEqual(fields[1])
  expect(Math.max(...fields[0])).toBeGreaterThan(0.3)
})
