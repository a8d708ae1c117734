import type { Lamp as Illuminant } from '../core/colour/illuminants.ts'
import type { Placement, Refinement } from '../core/mesh/placement.ts'
import type { Recipe } from '../core/recipe/recipe.ts'

/**
 * Everything that is saved and undone: plain data, small (no vertex arrays), versioned in the file. Undo is a list of
 * these.
 */
export interface GreycoatDocument {
  readonly figure: FigureReference
  readonly recipe: Recipe
  readonly compare: Compare
  /** Where the picture is looked at from. Saved, but moving it is not an undo step. */
  readonly camera: Camera
  readonly look: Look
  readonly lamp: Lamp
  /** Exposure above `light` is light, below `dark` is dark. */
  readonly thresholds: { readonly light: number; readonly dark: number }
  /** Colours are shown as under this light; readings stay those under D65. */
  readonly illuminant: Illuminant
  /** Names the user gave to areas of the figure, and the areas meant to stay dark, by panel id. */
  readonly panels: {
    readonly names: Readonly<Record<string, string>>
    readonly meantDark: readonly string[]
  }
}

export interface FigureReference {
  readonly source:
    | { readonly kind: 'built-in'; readonly name: string }
    | { readonly kind: 'file'; readonly fileName: string; readonly sha256: string }
  readonly placement: Placement
  readonly refinement: Refinement
}

/** What stands beside the recipe. */
export type Compare =
  | { readonly kind: 'off' }
  /** The same coats over one grey. */
  | ({ readonly kind: 'flat'; readonly arrangement: Arrangement } & FlatBase)
  /** Another recipe's coats over its own base, or over one grey in the place of that. */
  | {
      readonly kind: 'recipe'
      readonly arrangement: Arrangement
      readonly recipe: Recipe
      readonly flat?: FlatBase | undefined
    }

/** One grey under the coats in the place of primer and pre-shade. null: the pre-shade's mean luminance. */
export interface FlatBase {
  readonly greyY: number | null
}

/** The grey under what is compared with; null: it stands over a base of its own, or nothing is compared. */
export function flatBaseOf(compare: Compare): FlatBase | null {
  if (compare.kind === 'off') return null
  return compare.kind === 'flat' ? compare : (compare.flat ?? null)
}

/** One picture with a movable seam (share of its width from the left), or two linked views. */
export type Arrangement = { readonly kind: 'seam'; readonly at: number } | { readonly kind: 'side-by-side' }

export interface Camera {
  readonly view: NamedView | 'free'
  readonly azimuthDegrees: number
  readonly elevationDegrees: number
  /** From the middle of the figure, mm. */
  readonly distanceMm: number
  /** Looked-at point as shares of the figure's height from the middle of its base. */
  readonly target: readonly [number, number, number]
}

export type NamedView = 'table' | 'hand' | 'shelf' | 'underneath' | 'front' | 'back' | 'left' | 'right'

/**
 * painted: the paint alone. value: its L* as grey. steps: value in bands. deposit: build-up of one coat in µm.
 * isolines: lines of equal exposure of the pre-shade over the values. difference: how far the two sides are apart.
 */
export type Look =
  | { readonly kind: 'painted' }
  | { readonly kind: 'value' }
  | { readonly kind: 'steps'; readonly count: number }
  | { readonly kind: 'deposit'; readonly coat: string | null }
  | { readonly kind: 'isolines' }
  | { readonly kind: 'difference' }

/** flat: colours as painted, no shading. lamp: lit from a direction, for a look only; readings never use it. */
export type Lamp =
  | { readonly kind: 'flat' }
  | { readonly kind: 'lamp'; readonly azimuthDegrees: number; readonly elevationDegrees: number }
