import type { Figure } from '../core/mesh/figure.ts'
import type { Torch } from '../core/recipe/recipe.ts'
import { levelFrame, torchAxis, turnDegreesOf } from '../core/spray/emitters.ts'
import { add, cross, dot, frameAround, normalize, scale, subtract, type Vec3 } from '../core/vec3.ts'
import { type Framing, mmPerPx } from './framing.ts'
import type { Segment } from './thin-lines.ts'

/**
 * A torch as it is shown. Nozzles stand three figure heights away, so the handle sits on a sphere around the aim point
 * that fits the pane; only where the whole distance fits does it sit on the nozzle itself.
 */
export interface TorchGizmo {
  readonly aim: Vec3
  /** Unit, from the aim point to the nozzle. */
  readonly toward: Vec3
  readonly nozzle: Vec3
  /** Where the handle is, and how far that is from the aim point. */
  readonly handle: Vec3
  readonly handleMm: number
  /** The nozzle is farther away than its handle. */
  readonly isBeyond: boolean
  readonly side: 'near' | 'far'
}

/** Handles keep this far from the pane's edge, CSS px. */
const EDGE_PX = 46

export function gizmoOf(
  torch: Torch,
  figure: Pick<Figure, 'heightMm'>,
  framing: Framing,
  paneHeightPx: number,
): TorchGizmo {
  const { aim, toward, nozzle } = torchAxis(torch, figure.heightMm)
  const roomPx = Math.max(48, Math.min(paneHeightPx, paneHeightPx * framing.aspect) / 2 - EDGE_PX)
  const handleMm = Math.min(torch.distanceMm, roomPx * mmPerPx(framing, aim, paneHeightPx))
  const handle = add(aim, scale(toward, handleMm))
  const side = dot(subtract(framing.eye, handle), toward) > 0 ? 'near' : 'far'
  return { aim, toward, nozzle, handle, handleMm, isBeyond: torch.distanceMm > 1.02 * handleMm, side }
}

/** The thin lines of one torch: axis, rings of the beam, outline of its cone, and how it sweeps. */
export function torchSegments(torch: Torch, gizmo: TorchGizmo, framing: Framing, isSelected: boolean): Segment[] {
  const strength = torch.muted ? 0.35 : 1
  if (!isSelected) {
    return [
      { from: add(gizmo.aim, scale(gizmo.toward, 0.3 * gizmo.handleMm)), to: gizmo.handle, alpha: 0.3 * strength },
    ]
  }
  const sigmaMm = torch.spread * torch.distanceMm
  const aside = normalize(cross(gizmo.toward, framing.back))
  const edge = (sign: number): Segment => ({
    from: add(gizmo.nozzle, scale(aside, sign * 0.2)),
    to: add(gizmo.aim, scale(aside, sign * 2 * sigmaMm)),
    alpha: 0.28 * strength,
  })
  return [
    { from: gizmo.handle, to: gizmo.aim, alpha: 0.75 * strength, dashed: true },
    ...ring(gizmo.aim, gizmo.toward, sigmaMm, 0.6 * strength),
    ...ring(gizmo.aim, gizmo.toward, 2 * sigmaMm, 0.35 * strength),
    edge(1),
    edge(-1),
    ...sweepSegments(torch, gizmo, 0.45 * strength),
  ]
}

/** Rows of a sweep over the figure, the disc of an area, the path of an arc or a roll: at the handle's distance. */
function sweepSegments(torch: Torch, gizmo: TorchGizmo, alpha: number): Segment[] {
  const segments: Segment[] = []
  const turn = turnDegreesOf(torch)
  if (turn > 0) segments.push(...turnArc(gizmo, Math.min(turn, 180), alpha))
  switch (torch.sweep.kind) {
    case 'figure':
      segments.push(...rows(gizmo, 0.34 * gizmo.handleMm, 0.4 * alpha))
      break
    case 'area':
      segments.push(...ring(gizmo.aim, gizmo.toward, torch.sweep.radiusMm, alpha, true))
      break
    case 'stroke': {
      const [right] = levelFrame(gizmo.toward)
      const half = scale(right, torch.sweep.lengthMm / 2)
      segments.push({ from: subtract(gizmo.aim, half), to: add(gizmo.aim, half), alpha })
      break
    }
    case 'arc':
    case 'still':
      break
  }
  return segments
}

function ring(centre: Vec3, axis: Vec3, radius: number, alpha: number, dashed = false): Segment[] {
  const [u, v] = frameAround(axis)
  const count = 72
  const at = (i: number) => {
    const angle = (2 * Math.PI * i) / count
    return add(centre, add(scale(u, radius * Math.cos(angle)), scale(v, radius * Math.sin(angle))))
  }
  // A dashed ring is every other piece: dashes start anew with every piece otherwise.
  return Array.from({ length: dashed ? count / 2 : count }, (_, i) => {
    const start = dashed ? 2 * i : i
    return { from: at(start), to: at(start + 1), alpha }
  })
}

/** A path to and fro across the axis, level where the axis is not upright. */
function rows(gizmo: TorchGizmo, half: number, alpha: number): Segment[] {
  const across = normalize(Math.abs(gizmo.toward[1]) > 0.98 ? [1, 0, 0] : cross([0, 1, 0], gizmo.toward))
  const down = cross(gizmo.toward, across)
  const at = (x: number, y: number) => add(gizmo.handle, add(scale(across, x * half), scale(down, 0.5 * y * half)))
  const count = 5
  const segments: Segment[] = []
  for (let i = 0; i < count; i++) {
    const y = (2 * i) / (count - 1) - 1
    const from = i % 2 === 0 ? -1 : 1
    segments.push({ from: at(from, y), to: at(-from, y), alpha: alpha * 0.8 })
    if (i + 1 < count) segments.push({ from: at(-from, y), to: at(-from, y + 2 / (count - 1)), alpha: alpha * 0.8 })
  }
  return segments
}

/** The way of the handle while the figure turns about its upright axis, with a tick at both ends. */
function turnArc(gizmo: TorchGizmo, degrees: number, alpha: number): Segment[] {
  const arm = scale(gizmo.toward, gizmo.handleMm)
  const at = (share: number, stretch = 1): Vec3 => {
    const angle = (share * degrees * Math.PI) / 180
    const turned: Vec3 = [
      Math.cos(angle) * arm[0] + Math.sin(angle) * arm[2],
      arm[1],
      Math.cos(angle) * arm[2] - Math.sin(angle) * arm[0],
    ]
    return add(gizmo.aim, scale(turned, stretch))
  }
  const count = 48
  const arc = Array.from({ length: count }, (_, i) => ({
    from: at((2 * i) / count - 1),
    to: at((2 * (i + 1)) / count - 1),
    alpha,
  }))
  return [...arc, { from: at(-1, 0.96), to: at(-1, 1.04), alpha }, { from: at(1, 0.96), to: at(1, 1.04), alpha }]
}

/** The round table the figure stands on: twelve marks, the longest in front, so that clock positions can be seen. */
export function clockSegments({ box }: Pick<Figure, 'box'>): Segment[] {
  const radius = 1.16 * Math.max(-box[0], box[3], -box[2], box[5])
  const at = (hour: number, r: number): Vec3 => {
    const angle = (hour * Math.PI) / 6
    return [r * Math.sin(angle), 0, r * Math.cos(angle)]
  }
  const marks = Array.from({ length: 12 }, (_, hour) => ({
    from: at(hour, radius),
    to: at(hour, radius * (hour === 0 ? 1.13 : hour % 3 === 0 ? 1.07 : 1.04)),
    alpha: hour === 0 ? 0.6 : 0.32,
  }))
  return [...ring([0, 0, 0], [0, 1, 0], radius, 0.22), ...marks]
}
