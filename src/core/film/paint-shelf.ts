import type { Paint } from '../recipe/recipe.ts'

/**
 * Starter paints, described by pigment. Amounts are shares of full-strength paint of that pigment; hobby paints carry
 * white so that they cover. Invented for a start: no one's paints, and no measurement.
 */
export const PAINT_SHELF: readonly Paint[] = [
  shelf('black', 'Black', [['PBk7', 0.9]]),
  shelf('white', 'White', [['PW6', 1]]),
  shelf('warm_grey', 'Warm grey', [
    ['PW6', 0.6],
    ['PBk9', 0.3],
    ['PBr7 raw umber', 0.1],
  ]),
  shelf('cold_blue', 'Cold blue', [
    ['PB29', 0.7],
    ['PB15:4', 0.12],
    ['PW6', 0.12],
  ]),
  shelf('deep_blue', 'Deep blue', [
    ['PB29', 0.7],
    ['PB15:4', 0.3],
  ]),
  shelf('sea_green', 'Sea green', [
    ['PG7', 0.5],
    ['PY74', 0.3],
    ['PW6', 0.1],
  ]),
  shelf('leaf_green', 'Leaf green', [
    ['PG17', 0.7],
    ['PY74', 0.3],
  ]),
  shelf('clear_red', 'Transparent red', [['PR122', 0.6]]),
  shelf('bright_red', 'Covering red', [
    ['PR254', 0.8],
    ['PR101', 0.1],
  ]),
  shelf('violet', 'Violet', [
    ['PV23', 0.25],
    ['PV19', 0.5],
  ]),
  shelf('yellow', 'Yellow', [
    ['PY74', 0.8],
    ['PW6', 0.05],
  ]),
  shelf('ochre', 'Ochre', [['PY43', 0.9]]),
  shelf('leather', 'Leather brown', [
    ['PBr7 burnt sienna', 0.6],
    ['PBr7 burnt umber', 0.2],
    ['PW6', 0.04],
  ]),
  shelf('bone', 'Bone', [
    ['PW6', 0.7],
    ['PY43', 0.25],
  ]),
  shelf('orange', 'Orange', [['PO73', 0.8]]),
  shelf('slate', 'Slate', [
    ['PB29', 0.5],
    ['PBk9', 0.4],
    ['PW6', 0.06],
  ]),
  metal('warm_metal', 'Warm metal', '#b1935a'),
  metal('cold_metal', 'Cold metal', '#9ea3a6'),
]

function shelf(id: string, name: string, pigments: readonly (readonly [ci: string, amount: number])[]): Paint {
  return {
    id,
    name,
    volumeSolids: 0.35,
    dropletUm: 0.39,
    body: { kind: 'pigments', pigments: pigments.map(([ci, amount]) => ({ ci, amount })) },
  }
}

function metal(id: string, name: string, hex: string): Paint {
  return { ...shelf(id, name, []), body: { kind: 'metallic', hex } }
}
