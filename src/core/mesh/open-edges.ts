/**
 * How many edges have a triangle on one side only (or run the same way in both): where a surface is open, or its sides
 * disagree about inside and outside.
 *
 * Every edge p→q is looked for as q→p; what stays unmatched counts. An edge of four triangles, two each way, is closed.
 * Cost: one pass; a table of 8 to 16 bytes an edge.
 */
export function openEdges(triangles: Uint32Array, vertices: number): number {
  if (triangles.length === 0) return 0
  const size = 2 ** (32 - Math.clz32(triangles.length))
  const mask = size - 1
  // Per undirected edge: its two ends (+1, so that 0 is empty) and the balance of the directions.
  const low = new Uint32Array(2 * size)
  const high = new Uint32Array(2 * size)
  const balance = new Int32Array(2 * size)
  const wide = 2 * mask + 1
  for (let t = 0; t < triangles.length; t += 3) {
    for (let k = 0; k < 3; k++) {
      const p = triangles[t + k]
      const q = triangles[t + (k === 2 ? 0 : k + 1)]
      const a = p < q ? p : q
      const b = p < q ? q : p
      let slot = hashOf(a, b) & wide
      while (low[slot] !== 0 && (low[slot] !== a + 1 || high[slot] !== b)) slot = (slot + 1) & wide
      low[slot] = a + 1
      high[slot] = b
      balance[slot] += p < q ? 1 : -1
    }
  }
  let open = 0
  for (let slot = 0; slot < balance.length; slot++) open += Math.abs(balance[slot])
  return vertices > 0 ? open : 0
}

function hashOf(a: number, b: number): number {
  let h = Math.imul(a, 0x9e3779b1) ^ Math.imul((b << 16) | (b >>> 16), 0x85ebca77)
  h = Math.imul(h ^ (h >>> 15), 0x2c1b3c6d)
  return h ^ (h >>> 13)
}
