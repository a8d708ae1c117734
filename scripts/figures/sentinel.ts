import { body } from './sentinel-body.ts'
import { cloak, pack } from './sentinel-cloak.ts'
import { base, glaive, shield } from './sentinel-gear.ts'
import { head, helmet, leftShoulderPlate, rightShoulderPlate } from './sentinel-head.ts'
import type { Point, Solid } from './signed-distance.ts'

/** One piece of the figure: its solid, the box it stands in, and how finely it is cut. Lengths in mm of the model. */
export interface ModelPart {
  readonly name: string
  readonly solid: Solid
  readonly low: Point
  readonly high: Point
  readonly cell: number
  readonly toleranceMm: number
  readonly steepest?: number
}

/**
 * The sentinel, part by part: an armoured guard on a cobbled base, weight on the right leg, left foot on a rock,
 * glaive planted, shield before the left flank. +y up, +z front, +x the sentinel's left; soles at y = 2.
 *
 * Each part is a finished solid of its own and reaches a little into its neighbours: whichever parts
 * are left off, no hole shows.
 */
export const SENTINEL: readonly ModelPart[] = [
  { name: 'Body', solid: body, low: [-9.5, 1, -5], high: [9.5, 26, 7], cell: 0.14, toleranceMm: 0.006 },
  { name: 'Head', solid: head, low: [-3.5, 21, -3.5], high: [4, 28.5, 4], cell: 0.12, toleranceMm: 0.0045 },
  { name: 'Helmet', solid: helmet, low: [-3.5, 22, -4.5], high: [3.5, 31.5, 4], cell: 0.11, toleranceMm: 0.0037 },
  {
    name: 'Left shoulder plate',
    solid: leftShoulderPlate,
    low: [1, 17, -4],
    high: [8.5, 25.5, 4.5],
    cell: 0.14,
    toleranceMm: 0.0045,
  },
  {
    name: 'Right shoulder plate',
    solid: rightShoulderPlate,
    low: [-8.5, 17, -4],
    high: [-1, 26, 4.5],
    cell: 0.14,
    toleranceMm: 0.0045,
  },
  {
    name: 'Cloak',
    solid: cloak,
    low: [-14.5, 1.5, -12],
    high: [9, 26, 4.5],
    cell: 0.2,
    toleranceMm: 0.0068,
    steepest: 3.5,
  },
  { name: 'Pack', solid: pack, low: [-5, 12, -9], high: [5, 25, -1], cell: 0.15, toleranceMm: 0.0052 },
  { name: 'Shield', solid: shield, low: [0, 5, -1], high: [12, 23, 9], cell: 0.16, toleranceMm: 0.0052 },
  { name: 'Glaive', solid: glaive, low: [-10, 1, 1], high: [-4, 38, 7], cell: 0.13, toleranceMm: 0.0045 },
  {
    name: 'Base',
    solid: base,
    low: [-14.5, -0.6, -14.5],
    high: [14.5, 6, 14.5],
    cell: 0.2,
    toleranceMm: 0.009,
    steepest: 2.5,
  },
]
