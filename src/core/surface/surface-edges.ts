import type { Figure } from '../mesh/figure.ts'
import { weldVertices } from '../mesh/weld-vertices.ts'

/** A figure's surface as it hangs together: creases joined, every edge knowing what lies across it. */
export interface SurfaceEdges {
  /** 3·W: a place stands once within its part. */
  readonly positions: Float32Array
  /** 3·T, the figure's triangles in their order. Entry h is also the start of directed edge h, to the next corner. */
  readonly triangles: Uint32Array
  /** 3·T: the directed edge that runs the other way in the neighbour, or −1 at an open edge. */
  readonly across: Int32Array
  /** 3·T unit normals of the triangles, (0, 0, 0) where a triangle has no area. */
  readonly facing: Float32Array
  /** T, mm². */
  readonly areasMm2: Float32Array
}

/** The next corner of the same triangle. */
export const nextCorner = (h: number): number => (h % 3 === 2 ? h - 2 : h + 1)

/** Where more than two triangles meet in an edge they are joined in pairs, in their order; parts are never joined. */
export function surfaceEdges(figure: Pick<Figure, 'positions' | 'triangles' | 'parts'>): SurfaceEdges {
  const { positions, triangles } = weldVertices(figure.positions, figure.triangles, figure.parts)
  return { positions, triangles, across: edgesAcross(triangles, positions.length / 3), ...faces(positions, triangles) }
}

function edgesAcross(triangles: Uint32Array, vertices: number): Int32Array {
  const start = new Uint32Array(vertices + 1)
  for (const v of triangles) start[v + 1]++
  for (let v = 0; v < vertices; v++) start[v + 1] += start[v]
  const next = start.slice()
  const leaving = new Uint32Array(triangles.length)
  for (let h = 0; h < triangles.length; h++) leaving[next[triangles[h]]++] = h
  const across = new Int32Array(triangles.length).fill(-1)
  for (let h = 0; h < triangles.length; h++) {
    if (across[h] >= 0) continue
    const from = triangles[h]
    const to = triangles[nextCorner(h)]
    for (let i = start[to]; i < start[to + 1]; i++) {
      const other = leaving[i]
      if (across[other] >= 0 || triangles[nextCorner(other)] !== from) continue
      across[h] = other
      across[other] = h
      break
    }
  }
  return across
}

function faces(p: Float32Array, triangles: Uint32Array): { facing: Float32Array; areasMm2: Float32Array } {
  const facing = new Float32Array(triangles.length)
  const areasMm2 = new Float32Array(triangles.length / 3)
  for (let t = 0; t < triangles.length; t += 3) {
    const a = 3 * triangles[t]
    const b = 3 * triangles[t + 1]
    const c = 3 * triangles[t + 2]
    const ux = p[b] - p[a]
    const uy = p[b + 1] - p[a + 1]
    const uz = p[b + 2] - p[a + 2]
    const vx = p[c] - p[a]
    const vy = p[c + 1] - p[a + 1]
    const vz = p[c + 2] - p[a + 2]
    const nx = uy * vz - uz * vy
    const ny = uz * vx - ux * vz
    const nz = ux * vy - uy * vx
    const doubled = Math.sqrt(nx * nx + ny * ny + nz * nz)
    areasMm2[t / 3] = doubled / 2
    if (!(doubled > 0)) continue
    facing[t] = nx / doubled
    facing[t + 1] = ny / doubled
    facing[t + 2] = nz / doubled
  }
  return { facing, areasMm2 }
}

/** Length of every directed edge, mm. */
export function edgeLengthsMm({ positions: p, triangles }: SurfaceEdges): Float32Array {
  const lengths = new Float32Array(triangles.length)
  for (let h = 0; h < triangles.length; h++) {
    const a = 3 * triangles[h]
    const b = 3 * triangles[nextCorner(h)]
    lengths[h] = Math.sqrt((p[b] - p[a]) ** 2 + (p[b + 1] - p[a + 1]) ** 2 + (p[b + 2] - p[a + 2]) ** 2)
  }
  return lengths
}
