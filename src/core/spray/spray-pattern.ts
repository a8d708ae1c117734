import { unreachable } from '../unreachable.ts'

/**
 * How the beam spreads: an angular density p(θ) per steradian around the axis, ∫ p dΩ = 1.
 *
 *   gaussian  Gaussian footprint on the plane square to the axis at every distance; s = σ / distance
 *   beta      footprint (1 − (r/R)²)^(b−1), R = edgeTan · distance; b = 2 is the parabola
 *   cone      uniform in solid angle inside a half-angle
 *
 * Source: footprints of Antonio 1994 and Balkan & Arikan 1999; the factor 1/cos³θ turns 'per area of the reference
 * plane' into 'per steradian' (derived in docs/models/spray.md, tests C4 to C6).
 */
export type SprayPattern =
  | { readonly kind: 'gaussian'; readonly s: number }
  | { readonly kind: 'beta'; readonly edgeTan: number; readonly b: number }
  | { readonly kind: 'cone'; readonly halfAngleDegrees: number }

const cosOfHalfAngle = (degrees: number) => Math.cos((degrees * Math.PI) / 180)

/**
 * @param cosTheta cosine of the angle off the axis, −1…1
 * @returns p(θ) in 1/sr; 0 behind the nozzle
 */
export function densityPerSr(pattern: SprayPattern, cosTheta: number): number {
  if (cosTheta <= 0) return 0
  const cos2 = cosTheta * cosTheta
  const tan2 = (1 - cos2) / cos2
  switch (pattern.kind) {
    case 'gaussian': {
      const variance = pattern.s * pattern.s
      return Math.exp(-tan2 / (2 * variance)) / (2 * Math.PI * variance * cos2 * cosTheta)
    }
    case 'beta': {
      const edge2 = pattern.edgeTan * pattern.edgeTan
      if (tan2 >= edge2) return 0
      return (pattern.b / (Math.PI * edge2 * cos2 * cosTheta)) * (1 - tan2 / edge2) ** (pattern.b - 1)
    }
    case 'cone': {
      const edge = cosOfHalfAngle(pattern.halfAngleDegrees)
      return cosTheta >= edge ? 1 / (2 * Math.PI * (1 - edge)) : 0
    }
    default:
      return unreachable(pattern)
  }
}

/**
 * Inverse of the beam's radial distribution.
 * @param share 0…1 (exclusive of 1 for the Gaussian, whose tail has no end)
 * @returns tan θ of the cone that holds that share of the flow
 */
export function tanHolding(pattern: SprayPattern, share: number): number {
  switch (pattern.kind) {
    case 'gaussian':
      return pattern.s * Math.sqrt(-2 * Math.log1p(-share))
    case 'beta':
      return pattern.edgeTan * Math.sqrt(1 - (1 - share) ** (1 / pattern.b))
    case 'cone': {
      const cos = 1 - share * (1 - cosOfHalfAngle(pattern.halfAngleDegrees))
      return Math.sqrt(1 - cos * cos) / cos
    }
    default:
      return unreachable(pattern)
  }
}

/** Share of the flow inside the cone with this tan θ: the distribution that `tanHolding` inverts. */
export function shareWithin(pattern: SprayPattern, tan: number): number {
  switch (pattern.kind) {
    case 'gaussian':
      return -Math.expm1(-(tan * tan) / (2 * pattern.s * pattern.s))
    case 'beta':
      return tan >= pattern.edgeTan ? 1 : 1 - (1 - (tan / pattern.edgeTan) ** 2) ** pattern.b
    case 'cone': {
      const edge = cosOfHalfAngle(pattern.halfAngleDegrees)
      return Math.min(1, (1 - 1 / Math.sqrt(1 + tan * tan)) / (1 - edge))
    }
    default:
      return unreachable(pattern)
  }
}

/** Beyond this tan θ a beam leaves nothing that counts: the edge, or 4.8 σ (1e-5 of the flow) of a Gaussian. */
export const edgeTanOf = (pattern: SprayPattern): number =>
  pattern.kind === 'gaussian' ? 4.8 * pattern.s : tanHolding(pattern, 1)
