import { dot, length, subtract, type Vec3 } from '../vec3.ts'
import type { Emitter } from './emitters.ts'
import type { Box } from './spray-groups.ts'
import { densityPerSr } from './spray-pattern.ts'

/** Beyond this a still torch that stands in the figure would ask for endless films. */
const NEAREST_MM = 5
/** The normals that are tried leave gaps of a few degrees. */
const MARGIN = 1.05

/**
 * No exposure of these emitters on a figure within the box is larger than this, shadows left out: what a table of films
 * has to reach where nobody has looked at every vertex. Parallel emitters: the largest over normals all around;
 * nozzles: each at its axis and at the nearest place of the box.
 */
export function largestExposure(emitters: readonly Emitter[], box: Box): number {
  let nozzles = 0
  const directions: { readonly toward: Vec3; readonly weight: number }[] = []
  for (const emitter of emitters) {
    if (emitter.kind === 'parallel') directions.push(emitter)
    else {
      const distance = Math.max(NEAREST_MM, distanceTo(box, emitter.position))
      nozzles += (emitter.weight * densityPerSr(emitter.pattern, 1)) / (distance * distance)
    }
  }
  let parallel = 0
  for (const normal of [...NORMALS, ...directions.map(d => d.toward)]) {
    let sum = 0
    for (const { toward, weight } of directions) sum += weight * Math.max(0, dot(normal, toward))
    parallel = Math.max(parallel, sum)
  }
  return nozzles + MARGIN * parallel
}

const distanceTo = (box: Box, p: Vec3): number =>
  length(subtract(p, [0, 1, 2].map(axis => Math.min(box[axis + 3], Math.max(box[axis], p[axis]))) as unknown as Vec3))

/** 200 normals, evenly spread, 14° apart at most. */
const NORMALS: readonly Vec3[] = Array.from({ length: 200 }, (_, i): Vec3 => {
  const y = 1 - (2 * i + 1) / 200
  const ring = Math.sqrt(1 - y * y)
  const turn = i * Math.PI * (3 - Math.sqrt(5))
  return [ring * Math.cos(turn), y, ring * Math.sin(turn)]
})
