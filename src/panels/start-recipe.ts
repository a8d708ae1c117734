import { PAINT_SHELF } from '../core/film/paint-shelf.ts'
import { DROP_ML } from '../core/recipe/drops.ts'
import type { EvenCoat, MistCoat, Recipe, Torch } from '../core/recipe/recipe.ts'
import { TORCH_DEFAULTS } from '../core/recipe/torch-sets.ts'
import { WHITE_PRESHADE } from '../core/spray/airbrush-settings.ts'

/** The recipe a beginner builds: black, white from the front, white from the back, one colour over it. */
export const START_PASSES = 10

const BLACK = 'black'
const WHITE = 'white'
const BLUE = 'cold_blue'

/** Thin enough that the greys read through it. */
export const START_THIN_UM = 0.6

export const START_PRESHADE = 'coat_start_1'
export const START_FRONT = 'torch_start_1'
export const START_BACK = 'torch_start_2'
export const START_COLOUR = 'coat_start_2'

export const blackFigure = (): Recipe => ({
  name: 'First steps',
  primer: { paint: BLACK, thicknessUm: 15 },
  coats: [],
  preshadeEnd: null,
  paints: PAINT_SHELF.filter(paint => [BLACK, WHITE, BLUE].includes(paint.id)),
  dropMl: DROP_ML,
  calibration: null,
  notes: '',
})

const torch = (id: string, name: string, azimuthDegrees: number, passes: number): Torch => ({
  ...TORCH_DEFAULTS,
  id,
  name,
  azimuthDegrees,
  // Steep enough that undersides stay dark, rolled so that the flanks do not.
  elevationDegrees: 60,
  rollDegrees: 25,
  passes,
})

const preshade = (torches: readonly Torch[]): MistCoat => ({
  id: START_PRESHADE,
  name: 'Pre-shade',
  kind: 'mist',
  hidden: false,
  paint: WHITE,
  mix: WHITE_PRESHADE.mix,
  parts: {},
  torches,
  airbrush: WHITE_PRESHADE.airbrush,
})

/** @param passes done so far from the front and, once that stands, from the back; null before it began */
export function sprayed(front: number, back: number | null): Recipe {
  const torches = [torch(START_FRONT, 'Front', 0, front)]
  if (back !== null) torches.push(torch(START_BACK, 'Back', 180, back))
  return { ...blackFigure(), coats: [preshade(torches)] }
}

export function coloured(thicknessUm: number): Recipe {
  const colour: EvenCoat = {
    id: START_COLOUR,
    name: 'Blue',
    kind: 'even',
    hidden: false,
    paint: BLUE,
    mix: { paintDrops: 1, thinnerDrops: 3, mediumDrops: 0 },
    parts: {},
    thicknessUm,
  }
  const base = sprayed(START_PASSES, START_PASSES)
  return { ...base, coats: [...base.coats, colour], preshadeEnd: START_PRESHADE }
}
