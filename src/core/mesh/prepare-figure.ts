import { textHash } from './content-hash.ts'
import { CREASE_DEGREES, creaseNormals } from './crease-normals.ts'
import type { Figure } from './figure.ts'
import type { Axis, IntakeNote, LengthUnit } from './file-mesh.ts'
import { extentAlong } from './guess-placement.ts'
import { placePositions } from './place-figure.ts'
import type { Placement, Refinement } from './placement.ts'
import { refineEdges } from './refine-edges.ts'
import { boxOf, type WeldedMesh } from './weld-file-mesh.ts'

export interface PreparedFigure {
  readonly figure: Figure
  /** The welded mesh's notes, and what refinement did. */
  readonly notes: readonly IntakeNote[]
}

/**
 * A welded mesh placed on the table: turned, scaled, with crease-aware normals, long edges refined.
 *
 * Nothing here depends on the file any more, so that a new height, axis or edge length costs this step alone.
 * @throws Error when the placement's front is parallel to its up
 */
export function prepareFigure(
  mesh: WeldedMesh,
  placement: Placement,
  refinement: Refinement,
  { creaseDegrees = CREASE_DEGREES }: { readonly creaseDegrees?: number } = {},
): PreparedFigure {
  const placed = placePositions(mesh.positions, mesh.box, placement)
  const creased = creaseNormals(placed, mesh.triangles, creaseDegrees)
  const parts = mesh.parts.map(part => {
    const firstVertex = creased.firstOf[part.firstVertex]
    const vertexCount = creased.firstOf[part.firstVertex + part.vertexCount] - firstVertex
    return { ...part, firstVertex, vertexCount }
  })
  const edgeMm = (refinement.edgeMmAt32 * placement.heightMm) / 32
  const refined = refineEdges({ ...creased, parts }, edgeMm, refinement.vertexBudget)
  const notes: IntakeNote[] = [...mesh.notes]
  if (refined.split > 0) notes.push({ kind: 'edges-refined', count: refined.split })
  if (refined.stillLong > 0) notes.push({ kind: 'refinement-capped', count: refined.stillLong })
  const box = boxOf(refined.positions)
  const { up, front, heightMm } = placement
  const how = [up, front, heightMm, refinement.edgeMmAt32, refinement.vertexBudget, creaseDegrees].join(' ')
  return {
    figure: {
      id: `${mesh.contentHash}-${textHash(how)}`,
      positions: refined.positions,
      normals: refined.normals,
      triangles: refined.triangles,
      parts: refined.parts,
      heightMm: box[4] - box[1],
      box,
    },
    notes,
  }
}

/** What the figure bar says about a mesh before anything is chosen. */
export interface FileMeshFacts {
  readonly triangles: number
  readonly vertices: number
  readonly parts: number
  /** Extents along x, y and z in the file's own unit. */
  readonly size: readonly [number, number, number]
  /** Extent along each up axis, to turn a unit into a height: `heightAlong[axis] * MM_PER_UNIT[unit]` mm. */
  readonly heightAlong: Readonly<Record<Axis, number>>
  readonly statedUnit: LengthUnit | null
  readonly statedUp: Axis | null
}

export function describeFileMesh(mesh: WeldedMesh): FileMeshFacts {
  const { box } = mesh
  const [x, y, z] = (['+x', '+y', '+z'] as const).map(axis => extentAlong(mesh, axis))
  return {
    triangles: mesh.triangles.length / 3,
    vertices: mesh.positions.length / 3,
    parts: mesh.parts.length,
    size: [box[3] - box[0], box[4] - box[1], box[5] - box[2]],
    heightAlong: { '+x': x, '-x': x, '+y': y, '-y': y, '+z': z, '-z': z },
    statedUnit: mesh.statedUnit,
    statedUp: mesh.statedUp,
  }
}
