import { bakeExposure, REFINED } from '../../src/core/spray/bake-exposure.ts'
import { emittersOf } from '../../src/core/spray/emitters.ts'
import { lumpyFigure } from './bench-figures.ts'
import { BENCH_TORCH } from './bench-torch.ts'

/** Run as a process of its own: makes about a million triangles, bakes one torch, prints the peak of its memory in MB. */
const figure = lumpyFigure([7, 7, 7])
bakeExposure(figure, {}, emittersOf(BENCH_TORCH, figure, 8), REFINED)
console.log(process.resourceUsage().maxRSS / 1024)
