import type { Figure } from '../mesh/figure.ts'
import { DROP_ML } from '../recipe/drops.ts'
import type { Airbrush, DropSizes, Mix, Torch } from '../recipe/recipe.ts'
import { unreachable } from '../unreachable.ts'
import type { Vec3 } from '../vec3.ts'
import { levelFrame, patternOf, type RowsWalked, torchAxis, turnDegreesOf } from './emitters.ts'
import { mixSolids } from './mix-solids.ts'
import { densityPerSr, edgeTanOf, type SprayPattern, shareWithin } from './spray-pattern.ts'

/** What one pass leaves. All films are dry and whole (pigment, binder, clear medium) unless they say otherwise. */
export interface PassFilm {
  /** Where exposure is 1 and openness 0: the part of the beam that flies straight. */
  readonly directUm: number
  /** Where openness is 1 and exposure 0: the fine mist that arrives from everywhere. */
  readonly diffuseUm: number
  /** Wet film where exposure is 1. */
  readonly wetUm: number
  /** Share of the dry film that is the paint's own; the rest is clear medium. */
  readonly paintShare: number
}

/**
 * One pass of a torch. The flow splits: (1 − f) flies straight, f = `diffuseShare` spreads in the air around the
 * figure; together they carry Q·η, so nothing is counted twice.
 *
 *   dry = passes · (directUm · exposure + diffuseUm · openness)
 *
 * @param volumeSolids of the paint in the pot, 0…1
 */
export function filmOfPass(
  torch: Torch,
  airbrush: Airbrush,
  mix: Mix,
  volumeSolids: number,
  dropMl: DropSizes = DROP_ML,
): PassFilm {
  const solids = mixSolids(mix, volumeSolids, dropMl)
  const wet = wetOfPass(torch, airbrush)
  return {
    directUm: wet.directUm * solids.total,
    diffuseUm: wet.diffuseUm * solids.total,
    wetUm: wet.directUm,
    paintShare: solids.total > 0 ? solids.paint / solids.total : 0,
  }
}

/** Wet films of one pass where exposure, and where openness, is 1. */
function wetOfPass(torch: Torch, airbrush: Airbrush): { readonly directUm: number; readonly diffuseUm: number } {
  const wetUm = wetUmFacing(torch, airbrush)
  const turn = turnResponse(torch)
  return {
    directUm: wetUm * (1 - airbrush.diffuseShare),
    // The mist takes no notice of which way the surface is turned. Only a sweep of the whole figure wraps it in mist;
    // of the others it would settle near the beam, by a law that we do not know.
    diffuseUm: torch.sweep.kind === 'figure' && turn > 0 ? (wetUm / turn) * airbrush.diffuseShare : 0,
  }
}

/** Dry µm that one pass leaves where exposure is 1, without the diffuse share. */
export function filmPerPassUm(
  torch: Torch,
  airbrush: Airbrush,
  mix: Mix,
  volumeSolids: number,
  dropMl: DropSizes = DROP_ML,
): number {
  return filmOfPass(torch, airbrush, mix, volumeSolids, dropMl).directUm
}

/**
 * Adds `passes` passes of a torch to a deposit.
 * @param depositUm V floats, dry µm, changed in place
 * @param open openness, V floats; null leaves the diffuse share out
 */
export function addDeposit(
  depositUm: Float32Array,
  exposure: Float32Array,
  open: Float32Array | null,
  film: PassFilm,
  passes: number,
): void {
  const direct = film.directUm * passes
  const diffuse = film.diffuseUm * passes
  if (open) for (let i = 0; i < depositUm.length; i++) depositUm[i] += direct * exposure[i] + diffuse * open[i]
  else for (let i = 0; i < depositUm.length; i++) depositUm[i] += direct * exposure[i]
}

/** Rows stand two σ of the footprint apart: a ripple of 2.9 % between them (test C9). */
export const rowSpacingMm = (torch: Torch): number => 2 * torch.spread * torch.distanceMm

/** Wet µm of a whole beam (direct and diffuse) on a bare surface that faces the torch at its aim point, one pass. */
function wetUmFacing(torch: Torch, airbrush: Airbrush): number {
  const { sweep, distanceMm } = torch
  const pattern = patternOf(torch)
  const landing = airbrush.flowMm3PerS * airbrush.transfer * turnResponse(torch)
  const rows = () => landing / (airbrush.sweepMmPerS * rowSpacingMm(torch))
  const dwell = (seconds: number) => (landing * seconds * densityPerSr(pattern, 1)) / (distanceMm * distanceMm)
  switch (sweep.kind) {
    case 'figure':
      return 1000 * rows()
    case 'area':
      return 1000 * rows() * shareWithin(pattern, sweep.radiusMm / distanceMm)
    case 'arc':
      return 1000 * dwell(arcMm(torch) / airbrush.sweepMmPerS)
    case 'stroke':
      return (1000 * landing * acrossMiddle(pattern, distanceMm, sweep.lengthMm)) / airbrush.sweepMmPerS
    case 'still':
      return 1000 * dwell(sweep.secondsPerPass)
    default:
      return unreachable(sweep)
  }
}

/** ∫ footprint along a stroke's own line, through its middle, 1/mm: the midpoint rule, finer than any footprint. */
function acrossMiddle(pattern: SprayPattern, distanceMm: number, lengthMm: number): number {
  const reach = Math.min(lengthMm, 2 * edgeTanOf(pattern) * distanceMm)
  const steps = 2000
  let sum = 0
  for (let i = 0; i < steps; i++) {
    const tan = (reach * ((i + 0.5) / steps - 0.5)) / distanceMm
    const cos = 1 / Math.sqrt(1 + tan * tan)
    sum += (densityPerSr(pattern, cos) * cos ** 3) / (distanceMm * distanceMm)
  }
  return (sum * reach) / steps
}

const arcMm = (torch: Torch): number =>
  torch.sweep.kind === 'arc'
    ? torch.distanceMm * Math.cos((torch.elevationDegrees * Math.PI) / 180) * torch.sweep.spanDegrees * (Math.PI / 180)
    : 0

/**
 * While the rig turns evenly through ±ρ about the upright line, a surface that faces the middle of the turn meets the
 * beam at cos γ = cos²e·cos α + sin²e. The mean of its positive part: cos²e·sin ρ/ρ + sin²e until the beam passes
 * behind the surface.
 */
export function turnResponse(torch: Torch): number {
  const rho = (turnDegreesOf(torch) * Math.PI) / 180
  if (rho === 0) return 1
  const sin = Math.sin((torch.elevationDegrees * Math.PI) / 180)
  const sin2 = sin * sin
  const cos2 = 1 - sin2
  const behind = sin2 >= cos2 ? Math.PI : Math.acos(-sin2 / cos2)
  const seen = Math.min(rho, behind)
  return (cos2 * Math.sin(seen) + sin2 * seen) / rho
}

export interface PaintUse {
  /** Time the trigger is open, all passes. */
  readonly seconds: number
  /** Mix that leaves the nozzle, mL, all passes. */
  readonly mixMl: number
  /** Of which paint as it is in the pot, mL. */
  readonly paintMl: number
  readonly thinnerMl: number
  readonly mediumMl: number
  /** Of the mix, what lands on the figure, mL; null where what it catches is not known. */
  readonly landsMl: number | null
}

/** What a figure catches of a torch, mm². */
export interface Caught {
  /** ∫ exposure dA. */
  readonly directMm2: number
  /** ∫ openness dA. */
  readonly openMm2: number
}

/** Every row runs past the silhouette by this many σ at both ends, and as many rows stand above and below it. */
const OVERRUN_SIGMA = 2

/** Mix that a torch uses on one figure, all its passes, the misses included; what lands is a sum over the surface. */
export function paintUsed(
  torch: Torch,
  figure: Pick<Figure, 'heightMm' | 'box'>,
  airbrush: Airbrush,
  mix: Mix,
  dropMl: DropSizes = DROP_ML,
  caught?: Caught,
): PaintUse {
  const seconds = torch.passes * secondsOfPass(torch, figure, airbrush)
  const mixMl = (airbrush.flowMm3PerS * seconds) / 1000
  const all = mix.paintDrops * dropMl.paint + mix.thinnerDrops * dropMl.thinner + mix.mediumDrops * dropMl.medium
  const share = (dropCount: number, eachMl: number) => (all > 0 ? (mixMl * dropCount * eachMl) / all : 0)
  return {
    seconds,
    mixMl,
    paintMl: share(mix.paintDrops, dropMl.paint),
    thinnerMl: share(mix.thinnerDrops, dropMl.thinner),
    mediumMl: share(mix.mediumDrops, dropMl.medium),
    landsMl: caught ? torch.passes * landsMlOfPass(torch, airbrush, caught) : null,
  }
}

function landsMlOfPass(torch: Torch, airbrush: Airbrush, { directMm2, openMm2 }: Caught): number {
  const wet = wetOfPass(torch, airbrush)
  // µm · mm² = 10⁻³ mm³ = 10⁻⁶ mL.
  return (wet.directUm * directMm2 + wet.diffuseUm * openMm2) * 1e-6
}

/** Time the trigger is open in one pass, s. */
export function secondsOfPass(torch: Torch, figure: Pick<Figure, 'heightMm' | 'box'>, airbrush: Airbrush): number {
  const { sweep } = torch
  switch (sweep.kind) {
    case 'figure': {
      const { rows, widthMm } = rowsWalked(torch, figure)
      return (rows * widthMm) / airbrush.sweepMmPerS
    }
    case 'area':
      // Rows inside the disc: their total length is its area over the spacing.
      return (Math.PI * sweep.radiusMm ** 2) / rowSpacingMm(torch) / airbrush.sweepMmPerS
    case 'arc':
      return arcMm(torch) / airbrush.sweepMmPerS
    case 'stroke':
      return sweep.lengthMm / airbrush.sweepMmPerS
    case 'still':
      return sweep.secondsPerPass
    default:
      return unreachable(sweep)
  }
}

/** The rectangle over which the rows of one pass of a sweep of the whole figure go, and how many they are. */
export function rowsWalked(
  torch: Torch,
  { box, heightMm }: Pick<Figure, 'heightMm' | 'box'>,
): RowsWalked & { readonly rows: number } {
  const [right, up] = levelFrame(torchAxis(torch, heightMm).toward)
  const half: Vec3 = [(box[3] - box[0]) / 2, (box[4] - box[1]) / 2, (box[5] - box[2]) / 2]
  const seen = (a: Vec3) => 2 * (Math.abs(a[0]) * half[0] + Math.abs(a[1]) * half[1] + Math.abs(a[2]) * half[2])
  const overrunMm = 2 * OVERRUN_SIGMA * torch.spread * torch.distanceMm
  const rows = Math.floor((seen(up) + overrunMm) / rowSpacingMm(torch)) + 1
  return {
    middle: [box[0] + half[0], box[1] + half[1], box[2] + half[2]],
    widthMm: seen(right) + overrunMm,
    heightMm: rows * rowSpacingMm(torch),
    rows,
  }
}
