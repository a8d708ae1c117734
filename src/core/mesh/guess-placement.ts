import type { Axis, LengthUnit } from './file-mesh.ts'
import { axisVector } from './place-figure.ts'
import type { Placement } from './placement.ts'
import type { WeldedMesh } from './weld-file-mesh.ts'

export const MM_PER_UNIT: Readonly<Record<LengthUnit, number>> = {
  µm: 1e-3,
  mm: 1,
  cm: 10,
  m: 1000,
  in: 25.4,
  ft: 304.8,
}

/** Height that is proposed where neither the file nor its size says anything. */
export const USUAL_HEIGHT_MM = 32
/** A figure on a table; the guess of a unit must end up in this range. */
const LIKELY_MM = [20, 100] as const
/** A unit that the file states is believed over this wider range (a bust, a dragon, a base). */
const BELIEVABLE_MM = [5, 400] as const

/**
 * A first guess at unit, up, front and height, to be corrected in place.
 *
 * Up: what the file states; else the side with a flat foot (see `footShare`) when one stands out; else the taller of
 * +y and +z; else the habit of the format (STL +z, OBJ and PLY +y).
 * Front: +z under +y up (the rule of glTF), −y under +z up (the habit of printing and sculpting programs).
 * Unit: the stated one when the height is then believable; else the first of mm, cm, m, in, µm that makes the figure
 * 20 to 100 mm tall; else none and 32 mm.
 */
export function guessPlacement(mesh: WeldedMesh): Placement {
  const up = mesh.statedUp ?? guessUp(mesh)
  const extent = extentAlong(mesh, up)
  const heightIn = (unit: LengthUnit) => extent * MM_PER_UNIT[unit]
  const within = (mm: number, [least, most]: readonly [number, number]) => mm >= least && mm <= most
  const unit = mesh.statedUnit
    ? within(heightIn(mesh.statedUnit), BELIEVABLE_MM)
      ? mesh.statedUnit
      : null
    : ((['mm', 'cm', 'm', 'in', 'µm'] as const).find(u => within(heightIn(u), LIKELY_MM)) ?? null)
  return { up, front: usualFront(up), unit, heightMm: unit ? Number(heightIn(unit).toPrecision(6)) : USUAL_HEIGHT_MM }
}

/** The front that goes with an up axis where nothing else is known. */
export const usualFront = (up: Axis): Axis => (up[1] === 'y' ? '+z' : up === '-z' ? '+y' : up[1] === 'z' ? '-y' : '+z')

/** Extent of the mesh along an axis in its own unit; the greatest one where that is zero, as in `placePositions`. */
export function extentAlong({ box }: Pick<WeldedMesh, 'box'>, axis: Axis): number {
  const k = axisVector(axis).findIndex(c => c !== 0)
  const extents = [box[3] - box[0], box[4] - box[1], box[5] - box[2]]
  return extents[k] > 0 ? extents[k] : Math.max(...extents)
}

const CANDIDATES: readonly Axis[] = ['+z', '+y', '+x', '-z', '-y', '-x']

function guessUp(mesh: WeldedMesh): Axis {
  const habit: Axis = mesh.format === 'stl' || mesh.format === '3mf' ? '+z' : '+y'
  const feet = CANDIDATES.map(axis => footShare(mesh, axis))
  const [best, second] = [...feet].sort((a, b) => b - a)
  if (best > 0.15 && best > 2 * second) return CANDIDATES[feet.indexOf(best)]
  const y = extentAlong(mesh, '+y')
  const z = extentAlong(mesh, '+z')
  if (y > 1.2 * z) return '+y'
  if (z > 1.2 * y) return '+z'
  return habit
}

/**
 * How much of the box's footprint stands on the ground when `up` is up: area of triangles within 1 % of the extent
 * from the low end whose normal is within 10° of straight down, over the area of the box seen from above.
 * @returns 0 … about 1
 */
function footShare({ positions: p, triangles, box }: WeldedMesh, up: Axis): number {
  const direction = axisVector(up)
  const k = direction.findIndex(c => c !== 0)
  const sign = direction[k]
  const i = (k + 1) % 3
  const j = (k + 2) % 3
  const footprint = (box[i + 3] - box[i]) * (box[j + 3] - box[j])
  if (!(footprint > 0)) return 0
  const low = sign > 0 ? box[k] : box[k + 3]
  const reach = 0.01 * (box[k + 3] - box[k])
  let area = 0
  for (let t = 0; t < triangles.length; t += 3) {
    const a = 3 * triangles[t]
    if (sign * (p[a + k] - low) > reach) continue
    const b = 3 * triangles[t + 1]
    if (sign * (p[b + k] - low) > reach) continue
    const c = 3 * triangles[t + 2]
    if (sign * (p[c + k] - low) > reach) continue
    const ui = p[b + i] - p[a + i]
    const uj = p[b + j] - p[a + j]
    const uk = p[b + k] - p[a + k]
    const vi = p[c + i] - p[a + i]
    const vj = p[c + j] - p[a + j]
    const vk = p[c + k] - p[a + k]
    const nk = ui * vj - uj * vi
    const ni = uj * vk - uk * vj
    const nj = uk * vi - ui * vk
    if (-sign * nk > COS_10 * Math.sqrt(nk * nk + ni * ni + nj * nj)) area += -sign * nk
  }
  return area / 2 / footprint
}

const COS_10 = Math.cos((10 * Math.PI) / 180)
