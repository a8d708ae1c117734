import { BAND_NM } from '../colour/bands.ts'
import { luminanceOf } from '../colour/lab.ts'
import type { LinearRgb } from '../colour/srgb.ts'
import type { SwatchColours } from '../recipe/recipe.ts'
import { opaqueReflectance } from './kubelka-munk.ts'
import type { Optics } from './paint-optics.ts'
import { reflectanceOfRgb } from './reflectance-of-rgb.ts'
import { internalReflectance, SURFACE } from './saunderson.ts'

/** One film of a paint over a black and over a white card, as seen: matt or specular included, 16 bands, 0…1. */
export interface TwoSwatches {
  readonly overBlack: readonly number[]
  readonly overWhite: readonly number[]
  readonly blackCard: readonly number[]
  readonly whiteCard: readonly number[]
  /** Dry; null when nobody measured it: K and S are then per film instead of per µm. */
  readonly thicknessUm: number | null
  /** How far a reading may be off: about 0.003 for a spectrometer, 0.01 for 8-bit colours. */
  readonly noise: number
}

/** What a pair of swatches cannot tell, or tells against itself. */
export type SwatchFlaw =
  /** A reading is darker than the bare surface reflects: it left the surface out, or the white balance is off. */
  | 'surface-exceeds-reading'
  /** The cards are too alike: the same film looks alike on both. */
  | 'backings-too-similar'
  /** Darker over white than over black: swapped, or another film. */
  | 'over-white-darker'
  /** The film hides its card: only the ratio of K to S is known, and a least S. Paint it thinner. */
  | 'hiding'
  /** Brighter over white than a film without any absorption could be. */
  | 'negative-absorption'
  /** The film changes neither card: paint it thicker. */
  | 'too-thin'
  /** It darkens the white card and leaves the black one: S is only bounded above. */
  | 'no-scatter-information'
  /** Without a thickness K and S count per film. */
  | 'thickness-missing'

export interface SwatchAnswer {
  /** Per µm, or per film where the thickness is missing. A band with a flaw holds the best that can be said. */
  readonly optics: Optics
  readonly flaws: readonly { readonly flaw: SwatchFlaw; readonly nm: readonly number[] }[]
  /**
   * Whether thinner films come out as they are (tested): at most a third of the bands have a flaw. One where S is only bounded
   * above counts a third, as K is known there; a missing thickness none, as the swatch's own film stays as it is.
   */
  readonly usable: boolean
}

/**
 * Swatches known by colour alone (D65): each card and film gets the smoothest reflectance that has its colour, so what
 * comes of it is estimated.
 * @param colours linear sRGB, as seen: a matt surface included
 */
export function swatchesOfColours(colours: SwatchColours): TwoSwatches {
  // As a whole no matt surface is darker than its own reflection: such a colour keeps its darkness, and the flaw shows.
  const spectrum = (rgb: LinearRgb) => [
    ...reflectanceOfRgb(rgb, luminanceOf(...rgb) < SURFACE.k1 ? 0 : SURFACE.k1 + LEAST_INSIDE),
  ]
  return {
    overBlack: spectrum(colours.overBlack),
    overWhite: spectrum(colours.overWhite),
    blackCard: spectrum(colours.blackCard),
    whiteCard: spectrum(colours.whiteCard),
    thicknessUm: colours.thicknessUm,
    noise: NOISE_OF_COLOURS,
  }
}

/** Of 8-bit colours, upsampled. */
const NOISE_OF_COLOURS = 0.01
/** A saturated colour may ask for less than the bare surface reflects; it gets this much more. */
const LEAST_INSIDE = 0.0005

/** White and black cards differ by at least this, internally. */
const LEAST_CARD_STEP = 0.3
/** Readings differ when they do so by this many times their noise. */
const SIGNIFICANT = 3
/** Internal reflectance that stands for 'black or darker'. */
const DARKEST = 1e-4

/**
 * K and S from two swatches, band by band in closed form: the film equation over two backings is linear in
 * a = 1 + K/S and c = b·coth(bSX). Source: Kubelka 1948, rearranged; with cards 0 and 1 it is the inversion of Curtis
 * et al., SIGGRAPH 1997.
 */
export function opticsOfSwatches(swatches: TwoSwatches): SwatchAnswer {
  const absorption = new Float64Array(BAND_NM.length)
  const scattering = new Float64Array(BAND_NM.length)
  const found = new Map<SwatchFlaw, number[]>()
  const thickness = swatches.thicknessUm ?? 1
  BAND_NM.forEach((nm, b) => {
    const band = opticsOfBand({
      overBlack: swatches.overBlack[b],
      overWhite: swatches.overWhite[b],
      blackCard: swatches.blackCard[b],
      whiteCard: swatches.whiteCard[b],
      significant: SIGNIFICANT * swatches.noise,
    })
    absorption[b] = band.kx / thickness
    scattering[b] = band.sx / thickness
    if (band.flaw) found.set(band.flaw, [...(found.get(band.flaw) ?? []), nm])
  })
  const spoiled = [...found].reduce(
    (sum, [flaw, nm]) => sum + (flaw === 'no-scatter-information' ? nm.length / 3 : nm.length),
    0,
  )
  if (swatches.thicknessUm === null) found.set('thickness-missing', [...BAND_NM])
  return {
    optics: { absorption, scattering },
    flaws: [...found].map(([flaw, nm]) => ({ flaw, nm })),
    usable: spoiled <= BAND_NM.length / 3,
  }
}

/** As seen, all of it. */
interface BandReading {
  readonly overBlack: number
  readonly overWhite: number
  readonly blackCard: number
  readonly whiteCard: number
  readonly significant: number
}

interface BandAnswer {
  /** K·X and S·X. */
  readonly kx: number
  readonly sx: number
  readonly flaw: SwatchFlaw | null
}

function opticsOfBand({ overBlack, overWhite, blackCard, whiteCard, significant }: BandReading): BandAnswer {
  const [r1, r2, black, g2] = [overBlack, overWhite, blackCard, whiteCard].map(internalReflectance)
  const g1 = Math.max(0, black)
  if (g2 - g1 < LEAST_CARD_STEP) return { ...hidden(r1, r2, significant), flaw: 'backings-too-similar' }
  if (r1 <= 0 || r2 <= 0) return { ...darkened(Math.max(DARKEST, r2), g2), flaw: 'surface-exceeds-reading' }
  if (overWhite < overBlack - significant) return { ...hidden(r1, r2, significant), flaw: 'over-white-darker' }
  const blackKept = Math.abs(overBlack - blackCard) < significant
  if (blackKept && Math.abs(overWhite - whiteCard) < significant) return { kx: 0, sx: 0, flaw: 'too-thin' }
  if (overWhite - overBlack < significant) return { ...hidden(r1, r2, significant), flaw: 'hiding' }
  // Over black a film that only absorbs is no brighter than r2·g1/g2.
  if (r1 * g2 <= r2 * g1 || (blackKept && overWhite < whiteCard - significant))
    return { ...darkened(r2, g2), flaw: 'no-scatter-information' }

  const a = slopeA(r1, r2, g1, g2)
  const det = 2 * (g1 * r2 - g2 * r1)
  const c = ((r1 + g1) * (1 + r2 * g2) - (r2 + g2) * (1 + r1 * g1)) / det
  if (!(a >= 1)) {
    const withinNoise = slopeA(r1, internalReflectance(overWhite - significant), g1, g2) >= 1
    return { kx: 0, sx: 1 / Math.max(c, DARKEST), flaw: withinNoise ? null : 'negative-absorption' }
  }
  const b = Math.sqrt(a * a - 1)
  // Apart by no more than the last digit of a number.
  if (!(c > b)) return { ...hidden(r1, r2, significant), flaw: 'hiding' }
  // arcoth(c/b)/b, which is 1/c as b → 0.
  const u = b / c
  const sx = u < 1e-4 ? (1 + (u * u) / 3) / c : Math.log((1 + u) / (1 - u)) / (2 * b)
  return { kx: sx * (a - 1), sx, flaw: null }
}

/** 1 + K/S of a film that turns grounds g1, g2 into r1, r2. */
const slopeA = (r1: number, r2: number, g1: number, g2: number): number =>
  ((1 + r1 * g1) * (r2 - g2) - (1 + r2 * g2) * (r1 - g1)) / (2 * (g1 * r2 - g2 * r1))

/** A film that hides: its colour is the opaque one, and its SX at least what makes the cards differ by less than noise. */
function hidden(r1: number, r2: number, significant: number): { kx: number; sx: number } {
  const r = Math.min(0.999, Math.max(DARKEST, (r1 + r2) / 2))
  const ratio = (1 - r) ** 2 / (2 * r)
  // The difference over two cards falls as e^(−2bSX) with b = (1/R∞ − R∞)/2.
  const b = (1 / opaqueReflectance(ratio, 1) - r) / 2
  const sx = Math.log(1 / Math.max(significant, DARKEST)) / (2 * b)
  return { kx: ratio * sx, sx }
}

/** A film that only absorbs: Beer and Lambert, down and up. */
const darkened = (r2: number, g2: number): { kx: number; sx: number } => ({
  kx: Math.max(0, Math.log(g2 / r2) / 2),
  sx: 0,
})
