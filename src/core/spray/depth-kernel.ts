/**
 * The inner loops of the bake: project vertices, draw triangles into a depth buffer as the source sees them, compare
 * each vertex with what the source sees. Two twins do the same: `plain-depth-kernel.ts`, the reference that reads
 * well, and `depth-kernel.as.ts`, compiled to WebAssembly.
 */
export interface DepthKernel {
  readonly kind: 'wasm' | 'plain'
  /** V floats: exposure, added to by `addParallel`. A view that lives until `dispose`. */
  readonly exposure: Float32Array
  /** V floats 0…1: written by `findVisibility`. */
  readonly visibility: Float32Array
  /** Begins a picture: empties the depth buffer. */
  begin(view: DepthView): void
  project(firstVertex: number, vertexCount: number): void
  /** @param frontOnly leave out triangles that look away from the source: right for closed surfaces, twice as fast */
  draw(firstTriangle: number, triangleCount: number, frontOnly: boolean): void
  /** exposure += weight · max(0, n · toward) · visibility */
  addParallel(firstVertex: number, vertexCount: number, weight: number): void
  findVisibility(firstVertex: number, vertexCount: number): void
  /** What was drawn since `begin`; a view that the next `begin` may end. */
  picture(): DepthPicture
  dispose(): void
}

/**
 * How the source sees the figure. (right, up, toward) is a right-handed orthonormal frame, `toward` the source.
 *
 *   parallel     q = p − origin:  x = q·right / pixel + centreX,   y = q·up / pixel + centreY,   z = q·toward (mm)
 *   perspective  origin is the nozzle, t = −q·toward the depth:
 *                x = q·right / (t·pixel) + centreX,  y likewise,  z = 1/t (1/mm), which is linear on the screen
 *
 * In both, larger z is nearer to the source and empty pixels hold `EMPTY_DEPTH`.
 */
export interface DepthView {
  readonly perspective: boolean
  readonly right: readonly [number, number, number]
  readonly up: readonly [number, number, number]
  readonly toward: readonly [number, number, number]
  readonly origin: readonly [number, number, number]
  /** mm a pixel; for a perspective: tangent of the angle a pixel. */
  readonly pixel: number
  readonly centreX: number
  readonly centreY: number
  /** Pixels, including a rim of 2 that nothing is drawn into. */
  readonly width: number
  readonly height: number
}

export interface DepthPicture extends Pick<DepthView, 'width' | 'height' | 'pixel'> {
  /** width·height, row by row. */
  readonly depth: Float32Array
}

/** The float of four bytes 0xFE, so that a buffer is emptied by bytes. */
export const EMPTY_DEPTH = -1.6947394e38

/**
 * When a vertex counts as hidden at a pixel: the buffer is nearer to the source there than the vertex's own tangent
 * plane by more than  pixel · (BIAS_PIXELS + BIAS_CURVE · min(tan²γ, BIAS_MAX_TAN2)).
 * The plane takes away the slope of the surface itself; what is left grows with 1 + tan²γ, because facets beside the
 * vertex are turned against its normal by a few degrees. Found by trial against rays, see docs/models/spray.md.
 */
export const BIAS_PIXELS = 1.5
export const BIAS_CURVE = 0.07
export const BIAS_MAX_TAN2 = 100
/** Steeper tangent planes are taken to be this steep. */
export const MAX_SLOPE = 40
