import type { Axis, LengthUnit } from './file-mesh.ts'

/** How the file's coordinates become millimetres on the table. Part of the document; corrected in the figure bar. */
export interface Placement {
  readonly up: Axis
  /** The way the figure looks; never parallel to `up`. */
  readonly front: Axis
  /** Height of the placed figure in mm. The one truth of scale; choosing a unit sets it from the file's extent. */
  readonly heightMm: number
  /** The unit that was chosen, or null when the height was typed in. */
  readonly unit: LengthUnit | null
}

/** Long edges are split until none is longer than this share of the height (0.35 mm at 32 mm), within a budget. */
export interface Refinement {
  readonly edgeMmAt32: number
  readonly vertexBudget: number
}

export const REFINEMENT_DEFAULTS: Refinement = { edgeMmAt32: 0.35, vertexBudget: 400_000 }
