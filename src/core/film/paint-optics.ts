import { BANDS } from '../colour/bands.ts'
import { linearRgbOfHex } from '../colour/srgb.ts'
import type { Paint, PaintBody } from '../recipe/recipe.ts'
import { unreachable } from '../unreachable.ts'
import { halfKeptUm } from './half-kept.ts'
import { PIGMENTS } from './pigment-curves.ts'
import { shapeAtBands } from './pigment-shape.ts'
import { reflectanceOfRgb } from './reflectance-of-rgb.ts'
import { internalReflectance, SURFACE } from './saunderson.ts'

/** Absorption K and scattering S of a paint's dry film at the 16 bands, 1/µm, internal. */
export interface Optics {
  readonly absorption: Float64Array
  readonly scattering: Float64Array
}

/**
 * @returns K and S of the paint as it is in the pot; clear medium is thickness without them (see mixSolids)
 * @throws Error when a pigment's Colour Index name is unknown
 * @remarks Pigments' K and S add by amount (D. R. Duncan, J. Oil Colour Chem. Assoc. 23 (1940); from memory); K/S never.
 */
export function paintOptics(paint: Pick<Paint, 'body'>): Optics {
  const known = cache.get(paint.body)
  if (known) return known
  const optics = opticsOf(paint.body)
  cache.set(paint.body, optics)
  return optics
}

const cache = new WeakMap<PaintBody, Optics>()

function opticsOf(body: PaintBody): Optics {
  switch (body.kind) {
    case 'pigments': {
      const absorption = new Float64Array(BANDS)
      const scattering = new Float64Array(BANDS)
      for (const { ci, amount } of body.pigments) {
        const own = pigmentOptics(ci)
        for (let b = 0; b < BANDS; b++) {
          absorption[b] += amount * own.absorption[b]
          scattering[b] += amount * own.scattering[b]
        }
      }
      return { absorption, scattering }
    }
    case 'quick':
      return quickOptics(body.hex, QUICK_HALF_UM[body.covering])
    case 'metallic':
      return quickOptics(body.hex, FLAKES_HALF_UM)
    case 'spectral':
      return { absorption: Float64Array.from(body.absorption), scattering: Float64Array.from(body.scattering) }
    default:
      return unreachable(body)
  }
}

export const isPigment = (ci: string): boolean => PIGMENTS.some(p => p.ci === ci)

export function pigmentOptics(ci: string): Optics {
  const pigment = PIGMENTS.find(p => p.ci === ci)
  if (!pigment) throw new Error(`no pigment is called ${ci}`)
  return shapeAtBands(pigment.shape)
}

/** Dry µm at which half of a pre-shade's step still shows. Ochre lets through to 5, a covering red to 0.9. */
const QUICK_HALF_UM = { 'see-through': 4, half: 2, covers: 0.8 } as const

/** Leafing flakes lie flat and hide better than any pigment; our guess. */
const FLAKES_HALF_UM = 0.5

/**
 * A guess from one colour: the paint is opaque in this colour when endlessly thick, scatters alike at every band, and
 * lets through as the word says. K/S = (1 − R∞)²/(2R∞) (Kubelka, Munk 1931).
 */
function quickOptics(hex: string, halfUm: number): Optics {
  const seen = reflectanceOfRgb(linearRgbOfHex(hex), SURFACE.k1)
  const ratio = seen.map(r => {
    const internal = Math.min(0.98, Math.max(0.002, internalReflectance(r)))
    return (1 - internal) ** 2 / (2 * internal)
  })
  const scattering = new Float64Array(BANDS).fill(1)
  // A film knows K·X and S·X alone: as many times stronger, as many times thinner.
  const strength = halfKeptUm({ absorption: ratio, scattering }) / halfUm
  return { absorption: ratio.map(k => strength * k), scattering: scattering.map(s => strength * s) }
}
