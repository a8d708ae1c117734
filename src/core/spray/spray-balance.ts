import type { Figure } from '../mesh/figure.ts'
import { vertexAreas } from '../mesh/vertex-areas.ts'
import type { PartId, PartState, Torch } from '../recipe/recipe.ts'
import { add, dot, length, scale, subtract, type Vec3 } from '../vec3.ts'
import { bufferSizeFor, createBakeKernel } from './bake-exposure.ts'
import { type Emitter, emittersOf, type SweptPlace } from './emitters.ts'
import { rowsWalked } from './film-per-pass.ts'

/** Where the part of a torch's beam goes that flies straight, as shares of what left the nozzle. */
export interface SprayBalance {
  /** On the figure: exposure over its surface. */
  readonly landed: number
  /** Through a sphere around figure and nozzle, from inside: found on its own, not as what is left over. */
  readonly missed: number
}

/**
 * Both shares are sums over points of a surface, of the same exposure and the same shadows; nothing makes them add up
 * to 1 but that no paint is lost. Parts that are not 'on' are left out: what is sprayed apart has a sweep of its own.
 *
 * A sweep of the whole figure walks its rows only as far as `rowsWalked` says.
 *
 * @param directions as for `emittersOf`
 * @param spherePoints evenly spread; the error falls about as points^(−3/4)
 */
export function sprayBalance(
  figure: Figure,
  partStates: Readonly<Record<PartId, PartState>>,
  torch: Torch,
  directions = 64,
  spherePoints = 40_000,
): SprayBalance {
  const emitters = emittersOf(torch, figure, directions, rowsWalked(torch, figure))
  const { box } = figure
  const centre: Vec3 = [(box[0] + box[3]) / 2, (box[1] + box[4]) / 2, (box[2] + box[5]) / 2]
  const figureReach = length(subtract([box[3], box[4], box[5]], centre))
  const radius = 1.05 * Math.max(figureReach, ...emitters.map(e => reachOf(e, centre)))
  const inSphere = withSphere(figure, centre, radius, spherePoints)
  const together = Object.fromEntries(
    Object.entries(partStates).map(([id, state]) => [id, state === 'on' ? 'on' : 'absent'] as const),
  )
  const kernel = createBakeKernel(inSphere)
  try {
    const exposure = kernel.bake(together, emitters, { bufferSize: bufferSizeFor(figure) })
    const left = emitters.reduce((sum, e) => sum + e.weight * leavesOf(e), 0)
    const areas = vertexAreas(figure)
    const landed = areas.reduce((sum, area, v) => sum + area * exposure[v], 0)
    const through = exposure.subarray(areas.length).reduce((sum, e) => sum + e, 0)
    return { landed: landed / left, missed: (through * 4 * Math.PI * radius * radius) / spherePoints / left }
  } finally {
    kernel.dispose()
  }
}

/** What leaves an emitter of weight 1, in the unit of exposure · mm². */
function leavesOf(emitter: Emitter): number {
  if (emitter.kind === 'nozzle') return 1
  const { swept, toward } = emitter
  if (!swept) throw new Error('rows without an end leave no countable amount')
  return areaOf(swept) * dot(toward, swept.axis)
}

/** The rim of a disc is a ramp: ∫ coverage dA = π·(r² + soft²/3). */
const areaOf = (swept: SweptPlace): number =>
  swept.kind === 'disc'
    ? Math.PI * (swept.radiusMm ** 2 + swept.softMm ** 2 / 3)
    : 4 * swept.halfWidthMm * swept.halfHeightMm

/** Distance from the centre within which all of an emitter's nozzles stand. */
function reachOf(emitter: Emitter, centre: Vec3): number {
  if (emitter.kind === 'nozzle') return length(subtract(emitter.position, centre))
  const { swept } = emitter
  if (!swept) return 0
  const half = swept.kind === 'disc' ? swept.radiusMm + swept.softMm : Math.hypot(swept.halfWidthMm, swept.halfHeightMm)
  return length(subtract(swept.centre, centre)) + half
}

const SPHERE = 'the sphere around the scene'

/** The figure and, as a part that casts no shadow, points of a sphere around it that look inwards. */
function withSphere(figure: Figure, centre: Vec3, radius: number, points: number): Figure {
  const golden = Math.PI * (3 - Math.sqrt(5))
  const positions = new Float32Array(figure.positions.length + 3 * points)
  const normals = new Float32Array(positions.length)
  positions.set(figure.positions)
  normals.set(figure.normals)
  for (let i = 0; i < points; i++) {
    const y = 1 - (2 * i + 1) / points
    const ring = Math.sqrt(1 - y * y)
    const outward: Vec3 = [ring * Math.cos(i * golden), y, ring * Math.sin(i * golden)]
    positions.set(add(centre, scale(outward, radius)), figure.positions.length + 3 * i)
    normals.set(scale(outward, -1), figure.positions.length + 3 * i)
  }
  const sphere = {
    id: SPHERE,
    name: SPHERE,
    firstTriangle: figure.triangles.length / 3,
    triangleCount: 0,
    firstVertex: figure.positions.length / 3,
    vertexCount: points,
  }
  return { ...figure, id: `${figure.id} in a sphere`, positions, normals, parts: [...figure.parts, sphere] }
}
