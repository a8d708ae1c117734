import { type BandWeights, RGB_WEIGHTS, rgbWeightsUnder } from './band-weights.ts'
import { LAMPS, type Lamp } from './illuminants.ts'

const made = new Map<Lamp, BandWeights>([['D65', RGB_WEIGHTS]])

/** Seen reflectance at the 16 bands to linear sRGB, for an eye that has got used to the lamp (see rgbWeightsUnder). */
export function lampWeights(lamp: Lamp): BandWeights {
  const weights = made.get(lamp) ?? rgbWeightsUnder(LAMPS[lamp])
  made.set(lamp, weights)
  return weights
}
