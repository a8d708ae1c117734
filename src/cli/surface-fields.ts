import type { Figure } from '../core/mesh/figure.ts'
import { openness, REFINED } from '../core/spray/bake-exposure.ts'
import { accessibilityMm } from '../core/surface/accessibility.ts'
import { edgeStrengthPerMm } from '../core/surface/edge-strength.ts'
import { surfaceEdges } from '../core/surface/surface-edges.ts'
import type { NamedField } from '../io/write-ply.ts'

/** What the surface fields were found with; goes into the report beside them. */
export const SURFACE_SETTINGS = {
  opennessDirections: 2 * REFINED.directions,
  /** A fingertip; whatever is wider than that, any tool reaches. From memory, 1 to 5 mm in use at this scale. */
  accessibilityProbeMm: 5,
  /** From memory, 0.2 to 0.5 mm in use at this scale. */
  edgeRadiusMm: 0.25,
} as const

/**
 * The shape of a figure at each of its vertices, V floats each, every part in its place:
 * `openness` 0…1; `accessibility_mm`, radius of the largest sphere that touches there; `edge_per_mm`, how sharply the
 * surface stands out (positive) or folds in.
 */
export function surfaceFields(figure: Figure): NamedField[] {
  const { opennessDirections, accessibilityProbeMm, edgeRadiusMm } = SURFACE_SETTINGS
  return [
    ['openness', openness(figure, {}, opennessDirections)],
    ['accessibility_mm', accessibilityMm(figure, accessibilityProbeMm)],
    ['edge_per_mm', edgeStrengths(figure, edgeRadiusMm)],
  ]
}

/** Both sides of a crease are one place, and stand out alike. Vertices of no triangle: 0. */
function edgeStrengths(figure: Figure, radiusMm: number): Float32Array {
  const surface = surfaceEdges(figure)
  const strengths = edgeStrengthPerMm(surface, radiusMm)
  const ofVertex = new Float32Array(figure.positions.length / 3)
  for (let c = 0; c < figure.triangles.length; c++) ofVertex[figure.triangles[c]] = strengths[surface.triangles[c]]
  return ofVertex
}
