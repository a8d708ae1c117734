import { dot, frameAround, normalize, subtract, type Vec3 } from '../vec3.ts'
import type { DepthView } from './depth-kernel.ts'
import type { Emitter, NozzleEmitter } from './emitters.ts'
import type { Box } from './spray-groups.ts'
import { edgeTanOf } from './spray-pattern.ts'

/** A nozzle sees the near side of the figure larger than the far side: more pixels for the same fineness throughout. */
const NOZZLE_FINER = 4 / 3

/** How an emitter sees a group. @param size pixels of the longer side of a parallel view */
export const viewOf = (emitter: Emitter, box: Box, size: number): DepthView =>
  emitter.kind === 'parallel'
    ? parallelView(emitter.toward, box, size)
    : nozzleView(emitter, box, Math.ceil(NOZZLE_FINER * size))

export const cornersOf = (box: Box): Vec3[] =>
  Array.from({ length: 8 }, (_, i): Vec3 => [box[i & 1 ? 3 : 0], box[i & 2 ? 4 : 1], box[i & 4 ? 5 : 2]])

/** The whole group seen along a direction. */
function parallelView(toward: Vec3, box: Box, size: number): DepthView {
  const [right, up] = frameAround(toward)
  const corners = cornersOf(box)
  const xs = corners.map(c => dot(c, right))
  const ys = corners.map(c => dot(c, up))
  return {
    perspective: false,
    right,
    up,
    toward,
    origin: [0, 0, 0],
    ...fitted(Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys), size),
  }
}

/** The part of the group that the beam reaches, seen from the nozzle. */
function nozzleView(emitter: NozzleEmitter, box: Box, size: number): DepthView {
  const { position } = emitter
  const toward = normalize(subtract(position, emitter.aim))
  const [right, up] = frameAround(toward)
  // Beams of half-angle near 90° would need an endless picture: past 72° off the axis nothing is hidden.
  const reach = Math.min(3, edgeTanOf(emitter.pattern))
  const xs: number[] = []
  const ys: number[] = []
  for (const corner of cornersOf(box)) {
    const q = subtract(corner, position)
    const t = -dot(q, toward)
    // A corner beside or behind the nozzle may stand anywhere on the picture's rim.
    xs.push(...(t > 1e-3 ? [dot(q, right) / t] : [-reach, reach]))
    ys.push(...(t > 1e-3 ? [dot(q, up) / t] : [-reach, reach]))
  }
  const within = (x: number) => Math.min(reach, Math.max(-reach, x))
  return {
    perspective: true,
    right,
    up,
    toward,
    origin: position,
    ...fitted(within(Math.min(...xs)), within(Math.max(...xs)), within(Math.min(...ys)), within(Math.max(...ys)), size),
  }
}

/** Pixel size and centre so that the rectangle fills a picture whose longer side has `size` pixels. */
function fitted(minX: number, maxX: number, minY: number, maxY: number, size: number) {
  const RIM = 3
  const pixel = Math.max(maxX - minX, maxY - minY, 1e-6) / (size - 2 * RIM)
  const sideOf = (extent: number) => Math.ceil(extent / pixel) + 2 * RIM
  return {
    pixel,
    centreX: RIM - minX / pixel,
    centreY: RIM - minY / pixel,
    width: sideOf(maxX - minX),
    height: sideOf(maxY - minY),
  }
}
