/** Corners of triangles, nine numbers each, counter-clockwise seen from outside. */
export type TriangleSoup = readonly number[]

/** A block a × b × c with a corner at the origin. */
export function tiltedBlock(a: number, b: number, c: number): TriangleSoup {
  const corner = (i: number) => [i & 1 ? a : 0, i & 2 ? b : 0, i & 4 ? c : 0]
  const faces = [
    [0, 2, 3, 1],
    [4, 5, 7, 6],
    [0, 1, 5, 4],
    [2, 6, 7, 3],
    [0, 4, 6, 2],
    [1, 3, 7, 5],
  ]
  return faces.flatMap(([p, q, r, s]) => [p, q, r, p, r, s].flatMap(corner))
}

/** Binary STL: 80 bytes, a count, and 50 bytes a triangle. */
export function triangleSoupStl(soup: TriangleSoup): Buffer {
  const count = soup.length / 9
  const file = Buffer.alloc(84 + 50 * count)
  file.writeUInt32LE(count, 80)
  for (let t = 0; t < count; t++)
    for (let k = 0; k < 9; k++) file.writeFloatLE(soup[9 * t + k], 84 + 50 * t + 12 + 4 * k)
  return file
}
