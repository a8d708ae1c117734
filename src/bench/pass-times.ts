import { fieldsNeeded } from '../core/chain/fields-needed.ts'
import { RGB_WEIGHTS } from '../core/colour/band-weights.ts'
import type { Figure } from '../core/mesh/figure.ts'
import type { Recipe } from '../core/recipe/recipe.ts'
import { COARSE_BUFFER, opennessEmitters } from '../core/spray/bake-exposure.ts'
import { createTexture, resetForPasses } from '../scene/gpu/gl-objects.ts'
import { createGpuBakePrograms, createGpuBaker } from '../scene/gpu/gpu-bake.ts'
import { COARSE_SIZE } from '../scene/gpu/gpu-fields.ts'
import { createGpuFigure } from '../scene/gpu/gpu-figure.ts'
import { createGpuStack, createGpuStackPrograms } from '../scene/gpu/gpu-stack.ts'
import { createTableKeeper, stackInputs } from '../scene/gpu/stack-inputs.ts'
import { COLUMNS } from '../scene/gpu/vertex-texels.ts'
import { rounded } from './frame-times.ts'

/** What each pass takes on this card, ms: the middle of nine, each waited for. */
export function passTimes(figure: Figure, fewTriangles: Uint32Array | null, recipe: Recipe): object {
  const gl = new OffscreenCanvas(1, 1).getContext('webgl2')!
  resetForPasses(gl)
  const onCard = createGpuFigure(gl, figure)
  onCard.setFew(fewTriangles)
  const baker = createGpuBaker(gl, createGpuBakePrograms(gl), onCard)
  const programs = createGpuStackPrograms(gl)
  const field = createTexture(gl, gl.R32F, COLUMNS, onCard.rows)
  const target = gl.createFramebuffer()
  const wait = () => {
    gl.bindFramebuffer(gl.FRAMEBUFFER, target)
    gl.framebufferTexture2D(gl.FRAMEBUFFER, gl.COLOR_ATTACHMENT0, gl.TEXTURE_2D, field, 0)
    gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.FLOAT, new Float32Array(4))
  }
  const time = (run: () => void) => {
    const times = Array.from({ length: 9 }, () => {
      wait()
      const start = performance.now()
      run()
      wait()
      return performance.now() - start
    })
    return rounded(times.sort((a, b) => a - b)[4])
  }
  const emitters = opennessEmitters(64)
  const stackOf = (coats: number) => {
    const many = { ...recipe, coats: Array.from({ length: coats }, (_, i) => recipe.coats[i % recipe.coats.length]) }
    const keys = new Set(fieldsNeeded(figure, many).map(need => need.key))
    const made = { texture: field, quality: 'refined', stamp: 1, largest: 1 } as const
    const fields = { fieldOf: (key: string) => (keys.has(key) ? made : undefined) }
    const inputs = stackInputs(figure, many, { kind: 'preshade' }, fields, createTableKeeper())!
    const stack = createGpuStack(gl, programs, figure.positions.length / 3, onCard.rows)
    return () => stack.paint({ ...inputs, weights: RGB_WEIGHTS, look: { kind: 'painted' } })
  }
  // A card that was idle runs slowly at first.
  for (let i = 0; i < 10; i++) time(() => baker.add(field, {}, emitters.slice(0, 8), 1024))
  return {
    nothing: time(() => {}),
    coarse12: time(() => baker.add(field, {}, emitters.slice(0, 12), COARSE_BUFFER, true)),
    all12at1024: time(() => baker.add(field, {}, emitters.slice(0, 12), COARSE_SIZE)),
    few12at1024: time(() => baker.add(field, {}, emitters.slice(0, 12), 1024, true)),
    few64at2048: time(() => baker.add(field, {}, emitters, 2048, true)),
    emitters64at1024: time(() => baker.add(field, {}, emitters, 1024)),
    emitters64: time(() => baker.add(field, {}, emitters, baker.autoSize)),
    stack3: time(stackOf(3)),
    stack12: time(stackOf(12)),
  }
}
