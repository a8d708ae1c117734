/**
 * Numbers of vertices live in textures, a texel a vertex, in rows of COLUMNS: passes compute them as fragments, and the
 * picture's vertex shader finds its own by gl_VertexID. No number comes back to the processor on the way to the picture.
 */
export const COLUMNS = 2048

export const texelRows = (vertices: number): number => Math.max(1, Math.ceil(vertices / COLUMNS))

/** Rectangles of texels that hold a range of vertices: [x, y, width, height], three at most. */
export function texelRectangles(first: number, count: number): readonly (readonly [number, number, number, number])[] {
  const rectangles: [number, number, number, number][] = []
  let at = first
  const end = first + count
  while (at < end) {
    const x = at % COLUMNS
    const y = Math.floor(at / COLUMNS)
    const rows = x === 0 ? Math.floor((end - at) / COLUMNS) : 0
    if (rows > 0) rectangles.push([0, y, COLUMNS, rows])
    else rectangles.push([x, y, Math.min(COLUMNS - x, end - at), 1])
    at += rows > 0 ? rows * COLUMNS : Math.min(COLUMNS - x, end - at)
  }
  return rectangles
}

/** Writes three floats a vertex into an RGB32F texture that is bound to TEXTURE_2D, without a copy. */
export function writeTriples(gl: WebGL2RenderingContext, values: Float32Array): void {
  for (const [x, y, width, height] of texelRectangles(0, values.length / 3)) {
    const from = 3 * (y * COLUMNS + x)
    gl.texSubImage2D(gl.TEXTURE_2D, 0, x, y, width, height, gl.RGB, gl.FLOAT, values, from)
  }
}
