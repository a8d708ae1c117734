import type { Figure } from '../mesh/figure.ts'
import { add, cross, directionFrom, scale, type Vec3 } from '../vec3.ts'

/** From where a figure is looked at. */
export interface ViewPoint {
  /** 0 in front, 90 at the figure's left, 180 behind. */
  readonly azimuthDegrees: number
  /** 0 level, 90 straight above. */
  readonly elevationDegrees: number
  /** From the eye to the target, mm. */
  readonly distanceMm: number
  /** Looked-at point as shares of the figure's height from the middle of its base. */
  readonly target: Vec3
}

/**
 * What the eye sees, one entry a pixel, rows from the top. The picture is cut to the figure, so its pixels need not be
 * square; they all have the same area on the plane through the target, square to the line of sight. A share of pixels
 * is therefore a share of projected area.
 */
export interface ViewRaster {
  readonly width: number
  readonly height: number
  /** Index of the triangle in front, NOTHING where the figure is not. */
  readonly triangle: Uint32Array
  /** Perspective-correct shares of the triangle's second and third corner; the first has what is left of 1. */
  readonly b1: Float32Array
  readonly b2: Float32Array
  /** Area of one pixel on the plane through the target, mm². */
  readonly pixelAreaMm2: number
  readonly pixelWidthMm: number
  readonly pixelHeightMm: number
}

export const NOTHING = 0xffffffff
/** On the demo figure values come within 0.03 L* and shares within 0.001 of those of a picture of 2048. */
export const RASTER_SIZE = 512

/** Triangles nearer to the eye than this share of its distance are left out: the eye would stand inside the figure. */
const NEAREST = 0.02
/** Pixels²; keeps two triangles from both losing a pixel centre on their common edge to rounding. */
const EDGE_SLACK = 1e-9

/**
 * Draws the figure from a view point: whatever is nearest, one sample in the middle of each pixel. Both sides count, as
 * in the picture: an open shell shows its inside.
 * @param size pixels along both sides
 */
export function rasterView(figure: Figure, view: ViewPoint, size = RASTER_SIZE): ViewRaster {
  const { positions, triangles } = figure
  const vertices = positions.length / 3
  const projected = projectVertices(figure, view)
  const { x, y, w } = projected
  const frame = frameOf(projected)
  const pixelX = (frame.maxX - frame.minX) / size
  const pixelY = (frame.maxY - frame.minY) / size
  // In pixels from here on; y grows downwards, so that rows count from the top.
  for (let v = 0; v < vertices; v++) {
    x[v] = (x[v] - frame.minX) / pixelX
    y[v] = (frame.maxY - y[v]) / pixelY
  }
  const triangle = new Uint32Array(size * size).fill(NOTHING)
  const nearness = new Float64Array(size * size)
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t]
    let b = triangles[t + 1]
    let c = triangles[t + 2]
    if (w[a] === 0 || w[b] === 0 || w[c] === 0) continue
    const ax = x[a]
    const ay = y[a]
    let area = doubledArea(x, y, a, b, c)
    if (area < 0) {
      const swapped = b
      b = c
      c = swapped
      area = -area
    }
    if (!(area > 0)) continue
    const ux = x[b] - ax
    const uy = y[b] - ay
    const vx = x[c] - ax
    const vy = y[c] - ay
    const top = Math.max(0, Math.ceil(Math.min(ay, y[b], y[c]) - 0.5))
    const bottom = Math.min(size - 1, Math.floor(Math.max(ay, y[b], y[c]) - 0.5))
    if (top > bottom) continue
    const left = Math.max(0, Math.ceil(Math.min(ax, x[b], x[c]) - 0.5))
    const right = Math.min(size - 1, Math.floor(Math.max(ax, x[b], x[c]) - 0.5))
    if (left > right) continue
    const wa = w[a]
    const wu = (w[b] - wa) / area
    const wv = (w[c] - wa) / area
    const enough = area + EDGE_SLACK
    for (let row = top; row <= bottom; row++) {
      const dy = row + 0.5 - ay
      let pixel = row * size + left
      for (let column = left; column <= right; column++, pixel++) {
        const dx = column + 0.5 - ax
        const shareB = dy * vx - dx * vy
        if (shareB < -EDGE_SLACK) continue
        const shareC = dx * uy - dy * ux
        if (shareC < -EDGE_SLACK || shareB + shareC > enough) continue
        // 1/depth is linear in the picture, and larger is nearer.
        const near = wa + shareB * wu + shareC * wv
        if (near <= nearness[pixel]) continue
        nearness[pixel] = near
        triangle[pixel] = t / 3
      }
    }
  }
  return {
    width: size,
    height: size,
    triangle,
    ...cornerShares(triangle, size, triangles, projected),
    pixelAreaMm2: pixelX * pixelY * view.distanceMm ** 2,
    pixelWidthMm: pixelX * view.distanceMm,
    pixelHeightMm: pixelY * view.distanceMm,
  }
}

interface Projected {
  /** Offset from the line of sight over depth, to the right and up. */
  readonly x: Float64Array
  readonly y: Float64Array
  /** 1/depth in 1/mm; 0 where too near or behind the eye. */
  readonly w: Float64Array
}

function projectVertices({ positions: p, heightMm }: Figure, view: ViewPoint): Projected {
  const back = directionFrom(view.azimuthDegrees, view.elevationDegrees)
  const azimuth = (view.azimuthDegrees * Math.PI) / 180
  const right: Vec3 = [Math.cos(azimuth), 0, -Math.sin(azimuth)]
  const up = cross(back, right)
  const eye = add(scale(view.target, heightMm), scale(back, view.distanceMm))
  const vertices = p.length / 3
  const x = new Float64Array(vertices)
  const y = new Float64Array(vertices)
  const w = new Float64Array(vertices)
  const nearest = NEAREST * view.distanceMm
  for (let v = 0; v < vertices; v++) {
    const px = p[3 * v] - eye[0]
    const py = p[3 * v + 1] - eye[1]
    const pz = p[3 * v + 2] - eye[2]
    const depth = -(px * back[0] + py * back[1] + pz * back[2])
    if (depth < nearest) continue
    w[v] = 1 / depth
    x[v] = (px * right[0] + pz * right[2]) / depth
    y[v] = (px * up[0] + py * up[1] + pz * up[2]) / depth
  }
  return { x, y, w }
}

/** The figure's extent in the picture; never empty. */
function frameOf({ x, y, w }: Projected): { minX: number; maxX: number; minY: number; maxY: number } {
  let minX = Infinity
  let maxX = -Infinity
  let minY = Infinity
  let maxY = -Infinity
  for (let v = 0; v < w.length; v++) {
    if (w[v] === 0) continue
    if (x[v] < minX) minX = x[v]
    if (x[v] > maxX) maxX = x[v]
    if (y[v] < minY) minY = y[v]
    if (y[v] > maxY) maxY = y[v]
  }
  if (minX < maxX && minY < maxY) return { minX, maxX, minY, maxY }
  return { minX: -1, maxX: 1, minY: -1, maxY: 1 }
}

/** Positive for triangles seen from their front, with y downwards. */
const doubledArea = (x: Float64Array, y: Float64Array, a: number, b: number, c: number): number =>
  (y[b] - y[a]) * (x[c] - x[a]) - (x[b] - x[a]) * (y[c] - y[a])

function cornerShares(triangle: Uint32Array, size: number, triangles: Uint32Array, { x, y, w }: Projected) {
  const b1 = new Float32Array(triangle.length)
  const b2 = new Float32Array(triangle.length)
  for (let pixel = 0; pixel < triangle.length; pixel++) {
    if (triangle[pixel] === NOTHING) continue
    const t = 3 * triangle[pixel]
    const a = triangles[t]
    const b = triangles[t + 1]
    const c = triangles[t + 2]
    const dx = (pixel % size) + 0.5 - x[a]
    const dy = Math.floor(pixel / size) + 0.5 - y[a]
    const ux = x[b] - x[a]
    const uy = y[b] - y[a]
    const vx = x[c] - x[a]
    const vy = y[c] - y[a]
    const area = doubledArea(x, y, a, b, c)
    // Shares in the picture, weighted by 1/depth, are shares on the surface.
    const shareB = ((dy * vx - dx * vy) / area) * w[b]
    const shareC = ((dx * uy - dy * ux) / area) * w[c]
    const shareA = (1 - (dy * vx - dx * vy + dx * uy - dy * ux) / area) * w[a]
    const sum = shareA + shareB + shareC
    b1[pixel] = shareB / sum
    b2[pixel] = shareC / sum
  }
  return { b1, b2 }
}
