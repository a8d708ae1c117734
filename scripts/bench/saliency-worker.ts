import { parentPort, workerData } from 'node:worker_threads'
import { saliencyOf } from '../../src/core/advice/saliency.ts'
import type { Figure } from '../../src/core/mesh/figure.ts'

/** Stands for the page's paint worker: loaded and ready, it answers once with the figure's saliency. */
parentPort!.once('message', () => parentPort!.postMessage(saliencyOf(workerData as Figure)))
parentPort!.postMessage('ready')
