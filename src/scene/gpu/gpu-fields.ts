import { emittersFor, type FieldKey, type FieldNeed } from '../../core/chain/fields-needed.ts'
import { COARSE_BUFFER } from '../../core/spray/bake-exposure.ts'
import type { Emitter } from '../../core/spray/emitters.ts'
import { largestExposure } from '../../core/spray/largest-exposure.ts'
import { createTexture } from './gl-objects.ts'
import type { GpuBaker } from './gpu-bake.ts'
import type { GpuFigure } from './gpu-figure.ts'
import { COLUMNS } from './vertex-texels.ts'

/** Fields kept on the card at most, bytes. */
const LIMIT_BYTES = 256 * 2 ** 20

/**
 * Side of a coarse bake's depth buffers where all triangles are drawn: cards are slower where many triangles fall into one
 * pixel, measured on an H100: a million triangles 3.2 ms at 512², 0.9 ms at 1024².
 */
export const COARSE_SIZE = 1024

export interface GpuField {
  /** R32F, a texel a vertex. */
  readonly texture: WebGLTexture
  readonly quality: 'coarse' | 'refined'
  /** No two bakes have the same. */
  readonly stamp: number
  /** No vertex has more. */
  readonly largest: number
}

/** Exposure and openness of one figure on the card, by key. */
export interface GpuFields {
  fieldOf(key: FieldKey): GpuField | undefined
  /** Bakes what is missing at once, coarsely; lets go of what was one moment of a drag. */
  bakeMissing(needs: readonly FieldNeed[]): void
  /** Refines some emitters further. @returns whether anything is left to refine */
  refineSome(needs: readonly FieldNeed[], emitters: number): boolean
  dispose(): void
}

export function createGpuFields(
  gl: WebGL2RenderingContext,
  { figure, rows, few }: GpuFigure,
  baker: GpuBaker,
): GpuFields {
  const most = Math.max(8, Math.floor(LIMIT_BYTES / (4 * COLUMNS * rows)))
  /** Longest unused first. */
  const fields = new Map<FieldKey, GpuField>()
  const spare: WebGLTexture[] = []
  const target = gl.createFramebuffer()
  let stamp = 0
  let refining: {
    readonly need: FieldNeed
    readonly emitters: readonly Emitter[]
    readonly texture: WebGLTexture
    done: number
  } | null = null

  function emptyTexture(): WebGLTexture {
    const texture = spare.pop() ?? createTexture(gl, gl.R32F, COLUMNS, rows)
    gl.bindFramebuffer(gl.FRAMEBUFFER, target)
    gl.framebufferTexture2D(gl.FRAMEBUFFER, gl.COLOR_ATTACHMENT0, gl.TEXTURE_2D, texture, 0)
    gl.clearBufferfv(gl.COLOR, 0, [0, 0, 0, 0])
    return texture
  }

  function keep(key: FieldKey, quality: GpuField['quality'], texture: WebGLTexture, emitters: readonly Emitter[]) {
    const before = fields.get(key)
    if (before) spare.push(before.texture)
    fields.delete(key)
    fields.set(key, { texture, quality, stamp: ++stamp, largest: largestExposure(emitters, figure.box) })
  }

  return {
    fieldOf: key => fields.get(key),
    bakeMissing(needs) {
      const needed = new Set(needs.map(need => need.key))
      for (const [key, field] of fields) {
        if (needed.has(key) || (field.quality === 'refined' && fields.size <= most)) continue
        fields.delete(key)
        spare.push(field.texture)
      }
      for (const need of needs) {
        const have = fields.get(need.key)
        fields.delete(need.key)
        if (have) {
          fields.set(need.key, have)
          continue
        }
        const emitters = emittersFor(need, figure, 'coarse')
        const texture = emptyTexture()
        const size = few() ? COARSE_BUFFER : Math.min(baker.autoSize, COARSE_SIZE)
        baker.add(texture, need.partStates, emitters, size, true)
        keep(need.key, 'coarse', texture, emitters)
      }
    },
    refineSome(needs, emitterCount) {
      if (refining && !needs.some(need => need.key === refining!.need.key)) {
        spare.push(refining.texture)
        refining = null
      }
      if (!refining) {
        const need = needs.find(one => fields.get(one.key)?.quality === 'coarse')
        if (!need) return false
        const emitters = emittersFor(need, figure, 'refined')
        refining = { need, emitters, texture: emptyTexture(), done: 0 }
      }
      const { need, emitters, texture, done } = refining
      baker.add(texture, need.partStates, emitters.slice(done, done + emitterCount), baker.autoSize)
      refining.done += emitterCount
      if (refining.done < emitters.length) return true
      keep(need.key, 'refined', texture, emitters)
      refining = null
      return needs.some(one => fields.get(one.key)?.quality === 'coarse')
    },
    dispose() {
      for (const { texture } of fields.values()) gl.deleteTexture(texture)
      for (const texture of spare) gl.deleteTexture(texture)
      if (refining) gl.deleteTexture(refining.texture)
      gl.deleteFramebuffer(target)
    },
  }
}
