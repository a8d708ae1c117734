import type { Figure } from '../core/mesh/figure.ts'
import { add, cross, directionFrom, dot, length, normalize, scale, subtract, type Vec3 } from '../core/vec3.ts'
import type { Camera } from '../document/document.ts'

/** One pane's perspective: the eye of the document's camera, and how much of the figure's surroundings it takes in. */
export interface Framing {
  readonly eye: Vec3
  readonly target: Vec3
  /** Right-handed, unit: to the right on screen, up on screen, towards the viewer. */
  readonly right: Vec3
  readonly up: Vec3
  readonly back: Vec3
  readonly distanceMm: number
  /** Half the pane's height at distance 1. */
  readonly tanHalfHeight: number
  /** Width over height of the pane. */
  readonly aspect: number
}

export type FigureExtent = Pick<Figure, 'heightMm' | 'box'>

/** Room around a figure that fills the pane, as a share of its size: perspective makes the near side larger. */
const MARGIN = 1.14

/**
 * The eye stands where the camera says, in real millimetres, and the lens is chosen so that the figure fills the pane:
 * the perspective of 1 m and of 30 cm differ, the size on screen does not.
 * @param zoom 1 fits the figure, 2 shows it twice as large
 */
export function framingOf(camera: Camera, figure: FigureExtent, aspect: number, zoom: number): Framing {
  const back = directionFrom(camera.azimuthDegrees, camera.elevationDegrees)
  const azimuth = (camera.azimuthDegrees * Math.PI) / 180
  const right: Vec3 = [Math.cos(azimuth), 0, -Math.sin(azimuth)]
  const target = scale(camera.target, figure.heightMm)
  const half = halfExtent(figure, camera.elevationDegrees)
  const halfHeight = Math.max(half.height, half.width / aspect) * MARGIN
  return {
    eye: add(target, scale(back, camera.distanceMm)),
    target,
    right,
    up: cross(back, right),
    back,
    distanceMm: camera.distanceMm,
    tanHalfHeight: halfHeight / (camera.distanceMm * zoom),
    aspect,
  }
}

/** Half of what an upright cylinder around the figure covers on screen, mm: independent of azimuth, so orbiting does not breathe. */
function halfExtent({ box, heightMm }: FigureExtent, elevationDegrees: number): { width: number; height: number } {
  const width = Math.max(-box[0], box[3], -box[2], box[5])
  const e = (elevationDegrees * Math.PI) / 180
  return { width, height: (heightMm / 2) * Math.abs(Math.cos(e)) + width * Math.abs(Math.sin(e)) }
}

/** Where a point is seen: x, y −1…1 from left and bottom; depth along the view in mm, ≤ 0 behind the eye. */
export function project(framing: Framing, point: Vec3): { x: number; y: number; depth: number } {
  const from = subtract(point, framing.eye)
  const depth = -dot(from, framing.back)
  const halfHeight = depth * framing.tanHalfHeight
  return { x: dot(from, framing.right) / (halfHeight * framing.aspect), y: dot(from, framing.up) / halfHeight, depth }
}

/** Unit direction from the eye through a place of the pane. */
export function rayThrough(framing: Framing, x: number, y: number): Vec3 {
  const { right, up, back, tanHalfHeight, aspect } = framing
  return normalize(subtract(add(scale(right, x * tanHalfHeight * aspect), scale(up, y * tanHalfHeight)), back))
}

/** The point under a place of the pane that is as far away as `near`. */
export function pointAtDepthOf(framing: Framing, x: number, y: number, near: Vec3): Vec3 {
  const ray = rayThrough(framing, x, y)
  const depth = -dot(subtract(near, framing.eye), framing.back)
  return add(framing.eye, scale(ray, depth / -dot(ray, framing.back)))
}

/** Millimetres per CSS pixel at the depth of a point, for a pane `heightPx` high. */
export const mmPerPx = (framing: Framing, point: Vec3, heightPx: number): number =>
  (2 * -dot(subtract(point, framing.eye), framing.back) * framing.tanHalfHeight) / heightPx

/**
 * Unit direction from `centre` to the place of a sphere under the pointer. A pointer that leaves the rim rolls over it:
 * what lies beyond the rim is the other side, mirrored.
 * @param side which side was held: 'near' faces the viewer
 */
export function directionOnSphere(
  framing: Framing,
  x: number,
  y: number,
  centre: Vec3,
  radius: number,
  side: 'near' | 'far',
): Vec3 {
  const toCentre = subtract(centre, framing.eye)
  const distance = length(toCentre)
  const axis = scale(toCentre, 1 / distance)
  const ray = rayThrough(framing, x, y)
  const aside = normalize(subtract(ray, scale(axis, dot(ray, axis))))
  const rim = Math.asin(Math.min(1, radius / distance))
  const angle = Math.acos(Math.min(1, dot(ray, axis)))
  const over = angle > rim
  const held = over ? Math.max(0, 2 * rim - angle) : angle
  const facesViewer = (side === 'near') !== over
  // Along the ray: the middle between both hits is distance·cos, half their gap √(r² − (distance·sin)²).
  const gap = Math.sqrt(Math.max(0, radius * radius - (distance * Math.sin(held)) ** 2))
  const along = distance * Math.cos(held) + (facesViewer ? -gap : gap)
  const hit = add(scale(axis, along * Math.cos(held)), scale(aside, along * Math.sin(held)))
  return normalize(subtract(hit, toCentre))
}

/** Azimuth (−180…180) and elevation of a unit direction, degrees: the inverse of `directionFrom`. */
export function anglesOf(direction: Vec3): { azimuthDegrees: number; elevationDegrees: number } {
  return {
    azimuthDegrees: (Math.atan2(direction[0], direction[2]) * 180) / Math.PI,
    elevationDegrees: (Math.asin(Math.max(-1, Math.min(1, direction[1]))) * 180) / Math.PI,
  }
}
