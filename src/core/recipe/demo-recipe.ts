import { PAINT_SHELF } from '../film/paint-shelf.ts'
import { WHITE_PRESHADE } from '../spray/airbrush-settings.ts'
import { DROP_ML } from './drops.ts'
import type { Airbrush, Recipe, Torch } from './recipe.ts'
import { TORCH_DEFAULTS, torchSet } from './torch-sets.ts'

/** The blue goes on with the finest needle that a base coat passes. From memory. */
const GLAZE_AIRBRUSH: Airbrush = { ...WHITE_PRESHADE.airbrush, needleMm: 0.3, pressureBar: 1.24, flowMm3PerS: 6 }

/**
 * The demo's own scenario: a squad in cold blue. Black primer, a white pre-shade from the front and the back, a blue
 * thin enough that the greys read through, and a deeper blue from below, into the shadows.
 */
export function demoRecipe(): Recipe {
  let count = 0
  const nextId = (prefix: string) => `${prefix}_${++count}`
  const shelf = (id: string) => {
    const paint = PAINT_SHELF.find(p => p.id === id)
    if (!paint) throw new Error(`the shelf has no paint ${id}`)
    return paint
  }
  const frontAndBack = (patch: Partial<Torch>) =>
    torchSet('front-and-back', nextId).map(torch => ({ ...torch, ...patch }))
  const below: Torch = {
    ...TORCH_DEFAULTS,
    id: nextId('torch'),
    name: 'From below',
    azimuthDegrees: 0,
    elevationDegrees: -25,
    rollDegrees: 120,
    passes: 3,
  }
  return {
    name: 'Cold blue squad',
    primer: { paint: 'black', thicknessUm: 15 },
    coats: [
      {
        kind: 'mist',
        id: 'coat_1',
        name: 'White pre-shade',
        hidden: false,
        paint: 'white',
        mix: WHITE_PRESHADE.mix,
        parts: {},
        // Steeper and with less roll than the ready-made set, so that flanks and undersides keep their dark.
        torches: frontAndBack({ elevationDegrees: 60, rollDegrees: 25, passes: 12 }),
        airbrush: { ...WHITE_PRESHADE.airbrush, flowMm3PerS: 12 },
      },
      {
        kind: 'mist',
        id: 'coat_2',
        name: 'Cold blue',
        hidden: false,
        paint: 'cold_blue',
        mix: { paintDrops: 1, thinnerDrops: 3, mediumDrops: 0 },
        parts: {},
        torches: frontAndBack({ passes: 4 }),
        airbrush: GLAZE_AIRBRUSH,
      },
      {
        kind: 'mist',
        id: 'coat_3',
        name: 'Deep blue shadows',
        hidden: false,
        paint: 'deep_blue',
        mix: { paintDrops: 1, thinnerDrops: 4, mediumDrops: 0 },
        parts: {},
        torches: [below],
        airbrush: GLAZE_AIRBRUSH,
      },
    ],
    preshadeEnd: null,
    paints: ['black', 'white', 'cold_blue', 'deep_blue'].map(shelf),
    dropMl: DROP_ML,
    calibration: null,
    notes: '',
  }
}
