/**
 * How many edges have a triangle on one side only (or run the same way in both): where a surface is open, or its sides
 * disagree about inside and outside.
 *
 * Every edge is filed under its smaller end, with a sign for its direction; edges of a closed surface cancel. An edge of
 * four triangles, two each way, is closed.
 * Cost: O(T) for valences as meshes have them; allocates 12·T + 4·V bytes. Buckets of neighbours lie close together,
 * which a table of hashes over the whole mesh would not.
 */
export function openEdges(triangles: Uint32Array, vertices: number): number {
  const start = new Uint32Array(vertices + 1)
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t]
    const b = triangles[t + 1]
    const c = triangles[t + 2]
    start[Math.min(a, b)]++
    start[Math.min(b, c)]++
    start[Math.min(c, a)]++
  }
  let sum = 0
  for (let v = 0; v <= vertices; v++) {
    const here = start[v]
    start[v] = sum
    sum += here
  }
  // The larger end + 1; negative when the edge runs from the larger to the smaller.
  const ends = new Int32Array(triangles.length)
  const next = start.slice()
  for (let t = 0; t < triangles.length; t += 3) {
    for (let k = 0; k < 3; k++) {
      const p = triangles[t + k]
      const q = triangles[t + (k === 2 ? 0 : k + 1)]
      if (p < q) ends[next[p]++] = q + 1
      else ends[next[q]++] = -(p + 1)
    }
  }
  let open = 0
  for (let v = 0; v < vertices; v++) {
    const [from, to] = [start[v], start[v + 1]]
    open += to - from > FEW ? unmatchedSorted(ends.subarray(from, to)) : unmatched(ends, from, to)
  }
  return open
}

/** Up to so many edges at a vertex, comparing each with each is fastest. */
const FEW = 48

function unmatched(ends: Int32Array, from: number, to: number): number {
  let open = 0
  for (let i = from; i < to; i++) {
    const one = ends[i]
    if (one === 0) continue
    const end = Math.abs(one)
    let balance = one > 0 ? 1 : -1
    for (let j = i + 1; j < to; j++) {
      if (ends[j] !== end && ends[j] !== -end) continue
      balance += ends[j] > 0 ? 1 : -1
      ends[j] = 0
    }
    open += Math.abs(balance)
  }
  return open
}

function unmatchedSorted(bucket: Int32Array): number {
  const sorted = bucket.slice().sort((a, b) => Math.abs(a) - Math.abs(b))
  let open = 0
  for (let i = 0; i < sorted.length; ) {
    const end = Math.abs(sorted[i])
    let balance = 0
    for (; i < sorted.length && Math.abs(sorted[i]) === end; i++) balance += sorted[i] > 0 ? 1 : -1
    open += Math.abs(balance)
  }
  return open
}
