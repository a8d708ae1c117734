import type { Part } from './figure.ts'

/** Arrays as in Figure; no vertex is shared between parts. */
export interface SurfaceArrays {
  readonly positions: Float32Array
  readonly normals: Float32Array
  readonly triangles: Uint32Array
  readonly parts: readonly Part[]
}

export interface RefinedSurface extends SurfaceArrays {
  /** Edges that were split, counted once a side of a crease. */
  readonly split: number
  /** Edges that are still longer than asked for because the budget was spent. */
  readonly stillLong: number
}

/**
 * Splits edges at their middle until none is longer than `edgeMm`, longest first, as far as the vertices last.
 *
 * An edge is split or not by its length alone, and its middle depends on its two ends alone, so that both sides of a
 * crease, and coinciding edges of two parts, split alike: no cracks. A triangle with one, two or three split edges
 * becomes two, three or four. Points of the surface stay where they are (to float32): flat stays flat. Normals are
 * interpolated, so that what was smooth stays smooth.
 *
 * Cost: rounds at falling thresholds (halving), each O(T).
 * @param edgeMm > 0, else throws
 */
export function refineEdges(surface: SurfaceArrays, edgeMm: number, vertexBudget: number): RefinedSurface {
  if (!(edgeMm > 0)) throw new Error(`edges cannot be refined to ${edgeMm} mm`)
  let current: SurfaceArrays = surface
  let split = 0
  let threshold = edgeMm
  const longest = Math.sqrt(longestSquared(surface))
  while (2 * threshold < longest) threshold *= 2
  for (;;) {
    const room = vertexBudget - current.positions.length / 3
    const marked = markEdges(current, threshold * threshold)
    if (marked.count === 0) {
      if (threshold === edgeMm) return { ...current, split, stillLong: 0 }
      threshold = Math.max(edgeMm, threshold / 2)
      continue
    }
    if (marked.count <= room) {
      current = splitMarked(current, marked)
      split += marked.count
      continue
    }
    // The longest that fit; of equally long ones all or none, or two sides of a crease would part.
    const lengths = marked.squared.slice(0, marked.count).sort()
    const cut = room > 0 ? lengths[marked.count - room - 1] : Infinity
    const last = markEdges(current, cut)
    if (last.count > 0) {
      current = splitMarked(current, last)
      split += last.count
    }
    return { ...current, split, stillLong: markEdges(current, edgeMm * edgeMm).count }
  }
}

/** Edges to split, each once: ends low[i] < high[i], in order of the parts; found again through the table. */
interface MarkedEdges {
  readonly cut: number
  readonly count: number
  readonly low: Uint32Array
  readonly high: Uint32Array
  readonly squared: Float64Array
  readonly table: Int32Array
  /** Marked edges before each part, and their total at the end. */
  readonly before: Uint32Array
}

function markEdges({ positions, triangles, parts }: SurfaceArrays, cut: number): MarkedEdges {
  let sides = 0
  for (let t = 0; t < triangles.length; t += 3) {
    if (squaredLength(positions, triangles[t], triangles[t + 1]) > cut) sides++
    if (squaredLength(positions, triangles[t + 1], triangles[t + 2]) > cut) sides++
    if (squaredLength(positions, triangles[t + 2], triangles[t]) > cut) sides++
  }
  const low = new Uint32Array(sides)
  const high = new Uint32Array(sides)
  const squared = new Float64Array(sides)
  const table = new Int32Array(2 ** (32 - Math.clz32(2 * sides)))
  const before = new Uint32Array(parts.length + 1)
  const marked = { cut, count: 0, low, high, squared, table, before }
  if (sides === 0) return marked
  let count = 0
  parts.forEach((part, p) => {
    before[p] = count
    for (let t = 3 * part.firstTriangle, end = t + 3 * part.triangleCount; t < end; t += 3) {
      for (let k = 0; k < 3; k++) {
        const a = triangles[t + k]
        const b = triangles[t + ((k + 1) % 3)]
        const l = squaredLength(positions, a, b)
        if (!(l > cut)) continue
        const slot = slotOf(marked, a, b)
        if (table[slot] !== 0) continue
        low[count] = Math.min(a, b)
        high[count] = Math.max(a, b)
        squared[count] = l
        table[slot] = ++count
      }
    }
  })
  before[parts.length] = count
  return { ...marked, count }
}

/** Where edge ab stands in the table, or the free slot where it belongs. */
function slotOf({ low, high, table }: MarkedEdges, a: number, b: number): number {
  const p = Math.min(a, b)
  const q = Math.max(a, b)
  const mask = table.length - 1
  let h = Math.imul(p, 0x9e3779b1) ^ Math.imul((q << 16) | (q >>> 16), 0x85ebca77)
  h = Math.imul(h ^ (h >>> 15), 0x2c1b3c6d)
  let slot = (h ^ (h >>> 13)) & mask
  for (let e = table[slot]; e !== 0 && (low[e - 1] !== p || high[e - 1] !== q); e = table[slot])
    slot = (slot + 1) & mask
  return slot
}

function splitMarked(surface: SurfaceArrays, marked: MarkedEdges): SurfaceArrays {
  const { positions, normals, triangles, parts } = surface
  const { before, low, high, cut, count } = marked
  const vertices = positions.length / 3
  const newPositions = new Float32Array(3 * (vertices + count))
  const newNormals = new Float32Array(3 * (vertices + count))

  let corners = 0
  for (let t = 0; t < triangles.length; t += 3) {
    corners += 3
    if (squaredLength(positions, triangles[t], triangles[t + 1]) > cut) corners += 3
    if (squaredLength(positions, triangles[t + 1], triangles[t + 2]) > cut) corners += 3
    if (squaredLength(positions, triangles[t + 2], triangles[t]) > cut) corners += 3
  }
  const out = new Uint32Array(corners)
  let to = 0
  const emit = (a: number, b: number, c: number) => {
    out[to] = a
    out[to + 1] = b
    out[to + 2] = c
    to += 3
  }

  const newParts = parts.map((part, p) => {
    // A part's old vertices move up by the middles of the parts before it; its own middles follow them.
    const shift = before[p]
    const firstVertex = part.firstVertex + shift
    const firstMiddle = firstVertex + part.vertexCount
    const from = 3 * part.firstVertex
    const until = from + 3 * part.vertexCount
    newPositions.set(positions.subarray(from, until), 3 * firstVertex)
    newNormals.set(normals.subarray(from, until), 3 * firstVertex)
    for (let e = before[p]; e < before[p + 1]; e++) {
      const a = 3 * low[e]
      const b = 3 * high[e]
      const m = 3 * (firstMiddle + e - shift)
      for (let k = 0; k < 3; k++) newPositions[m + k] = (positions[a + k] + positions[b + k]) / 2
      const x = normals[a] + normals[b]
      const y = normals[a + 1] + normals[b + 1]
      const z = normals[a + 2] + normals[b + 2]
      const l = Math.sqrt(x * x + y * y + z * z)
      // Opposite normals have no middle; one of the ends is as good as the other.
      newNormals[m] = l > 1e-6 ? x / l : normals[a]
      newNormals[m + 1] = l > 1e-6 ? y / l : normals[a + 1]
      newNormals[m + 2] = l > 1e-6 ? z / l : normals[a + 2]
    }
    const middle = (a: number, b: number): number =>
      squaredLength(positions, a, b) > cut ? firstMiddle + marked.table[slotOf(marked, a, b)] - 1 - shift : -1

    const firstTriangle = to / 3
    for (let t = 3 * part.firstTriangle, end = t + 3 * part.triangleCount; t < end; t += 3) {
      let a = triangles[t]
      let b = triangles[t + 1]
      let c = triangles[t + 2]
      let ab = middle(a, b)
      let bc = middle(b, c)
      let ca = middle(c, a)
      const splits = (ab < 0 ? 0 : 1) + (bc < 0 ? 0 : 1) + (ca < 0 ? 0 : 1)
      // Turn the triangle so that ab is the split edge of one, or ca the whole edge of two.
      while ((splits === 1 && ab < 0) || (splits === 2 && ca >= 0)) {
        ;[a, b, c] = [b, c, a]
        ;[ab, bc, ca] = [bc, ca, ab]
      }
      a += shift
      b += shift
      c += shift
      if (splits === 0) emit(a, b, c)
      else if (splits === 1) {
        emit(a, ab, c)
        emit(ab, b, c)
      } else if (splits === 2) {
        emit(ab, b, bc)
        if (squaredLength(newPositions, a, bc) < squaredLength(newPositions, ab, c)) {
          emit(a, ab, bc)
          emit(a, bc, c)
        } else {
          emit(a, ab, c)
          emit(ab, bc, c)
        }
      } else {
        emit(a, ab, ca)
        emit(ab, b, bc)
        emit(bc, c, ca)
        emit(ab, bc, ca)
      }
    }
    return {
      ...part,
      firstVertex,
      vertexCount: part.vertexCount + before[p + 1] - shift,
      firstTriangle,
      triangleCount: to / 3 - firstTriangle,
    }
  })
  return { positions: newPositions, normals: newNormals, triangles: out, parts: newParts }
}

/** The same number for ab and ba. */
function squaredLength(p: Float32Array, a: number, b: number): number {
  const x = p[3 * a] - p[3 * b]
  const y = p[3 * a + 1] - p[3 * b + 1]
  const z = p[3 * a + 2] - p[3 * b + 2]
  return x * x + y * y + z * z
}

function longestSquared({ positions, triangles }: SurfaceArrays): number {
  let longest = 0
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t]
    const b = triangles[t + 1]
    const c = triangles[t + 2]
    longest = Math.max(
      longest,
      squaredLength(positions, a, b),
      squaredLength(positions, b, c),
      squaredLength(positions, c, a),
    )
  }
  return longest
}
