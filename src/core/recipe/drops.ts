import type { DropSizes } from './recipe.ts'

/** One drop of water from a 3 mm dropper tip is 45 to 55 mg; paint and thinner are nearer 20 to 40. Source: USP <1101>. */
export const DROP_ML: DropSizes = { paint: 0.04, thinner: 0.04, medium: 0.04 }
