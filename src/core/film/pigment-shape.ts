import { BAND_NM } from '../colour/bands.ts'

/**
 * Our own description of a pigment: absorption as a sloped floor with up to three Gaussian bands in ln K, scattering
 * as a quadratic in ln S; x = (λ − 550 nm)/150. Fourteen numbers, smooth between and beyond the bands. 1/µm of dry
 * film of paint at full strength, internal (see saunderson.ts).
 */
export interface PigmentShape {
  /** ln K = k[0] + k[1]·x + Σ height·exp(−((x − centre)/width)²/2) */
  readonly absorptionFloor: readonly [number, number]
  /** height, centre, width of each, in x. */
  readonly absorptionBands: readonly (readonly [number, number, number])[]
  /** ln S = s[0] + s[1]·x + s[2]·x² */
  readonly scattering: readonly [number, number, number]
}

export function shapeAt(
  { absorptionFloor, absorptionBands, scattering }: PigmentShape,
  nm: number,
): { k: number; s: number } {
  const x = (nm - 550) / 150
  let lnK = absorptionFloor[0] + absorptionFloor[1] * x
  for (const [height, centre, width] of absorptionBands) lnK += height * Math.exp(-(((x - centre) / width) ** 2) / 2)
  return { k: Math.exp(lnK), s: Math.exp(scattering[0] + scattering[1] * x + scattering[2] * x * x) }
}

/** K and S at the 16 bands. */
export function shapeAtBands(shape: PigmentShape): { absorption: Float64Array; scattering: Float64Array } {
  const at = BAND_NM.map(nm => shapeAt(shape, nm))
  return { absorption: Float64Array.from(at, v => v.k), scattering: Float64Array.from(at, v => v.s) }
}
