import type { Torch } from '../recipe/recipe.ts'
import type { Vec3 } from '../vec3.ts'
import type { Emitter } from './emitters.ts'

/** For tests: a torch in front, 45° up, that sweeps the whole figure. */
export const TORCH: Torch = {
  id: 'front',
  name: 'front',
  muted: false,
  aim: [0, 0.5, 0],
  azimuthDegrees: 0,
  elevationDegrees: 45,
  distanceMm: 80,
  pattern: 'gaussian',
  spread: 0.075,
  rollDegrees: 0,
  sweep: { kind: 'figure' },
  passes: 1,
  linkedTo: null,
}

export const parallelFrom = (toward: Vec3): Emitter => ({ kind: 'parallel', toward, weight: 1 })

/** A point that sprays alike in every direction of a wide cone, weighted so that the kernel is cos γ / d². */
export const pointAt = (position: Vec3, aim: Vec3, halfAngleDegrees = 80): Emitter => ({
  kind: 'nozzle',
  position,
  aim,
  pattern: { kind: 'cone', halfAngleDegrees },
  weight: 2 * Math.PI * (1 - Math.cos((halfAngleDegrees * Math.PI) / 180)),
})
