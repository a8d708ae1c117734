import type { Figure } from '../core/mesh/figure.ts'

/** The figure turned about its upright axis, as slabs from the base up: what a picture has to take in from any azimuth. */
export interface FigureOutline {
  readonly heightMm: number
  /** Farthest vertex from the upright axis within each of `SLABS` equal slabs, mm; 0 where a slab is empty. */
  readonly radiiMm: readonly number[]
}

const SLABS = 24
const made = new WeakMap<Figure, FigureOutline>()

/** One pass over the vertices, kept for the life of the figure. */
export function outlineOf(figure: Figure): FigureOutline {
  const kept = made.get(figure)
  if (kept) return kept
  const { positions, heightMm } = figure
  const squares = new Float64Array(SLABS)
  for (let i = 0; i < positions.length; i += 3) {
    const slab = Math.min(SLABS - 1, Math.max(0, Math.floor((positions[i + 1] / heightMm) * SLABS)))
    squares[slab] = Math.max(squares[slab], positions[i] ** 2 + positions[i + 2] ** 2)
  }
  const outline = { heightMm, radiiMm: [...squares].map(Math.sqrt) }
  made.set(figure, outline)
  return outline
}
