import { cross, dot, type Vec3 } from '../vec3.ts'
import type { Axis } from './file-mesh.ts'
import type { Placement } from './placement.ts'

/** The unit vector along an axis of the file. */
export function axisVector(axis: Axis): Vec3 {
  const sign = axis[0] === '-' ? -1 : 1
  return [axis[1] === 'x' ? sign : 0, axis[1] === 'y' ? sign : 0, axis[1] === 'z' ? sign : 0]
}

/**
 * File coordinates to the table: `up` becomes +y, `front` becomes +z, the figure's left +x; scaled to the height,
 * lowest point at y = 0, middle of the box over x = z = 0. A turn, never a mirror image.
 *
 * A figure without height along `up` (a sheet lying flat) is scaled by its greatest extent instead.
 * @param box of `positions`, as [minX, minY, minZ, maxX, maxY, maxZ]
 * @returns new positions in mm
 * @throws Error when `front` is parallel to `up`
 */
export function placePositions(
  positions: Float32Array,
  box: readonly number[],
  { up, front, heightMm }: Pick<Placement, 'up' | 'front' | 'heightMm'>,
): Float32Array {
  const y = axisVector(up)
  const z = axisVector(front)
  if (dot(y, z) !== 0) throw new Error(`front ${front} is parallel to up ${up}`)
  const rows = [cross(y, z), y, z]
  const axes = rows.map(row => row.findIndex(c => c !== 0))
  const extents = axes.map(axis => box[axis + 3] - box[axis])
  const size = extents[1] > 0 ? extents[1] : Math.max(...extents)
  const scale = size > 0 ? heightMm / size : 1
  const factors = rows.map((row, k) => row[axes[k]] * scale)
  const offsets = axes.map((axis, k) => {
    if (k !== 1) return (box[axis] + box[axis + 3]) / 2
    return factors[1] > 0 ? box[axis] : box[axis + 3]
  })
  const placed = new Float32Array(positions.length)
  const [ax, ay, az] = axes
  const [fx, fy, fz] = factors
  const [ox, oy, oz] = offsets
  for (let i = 0; i < placed.length; i += 3) {
    // + 0: the ground is at 0, not at −0.
    placed[i] = (positions[i + ax] - ox) * fx + 0
    placed[i + 1] = (positions[i + ay] - oy) * fy + 0
    placed[i + 2] = (positions[i + az] - oz) * fz + 0
  }
  return placed
}
