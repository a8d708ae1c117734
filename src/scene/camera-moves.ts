import { add, scale } from '../core/vec3.ts'
import type { Camera } from '../document/document.ts'
import type { Framing } from './framing.ts'

/** Just short of straight above and below, where azimuth would lose its meaning to the hand. */
const STEEPEST_DEGREES = 89

export const ZOOM_RANGE = [0.25, 24] as const

export function orbited(camera: Camera, azimuthBy: number, elevationBy: number): Camera {
  return {
    ...camera,
    view: 'free',
    azimuthDegrees: wrapDegrees(camera.azimuthDegrees + azimuthBy),
    elevationDegrees: clamp(camera.elevationDegrees + elevationBy, -STEEPEST_DEGREES, STEEPEST_DEGREES),
  }
}

/** The looked-at point moves by so many millimetres right and up on screen. */
export function panned(camera: Camera, framing: Framing, rightMm: number, upMm: number, heightMm: number): Camera {
  const by = scale(add(scale(framing.right, rightMm), scale(framing.up, upMm)), 1 / heightMm)
  const moved = add(camera.target, by)
  const within = (x: number, middle: number) => clamp(x, middle - 1.5, middle + 1.5)
  return { ...camera, view: 'free', target: [within(moved[0], 0), within(moved[1], 0.5), within(moved[2], 0)] }
}

export const zoomed = (zoom: number, by: number): number => clamp(zoom * by, ...ZOOM_RANGE)

/** Between two cameras, the short way round; distance by its logarithm. @param share 0…1 */
export function between(from: Camera, to: Camera, share: number): Camera {
  const mix = (a: number, b: number) => a + (b - a) * share
  return {
    view: to.view,
    azimuthDegrees: wrapDegrees(from.azimuthDegrees + wrapDegrees(to.azimuthDegrees - from.azimuthDegrees) * share),
    elevationDegrees: mix(from.elevationDegrees, to.elevationDegrees),
    distanceMm: from.distanceMm * (to.distanceMm / from.distanceMm) ** share,
    target: [mix(from.target[0], to.target[0]), mix(from.target[1], to.target[1]), mix(from.target[2], to.target[2])],
  }
}

/** −180 (exclusive) … 180. */
export function wrapDegrees(degrees: number): number {
  const turned = ((degrees % 360) + 360) % 360
  return turned > 180 ? turned - 360 : turned
}

/** Arrow keys as steps right and up on screen. */
export const ARROWS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, 1],
  ArrowDown: [0, -1],
}

export const clamp = (x: number, low: number, high: number): number => Math.min(high, Math.max(low, x))
