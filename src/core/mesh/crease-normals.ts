/** A mesh whose vertices stand once a side of every crease. */
export interface CreasedMesh {
  readonly positions: Float32Array
  readonly normals: Float32Array
  readonly triangles: Uint32Array
  /** New vertices of old vertex v are `firstOf[v]` … `firstOf[v + 1] − 1`; V + 1 entries. */
  readonly firstOf: Uint32Array
}

export const CREASE_DEGREES = 40

/**
 * Unit normals, and a vertex for every smooth side of a crease.
 *
 * Around a vertex, two triangles that share an edge belong to one side when their normals differ by less than the
 * crease angle; a side's normal is the mean of its triangles' normals, weighted by their angle at the vertex, which
 * does not depend on how a flat face is cut into triangles.
 * Source of the weighting: G. Thürmer, C. Wüthrich, J. Graphics Tools 3(1), 1998.
 * Error: the angle comes from a polynomial within 7·10⁻⁵ rad (Abramowitz & Stegun 4.4.45).
 * Cost: O(T); order of vertices is kept, so a part stays contiguous.
 *
 * A triangle thinner than float32 can tell at its place has a direction by rounding only: it lends its neighbours
 * nothing.
 * @param triangles welded and with area
 * @param creaseDegrees 0…180; default 40: common practice, no source
 */
export function creaseNormals(
  positions: Float32Array,
  triangles: Uint32Array,
  creaseDegrees: number = CREASE_DEGREES,
): CreasedMesh {
  const vertices = positions.length / 3
  const corners = triangles.length
  const limit = Math.cos((creaseDegrees * Math.PI) / 180)

  // Unit normal of every triangle, and the weight of each of its corners.
  const facing = new Float32Array(corners)
  const weights = new Float32Array(corners)
  // Corners of every vertex: those of v are cornersOf[start[v] … start[v + 1] − 1].
  const start = new Uint32Array(vertices + 1)
  for (let t = 0; t < corners; t += 3) {
    const ia = triangles[t]
    const ib = triangles[t + 1]
    const ic = triangles[t + 2]
    start[ia]++
    start[ib]++
    start[ic]++
    const a = 3 * ia
    const b = 3 * ib
    const c = 3 * ic
    const ax = positions[a]
    const ay = positions[a + 1]
    const az = positions[a + 2]
    const ux = positions[b] - ax
    const uy = positions[b + 1] - ay
    const uz = positions[b + 2] - az
    const vx = positions[c] - ax
    const vy = positions[c + 1] - ay
    const vz = positions[c + 2] - az
    const nx = uy * vz - uz * vy
    const ny = uz * vx - ux * vz
    const nz = ux * vy - uy * vx
    const doubledArea = Math.sqrt(nx * nx + ny * ny + nz * nz)
    const scale = doubledArea > 0 ? 1 / doubledArea : 0
    facing[t] = nx * scale
    facing[t + 1] = ny * scale
    facing[t + 2] = nz * scale
    const uu = ux * ux + uy * uy + uz * uz
    const vv = vx * vx + vy * vy + vz * vz
    const uv = ux * vx + uy * vy + uz * vz
    const ww = uu + vv - 2 * uv
    const longest = Math.max(uu, vv, ww)
    const reach = Math.max(Math.abs(ax), Math.abs(ay), Math.abs(az)) * ULP
    const trust = doubledArea * doubledArea > longest * reach * reach ? 1 : 1e-6
    const atA = arcCosine(uv / Math.sqrt(uu * vv))
    const atB = arcCosine((uu - uv) / Math.sqrt(uu * ww))
    weights[t] = trust * atA
    weights[t + 1] = trust * atB
    weights[t + 2] = trust * Math.max(0, Math.PI - atA - atB)
  }
  let sum = 0
  for (let v = 0; v <= vertices; v++) {
    const here = v < vertices ? start[v] : 0
    start[v] = sum
    sum += here
  }
  const cornersOf = new Uint32Array(corners)
  const next = start.slice()
  for (let c = 0; c < corners; c++) cornersOf[next[triangles[c]]++] = c

  const firstOf = new Uint32Array(vertices + 1)
  const split = new Uint32Array(corners)
  let capacity = Math.max(16, vertices + (vertices >> 2))
  let outPositions = new Float32Array(3 * capacity)
  let outNormals = new Float32Array(3 * capacity)
  let n = 0

  /** Which of the running vertex' corners leaves along the edge to this vertex. */
  const leaving = new Int32Array(vertices)
  /** Side of each of the running vertex' corners, as a forest over their places in the list. */
  let side = new Int32Array(64)
  let numberOf = new Int32Array(64)
  for (let v = 0; v < vertices; v++) {
    firstOf[v] = n
    const from = start[v]
    const valence = start[v + 1] - from
    if (valence > side.length) {
      side = new Int32Array(2 * valence)
      numberOf = new Int32Array(2 * valence)
    }
    for (let i = 0; i < valence; i++) {
      const c = cornersOf[from + i]
      const base = c - (c % 3)
      side[i] = i
      numberOf[i] = -1
      leaving[triangles[base + ((c - base + 1) % 3)]] = from + i + 1
    }
    for (let j = 0; j < valence; j++) {
      const c = cornersOf[from + j]
      const base = c - (c % 3)
      // The edge by which corner j arrives is the one by which its neighbour leaves. Entries of other vertices lie
      // outside this vertex' range.
      const i = leaving[triangles[base + ((c - base + 2) % 3)]] - 1 - from
      if (i < 0 || i >= valence) continue
      const other = cornersOf[from + i]
      const f = other - (other % 3)
      const cosine = facing[base] * facing[f] + facing[base + 1] * facing[f + 1] + facing[base + 2] * facing[f + 2]
      if (cosine < limit) continue
      let a = i
      while (side[a] !== a) a = side[a] = side[side[a]]
      let b = j
      while (side[b] !== b) b = side[b] = side[side[b]]
      if (a < b) side[b] = a
      else side[a] = b
    }
    for (let i = 0; i < valence; i++) {
      let root = i
      while (side[root] !== root) root = side[root] = side[side[root]]
      const c = cornersOf[from + i]
      const base = c - (c % 3)
      let number = numberOf[root]
      if (number < 0) {
        number = n++
        numberOf[root] = number
        if (n > capacity) {
          capacity = Math.ceil(1.5 * capacity)
          outPositions = grown(outPositions, 3 * capacity)
          outNormals = grown(outNormals, 3 * capacity)
        }
        outPositions[3 * number] = positions[3 * v]
        outPositions[3 * number + 1] = positions[3 * v + 1]
        outPositions[3 * number + 2] = positions[3 * v + 2]
      }
      split[c] = number
      const w = weights[c]
      outNormals[3 * number] += w * facing[base]
      outNormals[3 * number + 1] += w * facing[base + 1]
      outNormals[3 * number + 2] += w * facing[base + 2]
    }
    for (let k = firstOf[v]; k < n; k++) {
      const x = outNormals[3 * k]
      const y = outNormals[3 * k + 1]
      const z = outNormals[3 * k + 2]
      const l = Math.sqrt(x * x + y * y + z * z)
      if (l > 1e-20) {
        outNormals[3 * k] = x / l
        outNormals[3 * k + 1] = y / l
        outNormals[3 * k + 2] = z / l
      } else {
        // Normals that cancel out (a leaf folded onto itself): any of its triangles will do.
        const c = cornersOf[from]
        const base = c - (c % 3)
        const known = facing[base] !== 0 || facing[base + 1] !== 0 || facing[base + 2] !== 0
        outNormals[3 * k] = facing[base]
        outNormals[3 * k + 1] = known ? facing[base + 1] : 1
        outNormals[3 * k + 2] = facing[base + 2]
      }
    }
  }
  firstOf[vertices] = n
  return {
    positions: outPositions.slice(0, 3 * n),
    normals: outNormals.slice(0, 3 * n),
    triangles: split,
    firstOf,
  }
}

/** Two steps of float32 at 1. */
const ULP = 2 ** -22

function arcCosine(x: number): number {
  const a = x < 0 ? -x : x
  if (a >= 1) return x < 0 ? Math.PI : 0
  const r = Math.sqrt(1 - a) * (1.5707288 + a * (-0.2121144 + a * (0.074261 - a * 0.0187293)))
  return x < 0 ? Math.PI - r : r
}

function grown(array: Float32Array, length: number): Float32Array<ArrayBuffer> {
  const larger = new Float32Array(length)
  larger.set(array)
  return larger
}
