import type { Figure } from '../mesh/figure.ts'

/** Cells of the grid are this share of the probe's radius wide. */
const CELL = 0.25
/** At most so many cells: figures far larger than the probe get wider ones. */
const MOST_CELLS = 4_000_000
/** Vertices nearer than this are the vertex itself, once a side of its crease, mm. */
const SAME_PLACE_MM = 1e-6

/**
 * Radius of the largest sphere that touches the surface at each vertex from outside and has no other vertex in it, mm,
 * at most `probeMm`: what a round brush tip or a fingertip of that radius reaches.
 *
 * For a point Q off the vertex P with normal n the sphere through Q that touches at P has radius |PQ|² / (2 n·PQ); the
 * least of them counts. A grid gives the vertices within the sphere as it shrinks. Vertices stand for the surface, so
 * the answer is too large by about the square of their spacing over the radius.
 * Source: G. Miller, "Efficient Algorithms for Local and Global Accessibility Shading", SIGGRAPH 1994.
 * @returns V floats
 */
export function accessibilityMm({ positions: p, normals: n, box }: Figure, probeMm: number): Float32Array {
  const size = [0, 1, 2].map(k => box[k + 3] - box[k])
  let cell = CELL * probeMm
  const cellsAlong = () => size.map(s => Math.floor(s / cell) + 1)
  while (cellsAlong().reduce((product, c) => product * c) > MOST_CELLS) cell *= 1.25
  const [nx, ny, nz] = cellsAlong()
  const cellAt = (v: number, k: number, most: number) =>
    Math.min(most - 1, Math.max(0, Math.floor((p[3 * v + k] - box[k]) / cell)))
  const cellOf = (v: number) => (cellAt(v, 2, nz) * ny + cellAt(v, 1, ny)) * nx + cellAt(v, 0, nx)
  const vertices = p.length / 3
  const start = new Uint32Array(nx * ny * nz + 1)
  for (let v = 0; v < vertices; v++) start[cellOf(v) + 1]++
  for (let c = 0; c < nx * ny * nz; c++) start[c + 1] += start[c]
  const next = start.slice()
  // Cell by cell, so that what is looked through together lies together.
  const places = new Float32Array(p.length)
  for (let v = 0; v < vertices; v++) places.set(p.subarray(3 * v, 3 * v + 3), 3 * next[cellOf(v)]++)

  const [left, bottom, back] = box
  const cellsBefore = (mm: number) => Math.max(0, Math.floor(mm / cell))
  const radii = new Float32Array(vertices)
  for (let v = 0; v < vertices; v++) {
    const px = p[3 * v]
    const py = p[3 * v + 1]
    const pz = p[3 * v + 2]
    const ax = n[3 * v]
    const ay = n[3 * v + 1]
    const az = n[3 * v + 2]
    // What is near comes first, so that most spheres are small before they are looked through.
    const own = cellOf(v)
    let r = leastThrough(places, start[own], start[own + 1], px, py, pz, ax, ay, az, probeMm)
    const x0 = cellsBefore(px + r * ax - r - left)
    const x1 = Math.min(nx - 1, cellsBefore(px + r * ax + r - left))
    const y0 = cellsBefore(py + r * ay - r - bottom)
    const y1 = Math.min(ny - 1, cellsBefore(py + r * ay + r - bottom))
    const z0 = cellsBefore(pz + r * az - r - back)
    const z1 = Math.min(nz - 1, cellsBefore(pz + r * az + r - back))
    for (let z = z0; z <= z1; z++)
      for (let y = y0; y <= y1; y++)
        for (let x = x0; x <= x1; x++) {
          const c = (z * ny + y) * nx + x
          if (start[c] === start[c + 1] || c === own) continue
          // Distance of the cell from the middle of the sphere as it is now.
          const gx = px + r * ax - left - cell * x
          const gy = py + r * ay - bottom - cell * y
          const gz = pz + r * az - back - cell * z
          const fx = gx < 0 ? -gx : gx > cell ? gx - cell : 0
          const fy = gy < 0 ? -gy : gy > cell ? gy - cell : 0
          const fz = gz < 0 ? -gz : gz > cell ? gz - cell : 0
          if (fx * fx + fy * fy + fz * fz < r * r)
            r = leastThrough(places, start[c], start[c + 1], px, py, pz, ax, ay, az, r)
        }
    radii[v] = r
  }
  return radii
}

/** The least radius of a sphere that touches at P and goes through one of the places, or `r` where all are larger. */
function leastThrough(
  places: Float32Array,
  from: number,
  to: number,
  px: number,
  py: number,
  pz: number,
  ax: number,
  ay: number,
  az: number,
  r: number,
): number {
  for (let i = 3 * from; i < 3 * to; i += 3) {
    const dx = places[i] - px
    const dy = places[i + 1] - py
    const dz = places[i + 2] - pz
    const along = ax * dx + ay * dy + az * dz
    const squared = dx * dx + dy * dy + dz * dz
    if (squared < 2 * r * along && squared > SAME_PLACE_MM * SAME_PLACE_MM) r = squared / (2 * along)
  }
  return r
}
