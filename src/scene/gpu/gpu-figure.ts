import { type Figure, vertexCount } from '../../core/mesh/figure.ts'
import { createTexture } from './gl-objects.ts'
import { COLUMNS, texelRows, writeTriples } from './vertex-texels.ts'

/** A figure on the graphics card: its triangles to be drawn into depth buffers, its vertices to be looked up. */
export interface GpuFigure {
  readonly figure: Figure
  /** Of every texture of per-vertex numbers: COLUMNS × rows. */
  readonly rows: number
  /** RGB32F, a texel a vertex. */
  readonly positions: WebGLTexture
  readonly normals: WebGLTexture
  /** Positions at attribute 0 and all triangles. */
  readonly triangles: WebGLVertexArrayObject
  /** The same vertices under fewer triangles: what shades the others while a hand moves; null until there are such. */
  few(): { readonly triangles: WebGLVertexArrayObject; readonly count: number } | null
  setFew(triangles: Uint32Array | null): void
  dispose(): void
}

export function createGpuFigure(gl: WebGL2RenderingContext, figure: Figure): GpuFigure {
  const rows = texelRows(vertexCount(figure))
  const upload = (values: Float32Array) => {
    const texture = createTexture(gl, gl.RGB32F, COLUMNS, rows)
    writeTriples(gl, values)
    return texture
  }
  const positions = upload(figure.positions)
  const normals = upload(figure.normals)
  const corners = gl.createBuffer()
  gl.bindBuffer(gl.ARRAY_BUFFER, corners)
  gl.bufferData(gl.ARRAY_BUFFER, figure.positions, gl.STATIC_DRAW)
  const made: { triangles: WebGLVertexArrayObject; indices: WebGLBuffer }[] = []
  const vertexArrayOf = (indices: Uint32Array) => {
    const one = { triangles: gl.createVertexArray(), indices: gl.createBuffer() }
    gl.bindVertexArray(one.triangles)
    gl.bindBuffer(gl.ARRAY_BUFFER, corners)
    gl.enableVertexAttribArray(0)
    gl.vertexAttribPointer(0, 3, gl.FLOAT, false, 0, 0)
    gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, one.indices)
    gl.bufferData(gl.ELEMENT_ARRAY_BUFFER, indices, gl.STATIC_DRAW)
    gl.bindVertexArray(null)
    made.push(one)
    return one.triangles
  }
  const triangles = vertexArrayOf(figure.triangles)
  let few: { readonly from: Uint32Array; readonly triangles: WebGLVertexArrayObject; readonly count: number } | null =
    null
  return {
    figure,
    rows,
    positions,
    normals,
    triangles,
    few: () => few,
    setFew(next) {
      if (next === (few?.from ?? null)) return
      few = next && { from: next, triangles: vertexArrayOf(next), count: next.length / 3 }
    },
    dispose() {
      gl.deleteTexture(positions)
      gl.deleteTexture(normals)
      gl.deleteBuffer(corners)
      for (const one of made) {
        gl.deleteBuffer(one.indices)
        gl.deleteVertexArray(one.triangles)
      }
    },
  }
}
