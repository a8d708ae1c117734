import type { Torch } from '../../src/core/recipe/recipe.ts'

/** From the front, 45° up, the figure rolled evenly by ±45°: half of the demo's pair. */
export const BENCH_TORCH: Torch = {
  id: 'front',
  name: 'front',
  muted: false,
  aim: [0, 0.5, 0],
  azimuthDegrees: 10,
  elevationDegrees: 45,
  distanceMm: 100,
  pattern: 'gaussian',
  spread: 0.075,
  rollDegrees: 45,
  sweep: { kind: 'figure' },
  passes: 4,
  linkedTo: null,
}
