import type { Figure } from '../mesh/figure.ts'
import {
  BIAS_CURVE,
  BIAS_MAX_TAN2,
  BIAS_PIXELS,
  type DepthKernel,
  type DepthView,
  EMPTY_DEPTH,
  MAX_SLOPE,
} from './depth-kernel.ts'

/** The reference twin of the depth kernel, and the fallback where there is no WebAssembly. */
export function createPlainDepthKernel(figure: Pick<Figure, 'positions' | 'normals' | 'triangles'>): DepthKernel {
  const { positions, normals, triangles } = figure
  const count = positions.length / 3
  const exposure = new Float32Array(count)
  const visibility = new Float32Array(count)
  /** x, y, z on the screen of each vertex. */
  const screen = new Float32Array(3 * count)
  let depth = new Float32Array(0)
  let view: DepthView

  function begin(next: DepthView): void {
    view = next
    const size = view.width * view.height
    if (depth.length < size) depth = new Float32Array(size)
    depth.fill(EMPTY_DEPTH, 0, size)
  }

  function project(first: number, n: number): void {
    const { right, up, toward, origin, pixel, centreX, centreY, perspective } = view
    const scale = 1 / pixel
    for (let i = 3 * first, end = 3 * (first + n); i < end; i += 3) {
      const x = positions[i] - origin[0]
      const y = positions[i + 1] - origin[1]
      const z = positions[i + 2] - origin[2]
      const across = (x * right[0] + y * right[1] + z * right[2]) * scale
      const above = (x * up[0] + y * up[1] + z * up[2]) * scale
      const near = x * toward[0] + y * toward[1] + z * toward[2]
      // A vertex beside or behind the nozzle gets z = 0: never in the picture.
      const inverse = perspective ? (near < -1e-3 ? -1 / near : 0) : 1
      screen[i] = inverse > 0 ? across * inverse + centreX : 0
      screen[i + 1] = inverse > 0 ? above * inverse + centreY : 0
      screen[i + 2] = perspective ? inverse : near
    }
  }

  function draw(firstTriangle: number, n: number, frontOnly: boolean): void {
    const { width, height, perspective } = view
    for (let t = 3 * firstTriangle, end = 3 * (firstTriangle + n); t < end; t += 3) {
      const a = 3 * triangles[t]
      let b = 3 * triangles[t + 1]
      let c = 3 * triangles[t + 2]
      let area = twiceArea(a, b, c)
      if (area <= 0) {
        if (frontOnly || area === 0) continue
        const swap = b
        b = c
        c = swap
        area = -area
      }
      const ax = screen[a]
      const ay = screen[a + 1]
      const az = screen[a + 2]
      const bx = screen[b]
      const by = screen[b + 1]
      const bz = screen[b + 2]
      const cx = screen[c]
      const cy = screen[c + 1]
      const cz = screen[c + 2]
      if (perspective && (az <= 0 || bz <= 0 || cz <= 0)) continue

      // Pixel centres stand at whole numbers + ½; the rim of two pixels stays empty.
      const left = Math.max(2, Math.ceil(Math.min(ax, bx, cx) - 0.5))
      const rightmost = Math.min(width - 3, Math.floor(Math.max(ax, bx, cx) - 0.5))
      const bottom = Math.max(2, Math.ceil(Math.min(ay, by, cy) - 0.5))
      const top = Math.min(height - 3, Math.floor(Math.max(ay, by, cy) - 0.5))
      if (left > rightmost || bottom > top) continue

      const lowest = Math.min(az, bz, cz)
      const highest = Math.max(az, bz, cz)
      const zx = ((bz - az) * (cy - ay) - (cz - az) * (by - ay)) / area
      const zy = ((cz - az) * (bx - ax) - (bz - az) * (cx - ax)) / area
      // Edge functions: positive inside of a counter-clockwise triangle, inclusive so that shared edges leave no hole.
      for (let y = bottom; y <= top; y++) {
        const py = y + 0.5
        for (let x = left; x <= rightmost; x++) {
          const px = x + 0.5
          if ((bx - ax) * (py - ay) - (by - ay) * (px - ax) < 0) continue
          if ((cx - bx) * (py - by) - (cy - by) * (px - bx) < 0) continue
          if ((ax - cx) * (py - cy) - (ay - cy) * (px - cx) < 0) continue
          // Nearly edge-on triangles have a wild slope: never nearer than their nearest corner.
          const z = Math.min(highest, Math.max(lowest, az + zx * (px - ax) + zy * (py - ay)))
          const at = y * width + x
          if (z > depth[at]) depth[at] = z
        }
      }
    }
  }

  function twiceArea(a: number, b: number, c: number): number {
    const ax = screen[a]
    const ay = screen[a + 1]
    return (screen[b] - ax) * (screen[c + 1] - ay) - (screen[c] - ax) * (screen[b + 1] - ay)
  }

  /**
   * Share of the four pixels around the vertex (bilinear) at which nothing is nearer than its tangent plane, edges
   * half a pixel wide: one pixel of four that disagrees is more often a neighbouring wall than a shadow.
   * @param cosGamma > 0
   */
  function visibleShare(vertex: number): number {
    const i = 3 * vertex
    const sx = screen[i] - 0.5
    const sy = screen[i + 1] - 0.5
    const sz = screen[i + 2]
    const { width, height, pixel, right, up, toward, origin, perspective } = view
    const x = Math.floor(sx)
    const y = Math.floor(sy)
    // Outside of the picture there is no occluder (parallel) or no spray (perspective).
    if (x < 1 || y < 1 || x > width - 3 || y > height - 3) return 1
    const nx = normals[i]
    const ny = normals[i + 1]
    const nz = normals[i + 2]
    const nRight = nx * right[0] + ny * right[1] + nz * right[2]
    const nUp = nx * up[0] + ny * up[1] + nz * up[2]
    // n · (vertical unit towards the source), and the length that turns tangents into depths on the screen.
    let cosGamma: number
    let unit: number
    if (perspective) {
      const px = origin[0] - positions[i]
      const py = origin[1] - positions[i + 1]
      const pz = origin[2] - positions[i + 2]
      // Slope of 1/t on the screen is −n·right·pixel / (n·(source − p)); written with t = 1/sz as the parallel case.
      cosGamma = (nx * px + ny * py + nz * pz) * sz
      unit = pixel * sz
    } else {
      cosGamma = nx * toward[0] + ny * toward[1] + nz * toward[2]
      unit = pixel
    }
    const inverse = 1 / Math.max(cosGamma, 1e-6)
    const tanX = -nRight * inverse
    const tanY = -nUp * inverse
    const tan2 = tanX * tanX + tanY * tanY
    const keep = Math.min(1, MAX_SLOPE / Math.sqrt(tan2 + 1e-12))
    const slopeX = tanX * keep * unit
    const slopeY = tanY * keep * unit
    const bias = unit * (BIAS_PIXELS + BIAS_CURVE * Math.min(tan2, BIAS_MAX_TAN2))
    const u = sx - x
    const v = sy - y
    const at = y * width + x
    const limit = sz + bias - slopeX * u - slopeY * v
    let share = 0
    if (depth[at] <= limit) share += (1 - u) * (1 - v)
    if (depth[at + 1] <= limit + slopeX) share += u * (1 - v)
    if (depth[at + width] <= limit + slopeY) share += (1 - u) * v
    if (depth[at + width + 1] <= limit + slopeX + slopeY) share += u * v
    return Math.min(1, Math.max(0, 2 * share - 0.5))
  }

  return {
    kind: 'plain',
    exposure,
    visibility,
    begin,
    project,
    draw,
    addParallel(first, n, weight) {
      const { toward } = view
      for (let vertex = first; vertex < first + n; vertex++) {
        const i = 3 * vertex
        const cosGamma = normals[i] * toward[0] + normals[i + 1] * toward[1] + normals[i + 2] * toward[2]
        if (cosGamma > 0) exposure[vertex] += weight * cosGamma * visibleShare(vertex)
      }
    },
    findVisibility(first, n) {
      for (let vertex = first; vertex < first + n; vertex++) visibility[vertex] = visibleShare(vertex)
    },
    picture: () => ({
      depth: depth.subarray(0, view.width * view.height),
      width: view.width,
      height: view.height,
      pixel: view.pixel,
    }),
    dispose() {},
  }
}
