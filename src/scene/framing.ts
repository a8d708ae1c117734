import { add, cross, directionFrom, dot, length, normalize, scale, subtract, type Vec3 } from '../core/vec3.ts'
import type { Camera } from '../document/document.ts'
import type { FigureOutline } from './figure-outline.ts'

/** One pane's perspective: the eye of the document's camera, and how much of the figure's surroundings it takes in. */
export interface Framing {
  readonly eye: Vec3
  readonly target: Vec3
  /** Right-handed, unit: to the right on screen, up on screen, towards the viewer. */
  readonly right: Vec3
  readonly up: Vec3
  readonly back: Vec3
  readonly distanceMm: number
  /** Height of the pane's middle over the line of sight to the target, at distance 1: the lens is shifted, not tilted. */
  readonly shiftUp: number
  /** Half the pane's height at distance 1. */
  readonly tanHalfHeight: number
  /** Width over height of the pane. */
  readonly aspect: number
}

/** Size of the pane over the size of the figure that fills it. */
const MARGIN = 1.1

/**
 * The eye stands where the camera says, in real millimetres, and the lens is chosen so that the figure fills the pane:
 * the perspective of 1 m and of 30 cm differ, the size on screen does not.
 * @param zoom 1 fits the figure, 2 shows it twice as large
 */
export function framingOf(camera: Camera, outline: FigureOutline, aspect: number, zoom: number): Framing {
  const back = directionFrom(camera.azimuthDegrees, camera.elevationDegrees)
  const azimuth = (camera.azimuthDegrees * Math.PI) / 180
  const right: Vec3 = [Math.cos(azimuth), 0, -Math.sin(azimuth)]
  const target = scale(camera.target, outline.heightMm)
  const { top, bottom, side } = fieldOf(outline, camera)
  return {
    eye: add(target, scale(back, camera.distanceMm)),
    target,
    right,
    up: cross(back, right),
    back,
    distanceMm: camera.distanceMm,
    shiftUp: (top + bottom) / 2,
    tanHalfHeight: (MARGIN * Math.max((top - bottom) / 2, side / aspect)) / zoom,
    aspect,
  }
}

/**
 * Tangents of what the turned outline covers, seen from the camera's elevation and distance towards the figure's
 * middle: independent of azimuth, so that the picture does not breathe while it is turned.
 */
function fieldOf({ heightMm, radiiMm }: FigureOutline, camera: Camera): { top: number; bottom: number; side: number } {
  const cos = Math.cos((camera.elevationDegrees * Math.PI) / 180)
  const sin = Math.sin((camera.elevationDegrees * Math.PI) / 180)
  const field = { top: Number.NEGATIVE_INFINITY, bottom: Number.POSITIVE_INFINITY, side: 0 }
  radiiMm.forEach((radius, slab) => {
    if (radius === 0) return
    for (const edge of [slab, slab + 1]) {
      const y = (edge / radiiMm.length - 0.5) * heightMm
      const middle = Math.max(camera.distanceMm - y * sin, camera.distanceMm / 4)
      // The widest point of a level circle in perspective is where the line of sight touches it.
      const touching = Math.max(middle ** 2 - (radius * cos) ** 2, (camera.distanceMm / 4) ** 2)
      field.side = Math.max(field.side, radius / Math.sqrt(touching))
      for (const towards of [-radius, radius]) {
        // An eye within the outline sees it all around; a quarter of the way is as near as the lens is fitted for.
        const depth = Math.max(camera.distanceMm - y * sin - towards * cos, camera.distanceMm / 4)
        const height = (y * cos - towards * sin) / depth
        field.top = Math.max(field.top, height)
        field.bottom = Math.min(field.bottom, height)
      }
    }
  })
  return field.side > 0 ? field : { top: 0.1, bottom: -0.1, side: 0.1 }
}

/** Where a point is seen: x, y −1…1 from left and bottom; depth along the view in mm, ≤ 0 behind the eye. */
export function project(framing: Framing, point: Vec3): { x: number; y: number; depth: number } {
  const from = subtract(point, framing.eye)
  const depth = -dot(from, framing.back)
  const halfHeight = depth * framing.tanHalfHeight
  const above = dot(from, framing.up) - depth * framing.shiftUp
  return { x: dot(from, framing.right) / (halfHeight * framing.aspect), y: above / halfHeight, depth }
}

/** Unit direction from the eye through a place of the pane. */
export function rayThrough(framing: Framing, x: number, y: number): Vec3 {
  const { right, up, back, tanHalfHeight, shiftUp, aspect } = framing
  return normalize(
    subtract(add(scale(right, x * tanHalfHeight * aspect), scale(up, y * tanHalfHeight + shiftUp)), back),
  )
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
