import type { Figure } from '../mesh/figure.ts'
import { vertexAreas } from '../mesh/vertex-areas.ts'
import type { PartId, PartState } from '../recipe/recipe.ts'
import type { BakeKernel } from '../spray/bake-exposure.ts'
import { anglesOf, cross, directionFrom, type Vec3 } from '../vec3.ts'
import type { Direction } from './dome.ts'
import { SCAN_PIXELS } from './view-measures.ts'

/** What spray from one direction does to what is seen from a viewing angle. Shares of projected visible surface. */
export interface LightMeasures {
  /** Share of each sixteenth of exposure, 0…1; they add up to 1. */
  readonly bins: readonly number[]
  /** Share with an exposure from 0.2 to 0.8. */
  readonly mid: number
  /** Share that no spray reaches: exposure below 0.02. */
  readonly dark: number
}

export const EXPOSURE_BINS = 16
const MID = [0.2, 0.8] as const
const FULLY_DARK = 0.02

/** @param exposure V, 0…1  @param weights V, mm² */
export function measureLight(exposure: ArrayLike<number>, weights: ArrayLike<number>): LightMeasures {
  const bins = new Array<number>(EXPOSURE_BINS).fill(0)
  let mid = 0
  let dark = 0
  let total = 0
  for (let v = 0; v < weights.length; v++) {
    const weight = weights[v]
    if (weight === 0) continue
    const e = exposure[v]
    total += weight
    bins[Math.min(EXPOSURE_BINS - 1, Math.floor(EXPOSURE_BINS * e))] += weight
    if (e < FULLY_DARK) dark += weight
    else if (e >= MID[0] && e <= MID[1]) mid += weight
  }
  if (!(total > 0)) return { bins, mid: 0, dark: 0 }
  return { bins: bins.map(b => b / total), mid: mid / total, dark: dark / total }
}

/**
 * What is seen from afar along a direction, all parts on: V, mm² square to the line of sight.
 * @param partStates while spraying: what is absent then is no concern of the light
 */
export function seenWeights(
  figure: Figure,
  bake: BakeKernel,
  { azimuthDegrees, elevationDegrees }: Direction,
  partStates: Readonly<Record<PartId, PartState>>,
): Float32Array {
  const toward = directionFrom(azimuthDegrees, elevationDegrees)
  const weights = bake.bake({}, [{ kind: 'parallel', toward, weight: 1 }], { bufferSize: SCAN_PIXELS })
  const areas = vertexAreas(figure)
  for (let v = 0; v < weights.length; v++) weights[v] *= areas[v]
  for (const { id, firstVertex, vertexCount } of figure.parts) {
    if (partStates[id] === 'absent') weights.fill(0, firstVertex, firstVertex + vertexCount)
  }
  return weights
}

export interface LightReading extends LightMeasures {
  /** Of the exposures, over its most (all sixteenths alike): 0…1. */
  readonly entropy: number
  /** entropy + mid − dark, from its least, −1, to its most, 2, brought to 0…1. Equal weights: untuned. */
  readonly score: number
}

/** Entropy of lit values as a measure of light: Gumhold, "Maximum entropy light source placement", 2002; formula from memory. */
export function readLight({ bins, mid, dark }: LightMeasures): LightReading {
  const bits = bins.reduce((sum, p) => (p > 0 ? sum - p * Math.log2(p) : sum), 0)
  const entropy = bits / Math.log2(EXPOSURE_BINS)
  return { bins, entropy, mid, dark, score: (entropy + mid - dark + 1) / 3 }
}

/** Where the literature puts a light, and the rim light of photographers. */
export type LightPreset = 'overhead' | 'key' | 'key-left' | 'rim'

/** O'Shea, Agrawala & Banks 2008: shape is judged best with the light 20 to 30° above the line of sight. */
const ABOVE_SIGHT_DEGREES = 25
/**
 * People take light to come from a little left of above: 26° on average in Mamassian & Goutcher 2001, 9° in McManus,
 * Buckman & Woolley 2004. Between them.
 */
const LEFT_OF_ABOVE_DEGREES = 15
/** Behind the figure, half way up: draws its outline. Common practice, no source. */
const RIM_ELEVATION_DEGREES = 45

/** @param view towards the eye */
export function presetLight(preset: LightPreset, view: Direction): Direction {
  if (preset === 'overhead') return { azimuthDegrees: view.azimuthDegrees, elevationDegrees: 90 }
  if (preset === 'rim') return { azimuthDegrees: view.azimuthDegrees + 180, elevationDegrees: RIM_ELEVATION_DEGREES }
  const toEye = directionFrom(view.azimuthDegrees, view.elevationDegrees)
  const right = directionFrom(view.azimuthDegrees + 90, 0)
  const up = cross(toEye, right)
  const above = (ABOVE_SIGHT_DEGREES * Math.PI) / 180
  const left = preset === 'key-left' ? (LEFT_OF_ABOVE_DEGREES * Math.PI) / 180 : 0
  const along = [0, 1, 2].map(
    k => Math.cos(above) * toEye[k] + Math.sin(above) * (Math.cos(left) * up[k] - Math.sin(left) * right[k]),
  ) as unknown as Vec3
  return anglesOf(along)
}
