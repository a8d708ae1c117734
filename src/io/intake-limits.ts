/**
 * What a file may hold before it is refused, with the figure named to the user. They stop a file from taking the
 * machine along; they are no measure of what is sensible to paint.
 */
export interface IntakeLimits {
  /** Size of the file itself. A binary STL of 3 million triangles has 150 MB. */
  readonly bytes: number
  readonly triangles: number
  readonly vertices: number
  /** Nodes, objects, references or instances in the file (glTF, 3MF). Each costs about 10 kB on the way. */
  readonly pieces: number
  /** Levels of components inside components (3MF). */
  readonly depth: number
  /** Everything read out of a zip, counted as it comes. */
  readonly inflatedBytes: number
}

export const INTAKE_LIMITS: IntakeLimits = {
  bytes: 2 ** 30,
  triangles: 12_000_000,
  vertices: 36_000_000,
  pieces: 100_000,
  depth: 256,
  inflatedBytes: 2 ** 30,
}

/** Coordinates beyond this are no measure in any unit; they count as not finite. */
export const SANE_MAGNITUDE = 1e12
