import type { Figure } from '../mesh/figure.ts'
import type { Torch } from '../recipe/recipe.ts'
import { unreachable } from '../unreachable.ts'
import { add, directionFrom, dot, frameAround, length, normalize, scale, subtract, type Vec3 } from '../vec3.ts'
import { densityPerSr, type SprayPattern, tanHolding } from './spray-pattern.ts'

/**
 * A torch taken apart into simple sources. The exposure at a vertex is Σ weight · kernel · visibility, with
 *
 *   parallel  kernel = max(0, n · toward)                 light-like spray from one direction
 *   nozzle    kernel = p(θ) · max(0, cos γ) / distance²   one nozzle point, 1/(sr·mm²)
 *
 * Weights are such that a bare surface that faces the torch at its aim point adds up to 1. Lists may be cut in pieces
 * and the pieces' exposures added.
 */
export type Emitter = ParallelEmitter | NozzleEmitter

export interface ParallelEmitter {
  readonly kind: 'parallel'
  /** Unit, from the surface to the source. */
  readonly toward: Vec3
  readonly weight: number
  /** Where the nozzle was while it sprayed along this direction; absent: everywhere it is needed. */
  readonly sweptDisc?: SweptDisc
}

/** The disc, square to the axis, over which the nozzle travelled. Coverage falls over ±softMm at its rim. */
export interface SweptDisc {
  readonly centre: Vec3
  /** Unit, from the aim point to the disc's centre. */
  readonly axis: Vec3
  readonly radiusMm: number
  readonly softMm: number
}

export interface NozzleEmitter {
  readonly kind: 'nozzle'
  readonly position: Vec3
  /** The point the axis goes through. */
  readonly aim: Vec3
  readonly pattern: SprayPattern
  readonly weight: number
}

/** Radius of the liquid at the nozzle, mm: half of a 0.4 mm needle. From memory. */
const NOZZLE_RADIUS_MM = 0.2
/** Turbulence turns droplets off their line by 2 to 5° rms; from memory. Gives the penumbra of a nozzle that rests. */
const TURBULENCE_DEGREES = 3

/** The place and axis of a torch on a figure: where it aims (mm), and the unit direction from there to the nozzle. */
export function torchAxis(torch: Torch, heightMm: number): { aim: Vec3; toward: Vec3; nozzle: Vec3 } {
  const aim = scale(torch.aim, heightMm)
  const toward = directionFrom(torch.azimuthDegrees, torch.elevationDegrees)
  return { aim, toward, nozzle: add(aim, scale(toward, torch.distanceMm)) }
}

export const patternOf = (torch: Torch): SprayPattern => ({ kind: 'gaussian', s: torch.spread })

/**
 * Rows that are dense enough, over the whole figure, in a plane square to the axis, leave on any surface exactly what
 * parallel spray leaves whose directions are spread around the axis with density p(θ)/cosθ: the area dA of the nozzle's
 * plane that lies in dΩ as seen from the surface is distance²·dΩ/cosθ, and cancels the kernel's 1/distance². So the
 * sweep of a figure is a list of directions, independent of the distance; an area is the same list, each direction
 * counted where its nozzle was over the disc.
 *
 * Roll turns the rig evenly through ±roll about the upright line through the aim point (the hand follows the aim).
 *
 * @param count how many emitters, 1 or more; deterministic, evenly stratified
 * @param pattern the beam; default: Gaussian of the torch's spread
 */
export function emittersOf(
  torch: Torch,
  figure: Pick<Figure, 'heightMm'>,
  count: number,
  pattern: SprayPattern = patternOf(torch),
): Emitter[] {
  const { aim, toward } = torchAxis(torch, figure.heightMm)
  const emitters: Emitter[] = []
  for (let i = 0; i < count; i++) {
    const sample = samplePoint(i, count, turnDegreesOf(torch) > 0)
    const axis = turned(toward, (sample.turn * turnDegreesOf(torch) * Math.PI) / 180)
    emitters.push(emitterAt(torch, pattern, aim, axis, sample, count))
  }
  const facing = facingResponse(emitters, aim, toward)
  if (!(facing > 0)) throw new Error(`a torch that leaves nothing at its aim: ${JSON.stringify(torch)}`)
  return emitters.map(e => ({ ...e, weight: e.weight / facing }))
}

/** Σ weight · kernel of an unoccluded surface at a point. */
export function facingResponse(emitters: readonly Emitter[], point: Vec3, normal: Vec3): number {
  let sum = 0
  for (const e of emitters) sum += e.weight * kernelAt(e, point, normal)
  return sum
}

/** What an emitter of weight 1 leaves on an unoccluded surface. The readable form; the bake has a fast twin. */
export function kernelAt(emitter: Emitter, point: Vec3, normal: Vec3): number {
  switch (emitter.kind) {
    case 'parallel': {
      const cosGamma = Math.max(0, dot(normal, emitter.toward))
      return emitter.sweptDisc ? cosGamma * discCoverage(emitter.sweptDisc, emitter.toward, point) : cosGamma
    }
    case 'nozzle': {
      const toSource = subtract(emitter.position, point)
      const distance = length(toSource)
      const cosGamma = Math.max(0, dot(normal, toSource) / distance)
      const axis = normalize(subtract(emitter.position, emitter.aim))
      const cosTheta = dot(toSource, axis) / distance
      return (densityPerSr(emitter.pattern, cosTheta) * cosGamma) / (distance * distance)
    }
    default:
      return unreachable(emitter)
  }
}

/** 1 where the nozzle that sprays the point along this direction was well inside the disc, 0 well outside. */
export function discCoverage(disc: SweptDisc, toward: Vec3, point: Vec3): number {
  const toCentre = subtract(disc.centre, point)
  const along = dot(toCentre, disc.axis) / dot(toward, disc.axis)
  const off = length(subtract(toCentre, scale(toward, along)))
  return Math.min(1, Math.max(0, (disc.radiusMm + disc.softMm - off) / (2 * disc.softMm)))
}

interface SamplePoint {
  /** −1…1 of the turn about the upright line. */
  readonly turn: number
  /** Share of the flow nearer to the axis, 0…1. */
  readonly share: number
  readonly angle: number
}

/** 1/x and 1/x² of the real root of x³ = x + 1: the two-dimensional sequence of least discrepancy of its kind. */
const PLASTIC_1 = 0.7548776662466927
const PLASTIC_2 = 0.5698402909980532
const GOLDEN = 0.6180339887498949
const fraction = (x: number) => x - Math.floor(x)

/** The wide dimension (the turn, where there is one) is cut in equal strata; the others follow a low-discrepancy row. */
function samplePoint(i: number, count: number, turns: boolean): SamplePoint {
  const stratum = (i + 0.5) / count
  if (!turns) return { turn: 0, share: stratum, angle: 2 * Math.PI * fraction(i * GOLDEN) }
  return {
    turn: 2 * stratum - 1,
    share: fraction(0.5 + i * PLASTIC_1),
    angle: 2 * Math.PI * fraction(0.5 + i * PLASTIC_2),
  }
}

function emitterAt(
  torch: Torch,
  pattern: SprayPattern,
  aim: Vec3,
  axis: Vec3,
  at: SamplePoint,
  count: number,
): Emitter {
  const [u, v] = frameAround(axis)
  const around = (radius: number) => add(scale(u, radius * Math.cos(at.angle)), scale(v, radius * Math.sin(at.angle)))
  const centre = add(aim, scale(axis, torch.distanceMm))
  switch (torch.sweep.kind) {
    case 'figure':
    case 'area': {
      // Drawn from p, so the density p/cosθ asks for the weight 1/cosθ = √(1 + tan²θ).
      const tan = tanHolding(pattern, at.share)
      const toward = normalize(add(axis, around(tan)))
      const weight = Math.sqrt(1 + tan * tan) / count
      if (torch.sweep.kind === 'figure') return { kind: 'parallel', toward, weight }
      // One direction stands for 1/count of the beam: blur the rim by the radius of that share of the footprint.
      const spacingMm = (torch.distanceMm * tanHolding(pattern, 0.5)) / Math.sqrt(count)
      const softMm = Math.min(spacingMm, torch.sweep.radiusMm)
      return { kind: 'parallel', toward, weight, sweptDisc: { centre, axis, radiusMm: torch.sweep.radiusMm, softMm } }
    }
    case 'arc':
    case 'still': {
      const jitterMm = NOZZLE_RADIUS_MM + torch.distanceMm * Math.tan((TURBULENCE_DEGREES * Math.PI) / 180)
      const position = add(centre, around(jitterMm * Math.sqrt(at.share)))
      return { kind: 'nozzle', position, aim, pattern, weight: 1 / count }
    }
    default:
      return unreachable(torch.sweep)
  }
}

/** How far to each side the rig is turned about the upright line: the roll, or half the arc (an arc has no roll). */
export const turnDegreesOf = (torch: Torch): number =>
  torch.sweep.kind === 'arc' ? torch.sweep.spanDegrees / 2 : torch.rollDegrees

function turned(a: Vec3, radians: number): Vec3 {
  const c = Math.cos(radians)
  const s = Math.sin(radians)
  return [c * a[0] + s * a[2], a[1], c * a[2] - s * a[0]]
}
