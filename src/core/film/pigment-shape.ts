import { BAND_NM } from '../colour/bands.ts'

/**
 * Our own description of a pigment: fourteen numbers. Absorption is a floor with three Gaussian bands in ln K,
 * scattering a floor with one band (or dip) in ln S; x = (λ − 550 nm)/150. Smooth between the 16 bands and tame beyond
 * them. 1/µm of dry film of paint at full strength, internal (see saunderson.ts).
 */
export interface PigmentShape {
  /** ln K = floor + Σ height·exp(−((x − centre)/width)²/2) */
  readonly absorptionFloor: number
  readonly absorptionBands: readonly ShapeBand[]
  /** ln S likewise. */
  readonly scatteringFloor: number
  readonly scatteringBand: ShapeBand
}

/** In ln K or ln S; centre and width in x. */
export type ShapeBand = readonly [height: number, centre: number, width: number]

export function shapeAt(shape: PigmentShape, nm: number): { k: number; s: number } {
  const x = (nm - 550) / 150
  const lnK = shape.absorptionBands.reduce((sum, band) => sum + bandAt(band, x), shape.absorptionFloor)
  return { k: Math.exp(lnK), s: Math.exp(shape.scatteringFloor + bandAt(shape.scatteringBand, x)) }
}

const bandAt = ([height, centre, width]: ShapeBand, x: number): number =>
  height * Math.exp(-(((x - centre) / width) ** 2) / 2)

/** K and S at the 16 bands. */
export function shapeAtBands(shape: PigmentShape): { absorption: Float64Array; scattering: Float64Array } {
  const at = BAND_NM.map(nm => shapeAt(shape, nm))
  return { absorption: Float64Array.from(at, v => v.k), scattering: Float64Array.from(at, v => v.s) }
}
