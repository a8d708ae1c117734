import { parentPort, workerData } from 'node:worker_threads'
import type { Figure } from '../../src/core/mesh/figure.ts'
import { createBakeKernel } from '../../src/core/spray/bake-exposure.ts'
import type { Emitter } from '../../src/core/spray/emitters.ts'

/** One core of a bench: keeps the figure, bakes its share of the emitters. */
const kernel = createBakeKernel(workerData as Figure)
parentPort!.on('message', ({ emitters, bufferSize }: { emitters: Emitter[]; bufferSize: number | 'auto' }) => {
  const field = kernel.bake({}, emitters, { bufferSize })
  parentPort!.postMessage(field, [field.buffer as ArrayBuffer])
})
parentPort!.postMessage('ready')
