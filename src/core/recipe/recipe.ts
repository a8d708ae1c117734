import type { LinearRgb } from '../colour/srgb.ts'
import type { Vec3 } from '../vec3.ts'

/**
 * A recipe: primer, coats in order, the torches that spray them, the paints they use. Plain data, portable: put on
 * another figure, aim points scale with its height and nozzle distances stay in mm.
 */
export interface Recipe {
  readonly name: string
  readonly primer: Primer
  /** Bottom first. */
  readonly coats: readonly Coat[]
  /** The coat that ends the pre-shade; null means 'the last achromatic coat before a coloured one'. */
  readonly preshadeEnd: CoatId | null
  /** Paints the coats use, by id: own copies, so that a recipe stands alone. */
  readonly paints: readonly Paint[]
  /** What one drop of each holds, mL: droppers and liquids differ by a factor of two. */
  readonly dropMl: DropSizes
  /** The airbrush that sprays it as measured on card; null: micrometres are estimates. */
  readonly calibration: Calibration | null
  readonly notes: string
}

export interface DropSizes {
  readonly paint: number
  readonly thinner: number
  readonly medium: number
}

/** What was measured on black card, and what follows from it. */
export interface Calibration {
  /** A dot sprayed at rest: distance, and the diameter that holds nearly all of it (90 %). */
  readonly dot: { readonly distanceMm: number; readonly diameterMm: number }
  /** A line sprayed over one place: so many passes reached this L*. */
  readonly line: {
    readonly distanceMm: number
    readonly sweepMmPerS: number
    readonly mix: Mix
    readonly passes: number
    readonly lStar: number
  }
  /** σ / distance. */
  readonly spread: number
  readonly flowMm3PerS: number
}

export type CoatId = string
export type TorchId = string
export type PaintId = string
export type PartId = string

/** The opaque ground under everything. */
export interface Primer {
  readonly paint: PaintId
  readonly thicknessUm: number
}

interface CoatBase {
  readonly id: CoatId
  readonly name: string
  readonly hidden: boolean
  /** Parts not named here are 'on'. */
  readonly parts: Readonly<Record<PartId, PartState>>
}

interface PaintCoatBase extends CoatBase {
  readonly paint: PaintId
  readonly mix: Mix
}

/** Sprayed by torches. */
export interface MistCoat extends PaintCoatBase {
  readonly kind: 'mist'
  readonly torches: readonly Torch[]
  readonly airbrush: Airbrush
}

/** All over, one thickness. */
export interface EvenCoat extends PaintCoatBase {
  readonly kind: 'even'
  /** Dry film, µm. */
  readonly thicknessUm: number
}

/** Clear, all over: changes how the surface shines, and so how dark it all looks. */
export interface VarnishCoat extends CoatBase {
  readonly kind: 'varnish'
  readonly finish: Finish
}

export type Finish = 'gloss' | 'satin' | 'matt'

/** Coats that lay pigment down. */
export type PaintCoat = MistCoat | EvenCoat
export type Coat = PaintCoat | VarnishCoat

/** on: receives and shadows. apart: receives at its assembled place, shadowed only by itself, shadows nothing. absent: neither. */
export type PartState = 'on' | 'apart' | 'absent'

/** Drops of each; whole drops in the recipe. Thinner evaporates; medium stays as clear film. */
export interface Mix {
  readonly paintDrops: number
  readonly thinnerDrops: number
  readonly mediumDrops: number
}

/** How the airbrush is set for a coat. Defaults, ranges and which are from a source: airbrush-settings.ts. */
export interface Airbrush {
  readonly needleMm: number
  readonly pressureBar: number
  /** Liquid that leaves the nozzle, mm³/s. */
  readonly flowMm3PerS: number
  /** Speed of the sweep over the figure, mm/s. */
  readonly sweepMmPerS: number
  /** Share of the flow that travels in the beam and sticks where it hits, 0…1. */
  readonly transfer: number
  /** Share of the beam that arrives from everywhere, 0…0.15: fine mist that follows the air into recesses. */
  readonly diffuseShare: number
}

/**
 * One spray source. Its nozzle stands `distanceMm` from the aim point in the direction (azimuth, elevation), seen from
 * the figure: azimuth 0 in front, 90 at the figure's left, 180 behind; elevation 0 level, 90 straight above.
 */
export interface Torch {
  readonly id: TorchId
  readonly name: string
  readonly muted: boolean
  /** As shares of the figure's height from the middle of its base: (0, 0.5, 0) is half way up. */
  readonly aim: Vec3
  readonly azimuthDegrees: number
  readonly elevationDegrees: number
  readonly distanceMm: number
  readonly pattern: TorchPattern
  /** Beam spread s = σ / distance of the Gaussian footprint; 0.05 to 0.12 for a round nozzle. */
  readonly spread: number
  /** While sweeping, the figure is turned this far both ways about its upright axis, evenly; 0 to 180. */
  readonly rollDegrees: number
  readonly sweep: Sweep
  /** One pass covers the whole figure (or the area) once from this direction. */
  readonly passes: number
  /** The torch this one mirrors (same distance, spread, elevation, roll, passes; azimuth + 180), or null. */
  readonly linkedTo: TorchId | null
}

/** How the beam fades from its axis: softly, as a parabola with an edge, or evenly up to an edge. */
export type TorchPattern = 'gaussian' | 'parabola' | 'cone'

/**
 * still: the nozzle rests, aimed at the aim point, for `secondsPerPass`.
 * figure: overlapping rows over the whole figure, square to the axis: in effect every place sees the whole beam pass by.
 * area: the same over a disc of `radiusMm` around the aim point.
 * stroke: the nozzle travels a level straight line of `lengthMm`, square to its axis, its middle in front of the aim point.
 * arc: the nozzle travels around the figure's upright axis through `spanDegrees`, always aimed at the aim point.
 */
export type Sweep =
  | { readonly kind: 'figure' }
  | { readonly kind: 'area'; readonly radiusMm: number }
  | { readonly kind: 'arc'; readonly spanDegrees: number }
  | { readonly kind: 'still'; readonly secondsPerPass: number }
  | { readonly kind: 'stroke'; readonly lengthMm: number }

/** What is in the pot: pigments by Colour Index name, or the user's own swatches. */
export interface Paint {
  readonly id: PaintId
  readonly name: string
  /** Solids by volume of the paint as it is in the pot, 0…1. */
  readonly volumeSolids: number
  /** Dry height of one droplet at two drops of thinner to one of paint, µm; 0 treats a mist as a film. */
  readonly dropletUm: number
  readonly body: PaintBody
}

export type PaintBody =
  /** Shares of the dry film by volume; they need not add up to 1, the rest is clear binder. */
  | { readonly kind: 'pigments'; readonly pigments: readonly { readonly ci: string; readonly amount: number }[] }
  /** One colour and a word for how well it covers: a guess until two swatches replace it. */
  | { readonly kind: 'quick'; readonly hex: string; readonly covering: 'see-through' | 'half' | 'covers' }
  /** Flakes of metal: an approximation, one opaque colour whose highlight is coloured. */
  | { readonly kind: 'metallic'; readonly hex: string }
  /** Absorption and scattering per µm of dry film at the 16 bands, found from swatches. */
  | {
      readonly kind: 'spectral'
      readonly absorption: readonly number[]
      readonly scattering: readonly number[]
      /** Where they come from, in a few words: 'two swatches, 6 µm'. */
      readonly basis: string
      /** What was typed or picked, to be edited again; null where they come from measured spectra. */
      readonly swatches: SwatchColours | null
    }

/** One film over a black and a white card, by colour: linear sRGB (D65) as seen, a matt surface included. */
export interface SwatchColours {
  readonly overBlack: LinearRgb
  readonly overWhite: LinearRgb
  readonly blackCard: LinearRgb
  readonly whiteCard: LinearRgb
  /** Dry film; null: nobody measured it. */
  readonly thicknessUm: number | null
}
