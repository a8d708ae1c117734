/** Triangles of a ball: two a cell of the grid, one at the poles. */
const MERIDIANS = 500
const PARALLELS = 251
const BALLS = 4

/**
 * A closed figure of 1,000,000 triangles, 32 mm high, as a binary STL: four lumpy balls that run into and shade one
 * another, nothing symmetric.
 */
export function benchFigure(): File {
  const triangles = BALLS * 2 * MERIDIANS * (PARALLELS - 1)
  const bytes = new DataView(new ArrayBuffer(84 + 50 * triangles))
  bytes.setUint32(80, triangles, true)
  let at = 84
  const put = (...corners: readonly (readonly number[])[]) => {
    at += 12
    for (const corner of corners)
      for (const value of corner) {
        bytes.setFloat32(at, value, true)
        at += 4
      }
    at += 2
  }
  for (let ball = 0; ball < BALLS; ball++) {
    const rows = Array.from({ length: PARALLELS + 1 }, (_, row) =>
      Array.from({ length: MERIDIANS }, (_, i) => placeOn(ball, row / PARALLELS, i / MERIDIANS)),
    )
    for (let row = 0; row < PARALLELS; row++) {
      for (let i = 0; i < MERIDIANS; i++) {
        const j = (i + 1) % MERIDIANS
        const [a, b, c, d] = [rows[row][i], rows[row][j], rows[row + 1][i], rows[row + 1][j]]
        if (row > 0) put(a, b, c)
        if (row < PARALLELS - 1) put(b, d, c)
      }
    }
  }
  return new File([bytes.buffer], 'bench.stl')
}

/** z is up, as in most STL files. @param u, v 0…1 from pole to pole and around */
function placeOn(ball: number, u: number, v: number): readonly [number, number, number] {
  // Every meridian ends in the very same pole.
  const ring = u === 0 || u === 1 ? 0 : Math.sin(Math.PI * u)
  const [x, y, z] = [ring * Math.cos(2 * Math.PI * v), ring * Math.sin(2 * Math.PI * v), -Math.cos(Math.PI * u)]
  const radius = 7.5 - ball
  const lump = radius * (1 + 0.12 * Math.sin(5 * x + ball) * Math.cos(7 * y - z) + 0.02 * Math.sin(31 * z + 23 * x))
  return [3 * Math.cos(2.4 * ball) + lump * x, 3 * Math.sin(2.4 * ball) + lump * y, 7 * (ball + 1) + lump * z]
}
