import { stackKernelGlsl } from '../../core/chain/stack-kernel.glsl.ts'
import type { BandWeights } from '../../core/colour/band-weights.ts'
import { BANDS } from '../../core/colour/bands.ts'
import { lightnessGlsl } from '../../core/colour/lab.glsl.ts'
import { type MistTable, TABLE_NODES } from '../../core/film/mist-table.ts'
import { SURFACE } from '../../core/film/saunderson.ts'
import { bindTexture, createPass, createTexture, type Pass, WHOLE_TARGET_VERTEX } from './gl-objects.ts'
import { COLUMNS, texelRectangles } from './vertex-texels.ts'

/** Coats of one side at most: a recipe of more is painted on the processor. */
export const MOST_COATS = 32

/** What one coat's film adds up from. */
export type DepositTerm =
  /** µm where the field is 1. R32F, a texel a vertex. */
  | { readonly kind: 'field'; readonly field: WebGLTexture; readonly um: number }
  /** An even film on a range of vertices. */
  | { readonly kind: 'even'; readonly firstVertex: number; readonly vertexCount: number; readonly um: number }

export interface StackOnGpu {
  /** Internal reflectance of what lies under all layers. */
  readonly ground: ArrayLike<number>
  /** Bottom first, MOST_COATS at most. */
  readonly layers: readonly StackLayerOnGpu[]
  readonly weights: BandWeights
  /** As `applyLook` of the processor's path. */
  readonly look: { readonly kind: 'painted' | 'value' } | { readonly kind: 'steps'; readonly count: number }
}

export interface StackLayerOnGpu {
  readonly table: MistTable
  readonly terms: readonly DepositTerm[]
  /** Names the terms: a layer of the same name in the same place keeps its deposit. */
  readonly name: string
}

/** One side's deposits and colours on the card. */
export interface GpuStack {
  /** RGBA16F, linear sRGB, a texel a vertex: written by `paint`. */
  readonly colours: WebGLTexture
  paint(stack: StackOnGpu): void
  dispose(): void
}

export interface GpuStackPrograms {
  readonly lay: Pass
  readonly see: Pass
}

export const createGpuStackPrograms = (gl: WebGL2RenderingContext): GpuStackPrograms => ({
  lay: createPass(
    gl,
    WHOLE_TARGET_VERTEX,
    `#version 300 es
    precision highp float;
    uniform highp sampler2D field;
    uniform float um;
    layout(location = 0) out float deposit;
    void main() { deposit = um * texelFetch(field, ivec2(gl_FragCoord.xy), 0).r; }`,
  ),
  see: createPass(
    gl,
    WHOLE_TARGET_VERTEX,
    `#version 300 es
    precision highp float;
    precision highp int;
    precision highp sampler2DArray;
    uniform sampler2DArray tables;
    uniform sampler2DArray deposits;
    uniform float nodesPerRootUm[${MOST_COATS}];
    uniform int layers;
    uniform vec4 ground[4];
    uniform vec4 weights[12];
    uniform vec2 surface;
    uniform int look;
    uniform float steps;
    layout(location = 0) out vec4 colour;
    ${stackKernelGlsl}
    ${lightnessGlsl}
    void main() {
      ivec2 at = ivec2(gl_FragCoord.xy);
      Stack stack = stackOn(ground);
      for (int layer = 0; layer < layers; layer++)
        putOn(stack, tables, layer, nodesPerRootUm[layer], texelFetch(deposits, ivec3(at, layer), 0).r);
      vec3 rgb = see(stack, weights, surface.x, surface.y);
      float y = max(0.0, luminanceOf(rgb));
      if (look == 1) rgb = vec3(y);
      if (look == 2) {
        float width = 100.0 / steps;
        rgb = vec3(luminanceOfLStar((clamp(floor(lStarOfLuminance(y) / width), 0.0, steps - 1.0) + 0.5) * width));
      }
      colour = vec4(rgb, 1.0);
    }`,
  ),
})

/** @param rows of texels: see vertex-texels.ts */
export function createGpuStack(
  gl: WebGL2RenderingContext,
  { lay, see }: GpuStackPrograms,
  vertices: number,
  rows: number,
): GpuStack {
  const colours = createTexture(gl, gl.RGBA16F, COLUMNS, rows)
  const target = gl.createFramebuffer()
  let room: { readonly layers: number; readonly deposits: WebGLTexture; readonly tables: WebGLTexture } | null = null
  /** What stands in each layer of the two arrays. */
  let laid: (string | undefined)[] = []
  let tabled: (MistTable | undefined)[] = []

  function roomFor(layers: number): NonNullable<typeof room> {
    if (room && room.layers >= layers) return room
    freeRoom()
    const grown = Math.min(MOST_COATS, 4 * Math.ceil(Math.max(1, layers) / 4))
    room = {
      layers: grown,
      deposits: createTexture(gl, gl.R32F, COLUMNS, rows, grown),
      tables: createTexture(gl, gl.RGBA32F, (3 * BANDS) / 4, TABLE_NODES, grown),
    }
    laid = []
    tabled = []
    return room
  }

  function freeRoom(): void {
    if (!room) return
    gl.deleteTexture(room.deposits)
    gl.deleteTexture(room.tables)
  }

  function layDeposit(deposits: WebGLTexture, layer: number, terms: readonly DepositTerm[]): void {
    gl.framebufferTextureLayer(gl.FRAMEBUFFER, gl.COLOR_ATTACHMENT0, deposits, 0, layer)
    gl.viewport(0, 0, COLUMNS, rows)
    gl.clearBufferfv(gl.COLOR, 0, [0, 0, 0, 0])
    // biome-ignore lint/correctness/useHookAtTopLevel: WebGL's useProgram is no React hook
    gl.useProgram(lay.program)
    gl.uniform1i(lay.at('field'), 0)
    for (const term of terms) {
      if (term.kind === 'field') {
        bindTexture(gl, 0, gl.TEXTURE_2D, term.field)
        gl.uniform1f(lay.at('um'), term.um)
        gl.enable(gl.BLEND)
        gl.drawArrays(gl.TRIANGLES, 0, 3)
        gl.disable(gl.BLEND)
      } else {
        gl.enable(gl.SCISSOR_TEST)
        for (const [x, y, width, height] of texelRectangles(term.firstVertex, term.vertexCount)) {
          gl.scissor(x, y, width, height)
          gl.clearBufferfv(gl.COLOR, 0, [term.um, 0, 0, 0])
        }
        gl.disable(gl.SCISSOR_TEST)
      }
    }
  }

  return {
    colours,
    paint({ ground, layers, weights, look }) {
      const { deposits, tables } = roomFor(layers.length)
      gl.bindFramebuffer(gl.FRAMEBUFFER, target)
      layers.forEach(({ table, terms, name }, layer) => {
        if (tabled[layer] !== table) {
          bindTexture(gl, 0, gl.TEXTURE_2D_ARRAY, tables)
          const [width, height] = [(3 * BANDS) / 4, TABLE_NODES]
          gl.texSubImage3D(gl.TEXTURE_2D_ARRAY, 0, 0, 0, layer, width, height, 1, gl.RGBA, gl.FLOAT, table.values)
          tabled[layer] = table
        }
        if (laid[layer] !== name) layDeposit(deposits, layer, terms)
        laid[layer] = name
      })
      gl.framebufferTexture2D(gl.FRAMEBUFFER, gl.COLOR_ATTACHMENT0, gl.TEXTURE_2D, colours, 0)
      // biome-ignore lint/correctness/useHookAtTopLevel: WebGL's useProgram is no React hook
      gl.useProgram(see.program)
      bindTexture(gl, 0, gl.TEXTURE_2D_ARRAY, tables)
      bindTexture(gl, 1, gl.TEXTURE_2D_ARRAY, deposits)
      gl.uniform1i(see.at('tables'), 0)
      gl.uniform1i(see.at('deposits'), 1)
      gl.uniform1i(see.at('layers'), layers.length)
      if (layers.length > 0)
        gl.uniform1fv(
          see.at('nodesPerRootUm'),
          layers.map(({ table }) => table.nodesPerRootUm),
        )
      gl.uniform4fv(see.at('ground'), Float32Array.from(ground))
      gl.uniform4fv(see.at('weights'), Float32Array.from(weights.flatMap(row => [...row])))
      gl.uniform2f(see.at('surface'), SURFACE.k1, SURFACE.k2)
      gl.uniform1i(see.at('look'), ['painted', 'value', 'steps'].indexOf(look.kind))
      gl.uniform1f(see.at('steps'), look.kind === 'steps' ? look.count : 1)
      gl.enable(gl.SCISSOR_TEST)
      for (const [x, y, width, height] of texelRectangles(0, vertices)) {
        gl.viewport(x, y, width, height)
        gl.scissor(x, y, width, height)
        gl.drawArrays(gl.TRIANGLES, 0, 3)
      }
      gl.disable(gl.SCISSOR_TEST)
    },
    dispose() {
      freeRoom()
      gl.deleteTexture(colours)
      gl.deleteFramebuffer(target)
    },
  }
}
