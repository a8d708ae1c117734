/**
 * What a reader hands over: triangles as the file has them, checked but not yet turned or scaled.
 *
 *   positions  3·V  float32  finite, file's own unit and axes (node and component transforms already applied)
 *   triangles  3·T  uint32   every entry < V; triangles of one piece contiguous
 *   pieces                   the file's own division (nodes, objects, groups); one piece where it has none
 */
export interface FileMesh {
  readonly format: FileFormat
  readonly positions: Float32Array
  readonly triangles: Uint32Array
  readonly pieces: readonly FilePiece[]
  /** What the file itself states: glTF is metres and +y up; 3MF has a unit and +z up; the others say nothing (null). */
  readonly statedUnit: LengthUnit | null
  readonly statedUp: Axis | null
  /** The reader has already made one vertex of corners that stand at exactly the same place in a piece. */
  readonly welded?: true
  /** What the reader had to leave out or put right, for the user to see. */
  readonly notes: readonly IntakeNote[]
}

export interface FilePiece {
  readonly name: string
  readonly firstTriangle: number
  readonly triangleCount: number
}

export type FileFormat = 'stl' | 'obj' | 'ply' | 'gltf' | '3mf'
export type LengthUnit = 'µm' | 'mm' | 'cm' | 'm' | 'in' | 'ft'
export type Axis = '+x' | '-x' | '+y' | '-y' | '+z' | '-z'

/** Things met on the way in, counted. Words for them stand in problem-text.ts. */
export interface IntakeNote {
  readonly kind:
    | 'welded'
    | 'degenerate-dropped'
    | 'non-finite-dropped'
    | 'polygons-split'
    | 'lines-and-points-ignored'
    | 'unsupported-ignored'
    | 'open-edges'
    | 'edges-refined'
    | 'refinement-capped'
    | 'turned-inside-out'
  readonly count: number
}
