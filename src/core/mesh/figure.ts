/**
 * A placed figure: an indexed triangle mesh, plain data, safe to post to a worker.
 *
 *   positions  3·V  float32  x y z in mm, right-handed, +y up, +z the figure's front, +x the figure's own left;
 *                            lowest point at y = 0, the middle of the bounding box over x = z = 0
 *   normals    3·V  float32  unit length, crease-aware: a vertex on a crease stands once a side; (0,0,0) never occurs
 *   triangles  3·T  uint32   counter-clockwise seen from outside, every entry < V, sorted so that parts are contiguous
 *   parts                    ranges into `triangles` and `positions`: no vertex is shared between parts
 *
 * Nobody writes into these arrays after construction; make a new figure instead.
 */
export interface Figure {
  /** Changes whenever any array changes: content hash of the file + placement + refinement. Key of every cache. */
  readonly id: string
  readonly positions: Float32Array
  readonly normals: Float32Array
  readonly triangles: Uint32Array
  readonly parts: readonly Part[]
  readonly heightMm: number
  /** Bounding box, mm: [minX, minY, minZ, maxX, maxY, maxZ]. */
  readonly box: readonly [number, number, number, number, number, number]
}

/** A piece that can come off while spraying: a node of the file, or a connected piece. */
export interface Part {
  /** Unique within the figure, stable for the same file: made from the node's name or 'piece_1', by falling size. */
  readonly id: string
  readonly name: string
  readonly firstTriangle: number
  readonly triangleCount: number
  readonly firstVertex: number
  readonly vertexCount: number
}

export const vertexCount = (figure: Figure): number => figure.positions.length / 3
export const triangleCount = (figure: Figure): number => figure.triangles.length / 3
