import type { Figure } from '../mesh/figure.ts'
import type { Torch } from '../recipe/recipe.ts'
import { unreachable } from '../unreachable.ts'
import { add, cross, directionFrom, dot, frameAround, length, normalize, scale, subtract, type Vec3 } from '../vec3.ts'
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
  readonly swept?: SweptPlace
}

/** The place, square to the axis, over which the nozzle travelled. */
export type SweptPlace = SweptDisc | SweptRows

/** Coverage falls over ±softMm at its rim. */
export interface SweptDisc {
  readonly kind: 'disc'
  readonly centre: Vec3
  /** Unit, from the aim point to the disc's centre. */
  readonly axis: Vec3
  readonly radiusMm: number
  readonly softMm: number
}

/** Rows over a rectangle, square to the axis and level, around the point in front of which its middle stands. */
export interface RowsWalked {
  readonly middle: Vec3
  readonly widthMm: number
  readonly heightMm: number
}

/** A rectangle of rows that end sharply. */
export interface SweptRows {
  readonly kind: 'rows'
  readonly centre: Vec3
  readonly axis: Vec3
  /** Unit, along the rows and across them. */
  readonly right: Vec3
  readonly up: Vec3
  readonly halfWidthMm: number
  readonly halfHeightMm: number
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

/**
 * The beam of a torch. All three shapes hold half of the flow within the same angle, tan θ = 1.177·s, so that changing
 * the shape changes the edge and not the size. For the Gaussian that is σ·√(2 ln 2).
 */
export function patternOf({ pattern, spread }: Pick<Torch, 'pattern' | 'spread'>): SprayPattern {
  const halfTan = spread * Math.sqrt(2 * Math.LN2)
  switch (pattern) {
    case 'gaussian':
      return { kind: 'gaussian', s: spread }
    case 'parabola':
      return { kind: 'beta', b: 2, edgeTan: halfTan / Math.sqrt(1 - Math.SQRT1_2) }
    case 'cone': {
      // Half of the solid angle: 1 − cos θ½ = (1 − cos edge)/2.
      const edgeCos = 2 / Math.sqrt(1 + halfTan * halfTan) - 1
      return { kind: 'cone', halfAngleDegrees: (Math.acos(edgeCos) * 180) / Math.PI }
    }
    default:
      return unreachable(pattern)
  }
}

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
 * @param rows ends the rows of a sweep of the figure where they really end; absent: they go on for ever
 */
export function emittersOf(
  torch: Torch,
  figure: Pick<Figure, 'heightMm'>,
  count: number,
  rows?: RowsWalked,
): Emitter[] {
  const pattern = patternOf(torch)
  const { aim, toward } = torchAxis(torch, figure.heightMm)
  const turnRadians = (turnDegreesOf(torch) * Math.PI) / 180
  const halfStratum = turnRadians / count
  const emitters: Emitter[] = []
  for (let i = 0; i < count; i++) {
    const sample = samplePoint(i, count, turns(torch), strideOf(torch))
    const middle = turned(toward, sample.turn * turnRadians)
    const emitter = emitterAt(torch, pattern, aim, middle, sample, count, rows)
    // The beam's own width takes a direction away from the middle of its stratum, near to its neighbours. The rig is
    // turned back for it, within the stratum, so that the directions stand evenly around the upright line.
    const away = azimuthFrom(middle, emitter.kind === 'parallel' ? emitter.toward : subtract(emitter.position, aim))
    const axis = turned(middle, Math.min(halfStratum, Math.max(-halfStratum, -away)))
    emitters.push(emitterAt(torch, pattern, aim, axis, sample, count, rows))
  }
  return facingOne(emitters, torch, figure)
}

/**
 * While a torch is dragged: some of the emitters of the refined answer, not as many others. What the refined answer
 * makes of an edge between two directions, a part of it makes likewise, so that the two differ less.
 * @param refined what `emittersOf` returns
 */
export function coarseEmittersOf(
  torch: Torch,
  figure: Pick<Figure, 'heightMm'>,
  refined: readonly Emitter[],
): Emitter[] {
  // The rim of an area is blurred by what one direction stands for: a part of the list would show rims instead.
  if (torch.sweep.kind === 'area' && !isOfPoints(torch, torch.sweep.radiusMm))
    return emittersOf(torch, figure, refined.length / 2)
  const stride = strideOf(torch)
  // Every fourth step of the golden angle falls on two opposite arms: a list of its own is the better one.
  if (stride === 4 && !turns(torch)) return emittersOf(torch, figure, refined.length / stride)
  const some = refined.filter((_, i) => i % stride === stride / 2)
  return facingOne(some, torch, figure)
}

/** Beams and turns up to these are answered by every fourth direction, wider ones by every second. */
const NARROW = { turnDegrees: 60, spread: 0.12 }

function strideOf(torch: Torch): number {
  if (torch.sweep.kind === 'area') return 2
  return turnDegreesOf(torch) <= NARROW.turnDegrees && torch.spread <= NARROW.spread ? 4 : 2
}

/** The emitters weighed anew, so that a bare surface that faces the torch at its aim point adds up to 1. */
function facingOne(emitters: readonly Emitter[], torch: Torch, { heightMm }: Pick<Figure, 'heightMm'>): Emitter[] {
  const { aim, toward } = torchAxis(torch, heightMm)
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
      return emitter.swept ? cosGamma * coverageOf(emitter.swept, emitter.toward, point) : cosGamma
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

/** 1 where the nozzle that sprays the point along this direction was well inside the place, 0 well outside. */
export function coverageOf(swept: SweptPlace, toward: Vec3, point: Vec3): number {
  const toCentre = subtract(swept.centre, point)
  const along = dot(toCentre, swept.axis) / dot(toward, swept.axis)
  const off = subtract(toCentre, scale(toward, along))
  if (swept.kind === 'disc') {
    return Math.min(1, Math.max(0, (swept.radiusMm + swept.softMm - length(off)) / (2 * swept.softMm)))
  }
  const inside =
    Math.abs(dot(off, swept.right)) <= swept.halfWidthMm && Math.abs(dot(off, swept.up)) <= swept.halfHeightMm
  return inside ? 1 : 0
}

interface SamplePoint {
  /** −1…1 of the turn about the upright line, or of the way along a stroke. */
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

/** Whether the rig moves along something that is wider than the beam. */
const turns = (torch: Torch): boolean => turnDegreesOf(torch) > 0 || torch.sweep.kind === 'stroke'

/**
 * The wide dimension (the turn, where there is one) is cut in equal strata; the others follow a low-discrepancy row, so
 * many neighbours near one member of it that a coarse answer, which takes one of them, has such a row of its own.
 */
function samplePoint(i: number, count: number, turning: boolean, stride: number): SamplePoint {
  const stratum = (i + 0.5) / count
  if (!turning) return { turn: 0, share: stratum, angle: 2 * Math.PI * fraction(i * GOLDEN) }
  const member = Math.floor(i / stride)
  const aside = (i % stride) / (2 * stride)
  return {
    turn: 2 * stratum - 1,
    share: fraction(0.5 + member * PLASTIC_1 + aside),
    angle: 2 * Math.PI * fraction(0.5 + member * PLASTIC_2 + aside),
  }
}

function emitterAt(
  torch: Torch,
  pattern: SprayPattern,
  aim: Vec3,
  axis: Vec3,
  at: SamplePoint,
  count: number,
  rows: RowsWalked | undefined,
): Emitter {
  const [u, v] = frameAround(axis)
  const around = (radius: number) => add(scale(u, radius * Math.cos(at.angle)), scale(v, radius * Math.sin(at.angle)))
  const centre = add(aim, scale(axis, torch.distanceMm))
  switch (torch.sweep.kind) {
    case 'figure':
    case 'area': {
      if (torch.sweep.kind === 'area' && isOfPoints(torch, torch.sweep.radiusMm)) {
        // The axis stays as it is, so the aim travels with the nozzle.
        const off = around(torch.sweep.radiusMm * Math.sqrt(at.share))
        return { kind: 'nozzle', position: add(centre, off), aim: add(aim, off), pattern, weight: 1 / count }
      }
      // Drawn from p, so the density p/cosθ asks for the weight 1/cosθ = √(1 + tan²θ).
      const tan = tanHolding(pattern, at.share)
      const toward = normalize(add(axis, around(tan)))
      const weight = Math.sqrt(1 + tan * tan) / count
      if (torch.sweep.kind === 'figure') {
        return { kind: 'parallel', toward, weight, ...(rows && { swept: sweptRows(torch, axis, rows) }) }
      }
      // One direction stands for 1/count of the beam: blur the rim by the radius of that share of the footprint.
      const spacingMm = (torch.distanceMm * tanHolding(pattern, 0.5)) / Math.sqrt(count)
      const softMm = Math.min(spacingMm, torch.sweep.radiusMm)
      return {
        kind: 'parallel',
        toward,
        weight,
        swept: { kind: 'disc', centre, axis, radiusMm: torch.sweep.radiusMm, softMm },
      }
    }
    case 'stroke': {
      // Along the line in equal strata; the axis stays as it is, so the aim travels with the nozzle.
      const [right] = levelFrame(axis)
      const along = scale(right, torch.sweep.lengthMm * (at.turn / 2))
      const position = add(centre, add(along, around(jitterMm(torch) * Math.sqrt(at.share))))
      return { kind: 'nozzle', position, aim: add(aim, along), pattern, weight: 1 / count }
    }
    case 'arc':
    case 'still': {
      const position = add(centre, around(jitterMm(torch) * Math.sqrt(at.share)))
      return { kind: 'nozzle', position, aim, pattern, weight: 1 / count }
    }
    default:
      return unreachable(torch.sweep)
  }
}

/**
 * An area is taken apart into places of the nozzle where it is not much wider than the beam, so that the footprints of a
 * few run into one another; else into directions, whose rims do.
 */
const isOfPoints = ({ spread, distanceMm }: Torch, radiusMm: number): boolean =>
  radiusMm <= POINTS_UP_TO_SIGMA * spread * distanceMm

/** 32 places over a disc of 2 σ stand 0.6 σ apart; wider ones show more of their directions than of their places. */
const POINTS_UP_TO_SIGMA = 2

/** Radius of the disc over which the nozzle is jittered. */
const jitterMm = ({ distanceMm }: Torch): number =>
  NOZZLE_RADIUS_MM + distanceMm * Math.tan((TURBULENCE_DEGREES * Math.PI) / 180)

function sweptRows({ distanceMm }: Torch, axis: Vec3, { middle, widthMm, heightMm }: RowsWalked): SweptRows {
  const [right, up] = levelFrame(axis)
  const centre = add(middle, scale(axis, distanceMm))
  return { kind: 'rows', centre, axis, right, up, halfWidthMm: widthMm / 2, halfHeightMm: heightMm / 2 }
}

/** Level right and the up that goes with it, square to the axis; any frame when the axis is upright. */
export function levelFrame(axis: Vec3): readonly [right: Vec3, up: Vec3] {
  const level = Math.hypot(axis[0], axis[2])
  const right: Vec3 = level < 1e-6 ? [1, 0, 0] : [axis[2] / level, 0, -axis[0] / level]
  return [right, cross(axis, right)]
}

/** How far to each side the rig is turned about the upright line: the roll, or half the arc. Arcs and strokes have no roll. */
export function turnDegreesOf({ sweep, rollDegrees }: Torch): number {
  if (sweep.kind === 'arc') return sweep.spanDegrees / 2
  return sweep.kind === 'stroke' ? 0 : rollDegrees
}

/** Angle about the upright line from one direction to another, −π…π. */
const azimuthFrom = (from: Vec3, to: Vec3): number =>
  Math.atan2(to[0] * from[2] - to[2] * from[0], to[0] * from[0] + to[2] * from[2])

function turned(a: Vec3, radians: number): Vec3 {
  const c = Math.cos(radians)
  const s = Math.sin(radians)
  return [c * a[0] + s * a[2], a[1], c * a[2] - s * a[0]]
}
