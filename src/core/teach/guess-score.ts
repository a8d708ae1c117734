import type { Figure } from '../mesh/figure.ts'

/** How well a painted guess meets where the spray falls. */
export interface GuessScore {
  /** Area of both over area of either, 0…1. */
  readonly overlap: number
  /** Of what the torch lights, the share that was left out; of what was painted, the share it does not light. */
  readonly missed: number
  readonly wrong: number
  /**
   * From each edge of the guess to the nearest true one and back, mean along both, mm: an edge that should be there and
   * is not counts as well. null where one of the two has no edge.
   */
  readonly edgeErrorMm: number | null
}

/** Edge pieces compared at most: a guess has some thousands, and a mean settles with fewer. */
const MOST_PIECES = 1500

/**
 * Areas go by corner: a third of a triangle belongs to each. Edges are where a field crosses its level, straight across
 * each triangle; distances go through space, not along the surface.
 * @param guess V, 1 painted, 0 not
 * @param exposure V; lit is above `level`
 * @param counted T, 1 where a triangle counts; null counts all
 */
export function scoreGuess(
  figure: Figure,
  guess: Float32Array,
  exposure: Float32Array,
  level: number,
  counted: Uint8Array | null = null,
): GuessScore {
  const { positions: p, triangles } = figure
  let both = 0
  let painted = 0
  let lit = 0
  for (let t = 0; t < triangles.length; t += 3) {
    if (counted && counted[t / 3] === 0) continue
    const area = triangleArea(p, 3 * triangles[t], 3 * triangles[t + 1], 3 * triangles[t + 2])
    for (let k = 0; k < 3; k++) {
      const v = triangles[t + k]
      const isPainted = guess[v] > 0.5
      const isLit = exposure[v] > level
      if (isPainted) painted += area
      if (isLit) lit += area
      if (isPainted && isLit) both += area
    }
  }
  const either = painted + lit - both
  return {
    overlap: either > 0 ? both / either : 1,
    missed: lit > 0 ? 1 - both / lit : 0,
    wrong: painted > 0 ? 1 - both / painted : 0,
    edgeErrorMm: between(crossings(figure, guess, 0.5, counted), crossings(figure, exposure, level, counted)),
  }
}

/** Where a field of one number a vertex crosses a level: one straight piece a triangle, 6 numbers each (mm). */
export function crossings(
  { positions: p, triangles }: Figure,
  field: Float32Array,
  level: number,
  counted: Uint8Array | null = null,
): Float64Array {
  const pieces: number[] = []
  for (let t = 0; t < triangles.length; t += 3) {
    if (counted && counted[t / 3] === 0) continue
    let ends = 0
    for (let k = 0; k < 3; k++) {
      const a = triangles[t + k]
      const b = triangles[t + ((k + 1) % 3)]
      if (field[a] > level === field[b] > level) continue
      const share = (level - field[a]) / (field[b] - field[a])
      for (let axis = 0; axis < 3; axis++) pieces.push(p[3 * a + axis] + share * (p[3 * b + axis] - p[3 * a + axis]))
      ends++
    }
    // Two edges are crossed, or none.
    if (ends === 1) pieces.length -= 3
  }
  return Float64Array.from(pieces)
}

const between = (a: Float64Array, b: Float64Array): number | null =>
  a.length > 0 && b.length > 0 ? (meanDistance(a, b) + meanDistance(b, a)) / 2 : null

function meanDistance(from: Float64Array, to: Float64Array): number {
  const stride = 6 * Math.max(1, Math.ceil(from.length / 6 / MOST_PIECES))
  let weighted = 0
  let along = 0
  for (let i = 0; i < from.length; i += stride) {
    const length = Math.hypot(from[i + 3] - from[i], from[i + 4] - from[i + 1], from[i + 5] - from[i + 2])
    const x = (from[i] + from[i + 3]) / 2
    const y = (from[i + 1] + from[i + 4]) / 2
    const z = (from[i + 2] + from[i + 5]) / 2
    let nearest = Infinity
    for (let j = 0; j < to.length; j += 6) nearest = Math.min(nearest, squaredDistance(to, j, x, y, z))
    weighted += length * Math.sqrt(nearest)
    along += length
  }
  return along > 0 ? weighted / along : 0
}

/** From a point to a straight piece. */
function squaredDistance(s: Float64Array, j: number, x: number, y: number, z: number): number {
  const ux = s[j + 3] - s[j]
  const uy = s[j + 4] - s[j + 1]
  const uz = s[j + 5] - s[j + 2]
  const wx = x - s[j]
  const wy = y - s[j + 1]
  const wz = z - s[j + 2]
  const square = ux * ux + uy * uy + uz * uz
  const share = square > 0 ? Math.min(1, Math.max(0, (wx * ux + wy * uy + wz * uz) / square)) : 0
  return (wx - share * ux) ** 2 + (wy - share * uy) ** 2 + (wz - share * uz) ** 2
}

function triangleArea(p: Float32Array, a: number, b: number, c: number): number {
  const ux = p[b] - p[a]
  const uy = p[b + 1] - p[a + 1]
  const uz = p[b + 2] - p[a + 2]
  const vx = p[c] - p[a]
  const vy = p[c + 1] - p[a + 1]
  const vz = p[c + 2] - p[a + 2]
  return Math.sqrt((uy * vz - uz * vy) ** 2 + (uz * vx - ux * vz) ** 2 + (ux * vy - uy * vx) ** 2) / 2
}

/** Paints (or rubs out) what lies within a ball around a place and faces the eye: not the far side of a thin plate. */
export function brushGuess(
  { positions: p, normals: n }: Pick<Figure, 'positions' | 'normals'>,
  guess: Float32Array,
  at: readonly [number, number, number],
  lineOfSight: readonly [number, number, number],
  radiusMm: number,
  value: 0 | 1,
): void {
  const reach = radiusMm * radiusMm
  for (let v = 0; v < guess.length; v++) {
    const i = 3 * v
    if ((p[i] - at[0]) ** 2 + (p[i + 1] - at[1]) ** 2 + (p[i + 2] - at[2]) ** 2 > reach) continue
    if (n[i] * lineOfSight[0] + n[i + 1] * lineOfSight[1] + n[i + 2] * lineOfSight[2] < 0) guess[v] = value
  }
}
