import type { Page } from 'playwright-core'
import { stackKernelGlsl } from '../../src/core/chain/stack-kernel.glsl.ts'
import { RGB_WEIGHTS } from '../../src/core/colour/band-weights.ts'
import { deltaE2000 } from '../../src/core/colour/delta-e-2000.ts'
import { labOfLinearRgb } from '../../src/core/colour/lab.ts'
import { type CoatFilm, coatOver, opaqueOf, seenRgb } from '../../src/core/film/coat-film.ts'
import { greyGround } from '../../src/core/film/grey-ground.ts'
import { mistTable, TABLE_NODES } from '../../src/core/film/mist-table.ts'
import { pigmentOptics } from '../../src/core/film/paint-optics.ts'
import { SURFACE } from '../../src/core/film/saunderson.ts'

/** Corners first: nothing, next to nothing, usual, hiding. Dry µm a coat, bottom first. */
const COATS: readonly { readonly film: CoatFilm; readonly um: readonly number[] }[] = [
  { film: { optics: pigmentOptics('PW6'), dropletUm: 0.23 }, um: [0, 0.01, 0.7, 6, 80] },
  { film: { optics: pigmentOptics('PB29'), dropletUm: 0.29 }, um: [0, 0.3, 4, 60] },
  { film: { optics: pigmentOptics('PY74'), dropletUm: 0 }, um: [0, 1, 300] },
  { film: { optics: pigmentOptics('PBk7'), dropletUm: 0.39 }, um: [0, 0.02, 2] },
]
const GROUNDS = [opaqueOf(pigmentOptics('PBk7')), greyGround(55), greyGround(98)]

const COMBINATIONS = COATS.reduce<number[][]>((all, { um }) => all.flatMap(have => um.map(x => [...have, x])), [[]])

/** ΔE00 between the shader's stacks and the exact path, one a stack. @throws Error when the page has no float targets */
export async function shaderStackErrors(page: Page): Promise<number[]> {
  const tables = COATS.map(({ film, um }) => mistTable(film.optics, Math.max(...um), film.dropletUm))
  const errors: number[] = []
  // The script runner's compiler wraps named functions in `__name`, which a page does not have.
  await page.evaluate('globalThis.__name = f => f')
  for (const ground of GROUNDS) {
    const rgb = await page.evaluate(drawStacks, {
      functions: stackKernelGlsl,
      layers: COATS.length,
      nodes: TABLE_NODES,
      tables: tables.flatMap(table => [...table.values]),
      nodesPerRootUm: tables.map(table => table.nodesPerRootUm),
      ground: [...ground],
      weights: RGB_WEIGHTS.flatMap(row => [...row]),
      surface: SURFACE,
      stacks: COMBINATIONS.length,
      thickness: COMBINATIONS.flat(),
    })
    COMBINATIONS.forEach((um, i) => {
      let internal: Float64Array = ground
      COATS.forEach(({ film }, layer) => {
        internal = coatOver(film, um[layer], internal)
      })
      const shader = labOfLinearRgb(rgb[4 * i], rgb[4 * i + 1], rgb[4 * i + 2])
      errors.push(deltaE2000(shader, labOfLinearRgb(...seenRgb(internal))))
    })
  }
  return errors
}

interface DrawRequest {
  readonly functions: string
  readonly layers: number
  readonly nodes: number
  readonly tables: readonly number[]
  readonly nodesPerRootUm: readonly number[]
  readonly ground: readonly number[]
  readonly weights: readonly number[]
  readonly surface: { readonly k1: number; readonly k2: number }
  readonly stacks: number
  readonly thickness: readonly number[]
}

/** Runs in the page: one pixel a stack into a float target. Knows nothing from outside. @returns 4 floats a stack */
function drawStacks(request: DrawRequest): number[] {
  const { layers, stacks } = request
  const gl = new OffscreenCanvas(1, 1).getContext('webgl2')
  if (!gl?.getExtension('EXT_color_buffer_float')) throw new Error('no float targets here')
  const program = gl.createProgram()
  const add = (type: number, source: string) => {
    const shader = gl.createShader(type)!
    gl.shaderSource(shader, source)
    gl.compileShader(shader)
    if (!gl.getShaderParameter(shader, gl.COMPILE_STATUS)) throw new Error(gl.getShaderInfoLog(shader) ?? 'shader')
    gl.attachShader(program, shader)
  }
  add(
    gl.VERTEX_SHADER,
    `#version 300 es
    void main() { gl_Position = vec4(vec2(gl_VertexID & 1, gl_VertexID >> 1) * 4.0 - 1.0, 0.0, 1.0); }`,
  )
  add(
    gl.FRAGMENT_SHADER,
    `#version 300 es
    precision highp float;
    precision highp sampler2DArray;
    uniform sampler2DArray tables;
    uniform highp sampler2D thickness;
    uniform float nodesPerRootUm[${layers}];
    uniform vec4 ground[4];
    uniform vec4 weights[12];
    uniform vec2 surface;
    out vec4 result;
    ${request.functions}
    void main() {
      Stack stack = stackOn(ground);
      for (int layer = 0; layer < ${layers}; layer++)
        putOn(stack, tables, layer, nodesPerRootUm[layer], texelFetch(thickness, ivec2(layer, int(gl_FragCoord.x)), 0).r);
      result = vec4(see(stack, weights, surface.x, surface.y), 1.0);
    }`,
  )
  gl.linkProgram(program)
  if (!gl.getProgramParameter(program, gl.LINK_STATUS)) throw new Error(gl.getProgramInfoLog(program) ?? 'program')
  // biome-ignore lint/correctness/useHookAtTopLevel: WebGL's useProgram is no React hook
  gl.useProgram(program)
  const plain = (target: number) => {
    gl.texParameteri(target, gl.TEXTURE_MIN_FILTER, gl.NEAREST)
    gl.texParameteri(target, gl.TEXTURE_MAG_FILTER, gl.NEAREST)
  }
  gl.activeTexture(gl.TEXTURE0)
  gl.bindTexture(gl.TEXTURE_2D_ARRAY, gl.createTexture())
  const values = Float32Array.from(request.tables)
  gl.texImage3D(gl.TEXTURE_2D_ARRAY, 0, gl.RGBA32F, 12, request.nodes, layers, 0, gl.RGBA, gl.FLOAT, values)
  plain(gl.TEXTURE_2D_ARRAY)
  gl.activeTexture(gl.TEXTURE1)
  gl.bindTexture(gl.TEXTURE_2D, gl.createTexture())
  const thickness = Float32Array.from(request.thickness)
  gl.texImage2D(gl.TEXTURE_2D, 0, gl.R32F, layers, stacks, 0, gl.RED, gl.FLOAT, thickness)
  plain(gl.TEXTURE_2D)
  const at = (name: string) => gl.getUniformLocation(program, name)
  gl.uniform1i(at('tables'), 0)
  gl.uniform1i(at('thickness'), 1)
  gl.uniform1fv(at('nodesPerRootUm'), Float32Array.from(request.nodesPerRootUm))
  gl.uniform4fv(at('ground'), Float32Array.from(request.ground))
  gl.uniform4fv(at('weights'), Float32Array.from(request.weights))
  gl.uniform2f(at('surface'), request.surface.k1, request.surface.k2)
  gl.activeTexture(gl.TEXTURE2)
  const target = gl.createTexture()
  gl.bindTexture(gl.TEXTURE_2D, target)
  gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA32F, stacks, 1, 0, gl.RGBA, gl.FLOAT, null)
  gl.bindFramebuffer(gl.FRAMEBUFFER, gl.createFramebuffer())
  gl.framebufferTexture2D(gl.FRAMEBUFFER, gl.COLOR_ATTACHMENT0, gl.TEXTURE_2D, target, 0)
  gl.viewport(0, 0, stacks, 1)
  gl.drawArrays(gl.TRIANGLES, 0, 3)
  const out = new Float32Array(4 * stacks)
  gl.readPixels(0, 0, stacks, 1, gl.RGBA, gl.FLOAT, out)
  if (gl.getError() !== gl.NO_ERROR) throw new Error('WebGL refused something')
  return Array.from(out)
}
