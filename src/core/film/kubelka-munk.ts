/**
 * One film of thickness X with absorption K and scattering S, at one wavelength; everything internal (inside the film,
 * no air surface). R: reflectance over black; T: transmittance.
 *
 * Source: P. Kubelka, J. Opt. Soc. Am. 38 (1948) 448, rearranged so that nothing divides by S or K: with
 * κ = √(K(K+2S)), t = tanh(κX)/κ and D = 1 + (K+S)t, R = S·t/D and T = sech(κX)/D. The clear film (S = 0: T = e^−KX),
 * the lossless one (K = 0: R = SX/(1+SX)) and no film at all are ordinary points.
 */
export interface Film {
  readonly reflectance: number
  readonly transmittance: number
}

/**
 * @param absorption K, 1/µm, ≥ 0
 * @param scattering S, 1/µm, ≥ 0
 * @param thicknessUm X, ≥ 0
 */
export function film(absorption: number, scattering: number, thicknessUm: number): Film {
  const kappa = Math.sqrt(absorption * (absorption + 2 * scattering))
  const z = kappa * thicknessUm
  // Below 0.05 the series is exact to 1e-9 and never divides 0 by 0.
  const t = z < 0.05 ? thicknessUm * (1 - (z * z) / 3 + (2 * z ** 4) / 15) : Math.tanh(z) / kappa
  const d = 1 + (absorption + scattering) * t
  const e = Math.exp(-z)
  return { reflectance: (scattering * t) / d, transmittance: (2 * e) / (1 + e * e) / d }
}

/** Reflectance of a film in optical contact with a backing. Source: Kubelka, J. Opt. Soc. Am. 44 (1954) 330. */
export const over = ({ reflectance, transmittance }: Film, backing: number): number =>
  // The divisor is 0 where a film and its backing both send all light back: then nothing is left to pass.
  reflectance + (transmittance * transmittance * backing) / (1 - reflectance * backing || 1)

/** Reflectance of an endlessly thick film: 1 + K/S − √((K/S)² + 2K/S), written so that S = 0 gives 0. */
export function opaqueReflectance(absorption: number, scattering: number): number {
  if (scattering === 0) return 0
  return scattering / (absorption + scattering + Math.sqrt(absorption * (absorption + 2 * scattering)))
}
