import { type Frame, frameTurned, type Point } from './signed-distance.ts'

/**
 * Joints of the sentinel, mm of the model. Contrapposto: the weight is on the right leg, so the right hip stands
 * high and the right shoulder low; hips turn one way, chest and head the other.
 */
export const CHEST: Frame = frameTurned([-0.15, 19.2, 0], 6, -5, -3)
export const HIPS: Frame = frameTurned([-0.1, 14.4, 0], -12, 5, 2)
export const HEAD: Frame = frameTurned([0.25, 25.1, 0.35], -24, -3, 4)

export const LEFT = {
  shoulder: [4.05, 21.6, 0.0],
  elbow: [6.5, 17.9, -0.9],
  wrist: [6.5, 16.7, 2.6],
  hand: [6.45, 16.4, 3.6],
  hip: [1.75, 12.8, 0.6],
  knee: [3.3, 9.5, 2.9],
  ankle: [3.75, 4.9, 1.9],
  toes: [5.2, 3.75, 4.7],
} as const satisfies Record<string, Point>

export const RIGHT = {
  shoulder: [-4.15, 21.0, 0.2],
  elbow: [-6.75, 17.3, -0.7],
  wrist: [-7.0, 18.6, 2.7],
  hand: [-6.9, 19.0, 3.65],
  hip: [-1.75, 12.9, -0.1],
  knee: [-2.75, 8.6, 0.45],
  ankle: [-3.2, 3.6, -0.7],
  toes: [-4.9, 2.6, 2.1],
} as const satisfies Record<string, Point>

/** The glaive's shaft: from the butt on the ground through the right hand. */
export const SHAFT = { butt: [-7.15, 1.6, 5.0], top: [-6.75, 27.2, 3.05] } as const satisfies Record<string, Point>
