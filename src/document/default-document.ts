import { type Placement, REFINEMENT_DEFAULTS } from '../core/mesh/placement.ts'
import { demoRecipe } from '../core/recipe/demo-recipe.ts'
import type { GreycoatDocument } from './document.ts'
import { NAMED_VIEWS } from './named-views.ts'

/** The built-in figure that stands on the page when nobody has opened one. */
export const DEMO_FIGURE = 'sentinel'

/** As glTF states it: +y up, +z the front. */
export const BUILT_IN_PLACEMENT: Placement = { up: '+y', front: '+z', heightMm: 32, unit: 'm' }

export const defaultDocument = (): GreycoatDocument => ({
  figure: {
    source: { kind: 'built-in', name: DEMO_FIGURE },
    placement: BUILT_IN_PLACEMENT,
    refinement: REFINEMENT_DEFAULTS,
  },
  recipe: demoRecipe(),
  compare: { kind: 'off' },
  camera: NAMED_VIEWS.hand,
  look: { kind: 'painted' },
  lamp: { kind: 'flat' },
  thresholds: { light: 0.5, dark: 0.1 },
  illuminant: 'D65',
  panels: { names: {}, meantDark: [] },
})
