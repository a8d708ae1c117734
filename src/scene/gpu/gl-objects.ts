/** Small pieces of WebGL2 that every pass needs. */

export interface Pass {
  readonly program: WebGLProgram
  /** Location of a uniform; null where the compiler found it unused. */
  at(name: string): WebGLUniformLocation | null
}

/** @throws Error with the compiler's words */
export function createPass(gl: WebGL2RenderingContext, vertex: string, fragment: string): Pass {
  const program = gl.createProgram()
  for (const [type, source] of [
    [gl.VERTEX_SHADER, vertex],
    [gl.FRAGMENT_SHADER, fragment],
  ] as const) {
    const shader = gl.createShader(type)
    if (!shader) throw new Error('the context is lost')
    gl.shaderSource(shader, source)
    gl.compileShader(shader)
    gl.attachShader(program, shader)
    gl.deleteShader(shader)
  }
  gl.bindAttribLocation(program, 0, 'position')
  gl.linkProgram(program)
  if (!gl.getProgramParameter(program, gl.LINK_STATUS)) {
    const words = (gl.getAttachedShaders(program) ?? []).map(shader => gl.getShaderInfoLog(shader)).join('\n')
    throw new Error(`${gl.getProgramInfoLog(program)}\n${words}`)
  }
  const places = new Map<string, WebGLUniformLocation | null>()
  return {
    program,
    at(name) {
      let place = places.get(name)
      if (place === undefined) {
        place = gl.getUniformLocation(program, name)
        places.set(name, place)
      }
      return place
    },
  }
}

/** One triangle over the whole target, for passes that compute a texel a fragment: draw three vertices of nothing. */
export const WHOLE_TARGET_VERTEX = `#version 300 es
void main() { gl_Position = vec4(vec2(gl_VertexID & 1, gl_VertexID >> 1) * 4.0 - 1.0, 0.0, 1.0); }`

/** Storage that never changes its size, read texel by texel. */
export function createTexture(
  gl: WebGL2RenderingContext,
  format: number,
  width: number,
  height: number,
  layers: number | null = null,
): WebGLTexture {
  const texture = gl.createTexture()
  const target = layers === null ? gl.TEXTURE_2D : gl.TEXTURE_2D_ARRAY
  gl.bindTexture(target, texture)
  if (layers === null) gl.texStorage2D(target, 1, format, width, height)
  else gl.texStorage3D(target, 1, format, width, height, layers)
  for (const name of [gl.TEXTURE_MIN_FILTER, gl.TEXTURE_MAG_FILTER]) gl.texParameteri(target, name, gl.NEAREST)
  for (const name of [gl.TEXTURE_WRAP_S, gl.TEXTURE_WRAP_T]) gl.texParameteri(target, name, gl.CLAMP_TO_EDGE)
  return texture
}

export function bindTexture(gl: WebGL2RenderingContext, unit: number, target: number, texture: WebGLTexture): void {
  gl.activeTexture(gl.TEXTURE0 + unit)
  gl.bindTexture(target, texture)
}

/** Whoever drew before may have left anything; passes say only what they want besides this. */
export function resetForPasses(gl: WebGL2RenderingContext): void {
  for (const what of [gl.BLEND, gl.DEPTH_TEST, gl.CULL_FACE, gl.SCISSOR_TEST, gl.STENCIL_TEST, gl.POLYGON_OFFSET_FILL])
    gl.disable(what)
  gl.colorMask(true, true, true, true)
  gl.depthMask(true)
  gl.depthFunc(gl.LESS)
  gl.clearDepth(1)
  gl.frontFace(gl.CCW)
  gl.cullFace(gl.BACK)
  gl.blendEquation(gl.FUNC_ADD)
  gl.blendFunc(gl.ONE, gl.ONE)
  gl.bindVertexArray(null)
  gl.bindBuffer(gl.ARRAY_BUFFER, null)
  gl.bindBuffer(gl.PIXEL_UNPACK_BUFFER, null)
  gl.pixelStorei(gl.UNPACK_FLIP_Y_WEBGL, false)
  gl.pixelStorei(gl.UNPACK_PREMULTIPLY_ALPHA_WEBGL, false)
  gl.pixelStorei(gl.UNPACK_COLORSPACE_CONVERSION_WEBGL, gl.NONE)
  gl.pixelStorei(gl.UNPACK_ALIGNMENT, 4)
  gl.pixelStorei(gl.UNPACK_ROW_LENGTH, 0)
  gl.pixelStorei(gl.UNPACK_SKIP_ROWS, 0)
  gl.pixelStorei(gl.UNPACK_SKIP_PIXELS, 0)
}
