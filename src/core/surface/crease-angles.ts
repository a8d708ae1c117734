import { nextCorner, type SurfaceEdges } from './surface-edges.ts'

/** A walk over more triangles than this is among slivers: what it has seen so far will do. */
const MOST_STEPS = 200

/**
 * How far the surface turns across every edge, seen coarsely: the angle between the mean normals of the straightest
 * walks that leave the middle of the edge square to it on either side. A sharp crease between flats counts whole; one
 * rounded over less than `radiusMm` nearly whole; a curve of radius R everywhere radiusMm / R.
 * @param radiusMm length of each walk; it ends early at an open edge
 * @returns 3·T, radians 0…π, the same for both directions of an edge; 0 at open edges
 */
export function creaseAngles(surface: SurfaceEdges, radiusMm: number): Float32Array {
  const { across } = surface
  const angles = new Float32Array(across.length)
  const here: Sum = [0, 0, 0]
  const there: Sum = [0, 0, 0]
  for (let h = 0; h < across.length; h++) {
    const other = across[h]
    if (other < h) continue
    walk(surface, h, radiusMm, here)
    walk(surface, other, radiusMm, there)
    const sine = Math.hypot(
      here[1] * there[2] - here[2] * there[1],
      here[2] * there[0] - here[0] * there[2],
      here[0] * there[1] - here[1] * there[0],
    )
    const angle = Math.atan2(sine, here[0] * there[0] + here[1] * there[1] + here[2] * there[2])
    angles[h] = angle
    angles[other] = angle
  }
  return angles
}

type Sum = [number, number, number]

/** Adds up normal × length of a straightest walk into the triangle of a directed edge, from the edge's middle. */
function walk({ positions: p, triangles, across, facing }: SurfaceEdges, from: number, lengthMm: number, sum: Sum) {
  sum[0] = sum[1] = sum[2] = 0
  let a = 3 * triangles[from]
  let b = 3 * triangles[nextCorner(from)]
  let x = (p[a] + p[b]) / 2
  let y = (p[a + 1] + p[b + 1]) / 2
  let z = (p[a + 2] + p[b + 2]) / 2
  /** Share of the direction along the entered edge; the rest leads inward. */
  let along = 0
  let entered = from
  let left = lengthMm
  for (let step = 0; step < MOST_STEPS; step++) {
    const base = entered - (entered % 3)
    const nx = facing[base]
    const ny = facing[base + 1]
    const nz = facing[base + 2]
    a = 3 * triangles[entered]
    b = 3 * triangles[nextCorner(entered)]
    let ex = p[b] - p[a]
    let ey = p[b + 1] - p[a + 1]
    let ez = p[b + 2] - p[a + 2]
    const e = Math.sqrt(ex * ex + ey * ey + ez * ez)
    if (!(e > 0)) return
    ex /= e
    ey /= e
    ez /= e
    // Inward of a counter-clockwise triangle: normal × edge.
    const inward = Math.sqrt(Math.max(0, 1 - along * along))
    const dx = along * ex + inward * (ny * ez - nz * ey)
    const dy = along * ey + inward * (nz * ex - nx * ez)
    const dz = along * ez + inward * (nx * ey - ny * ex)
    let reach = left
    let exit = -1
    let exitAlong = 0
    for (let h = nextCorner(entered); h !== entered; h = nextCorner(h)) {
      const s = 3 * triangles[h]
      const t = 3 * triangles[nextCorner(h)]
      const fx = p[t] - p[s]
      const fy = p[t + 1] - p[s + 1]
      const fz = p[t + 2] - p[s + 2]
      const mx = ny * fz - nz * fy
      const my = nz * fx - nx * fz
      const mz = nx * fy - ny * fx
      const closing = dx * mx + dy * my + dz * mz
      if (closing >= 0) continue
      const distance = Math.max(0, (x - p[s]) * mx + (y - p[s + 1]) * my + (z - p[s + 2]) * mz) / -closing
      if (distance >= reach) continue
      reach = distance
      exit = h
      exitAlong = (dx * fx + dy * fy + dz * fz) / Math.sqrt(fx * fx + fy * fy + fz * fz)
    }
    sum[0] += reach * nx
    sum[1] += reach * ny
    sum[2] += reach * nz
    left -= reach
    if (exit < 0 || across[exit] < 0) break
    x += reach * dx
    y += reach * dy
    z += reach * dz
    // The neighbour runs along the edge the other way.
    along = -exitAlong
    entered = across[exit]
  }
  if (sum[0] === 0 && sum[1] === 0 && sum[2] === 0) {
    const base = from - (from % 3)
    for (let k = 0; k < 3; k++) sum[k] = facing[base + k]
  }
}
