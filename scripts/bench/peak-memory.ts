import { readFileSync } from 'node:fs'
import { prepareFigure } from '../../src/core/mesh/prepare-figure.ts'
import { weldFileMesh } from '../../src/core/mesh/weld-file-mesh.ts'
import { bakeExposure, REFINED } from '../../src/core/spray/bake-exposure.ts'
import { emittersOf } from '../../src/core/spray/emitters.ts'
import { INTAKE_LIMITS } from '../../src/io/intake-limits.ts'
import { readPace } from '../../src/io/read-pace.ts'
import { readStl } from '../../src/io/read-stl.ts'
import { BENCH_TORCH } from './bench-torch.ts'

/**
 * Run as a process of its own with the path of a binary STL: reads it, welds it, bakes one torch, prints the peak of its
 * memory in MB. No more than the product's own intake does, and in the same order.
 */
async function load(path: string) {
  const context = {
    fileName: 'figure.stl',
    sideFiles: new Map<string, Uint8Array>(),
    limits: INTAKE_LIMITS,
    pace: readPace(undefined, undefined),
  }
  const welded = weldFileMesh(await readStl(readFileSync(path), context))
  const placement = { up: '+y', front: '+z', heightMm: 32, unit: null } as const
  return prepareFigure(welded, placement, { edgeMmAt32: 0.35, vertexBudget: 400_000 }).figure
}

const figure = await load(process.argv[2])
bakeExposure(figure, {}, emittersOf(BENCH_TORCH, figure, 8), REFINED)
console.log(JSON.stringify({ mb: process.resourceUsage().maxRSS / 1024, triangles: figure.triangles.length / 3 }))
