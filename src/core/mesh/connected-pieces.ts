/**
 * Which triangles hang together through shared vertices.
 * @param vertices V; every entry of `triangles` is below it
 * @returns `pieceOf` every triangle, numbered from 0 in order of first appearance, and how many there are
 */
export function connectedPieces(
  triangles: Uint32Array,
  vertices: number,
): { readonly pieceOf: Uint32Array; readonly count: number } {
  const parent = new Int32Array(vertices)
  for (let v = 0; v < vertices; v++) parent[v] = v
  const rootOf = (v: number): number => {
    while (parent[v] !== v) {
      // Path halving keeps the trees flat without a second pass.
      parent[v] = parent[parent[v]]
      v = parent[v]
    }
    return v
  }
  for (let t = 0; t < triangles.length; t += 3) {
    const a = rootOf(triangles[t])
    const b = rootOf(triangles[t + 1])
    const c = rootOf(triangles[t + 2])
    // The smallest number becomes the root: with vertices in order of first use the trees stay shallow.
    const least = Math.min(a, b, c)
    parent[a] = least
    parent[b] = least
    parent[c] = least
  }
  const pieceOf = new Uint32Array(triangles.length / 3)
  const numberOf = new Int32Array(vertices).fill(-1)
  let count = 0
  for (let t = 0; t < pieceOf.length; t++) {
    const root = rootOf(triangles[3 * t])
    if (numberOf[root] < 0) numberOf[root] = count++
    pieceOf[t] = numberOf[root]
  }
  return { pieceOf, count }
}
