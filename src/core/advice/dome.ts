import { directionFrom, dot } from '../vec3.ts'

/** From the figure towards an eye or a nozzle, degrees; see `directionFrom`. */
export interface Direction {
  readonly azimuthDegrees: number
  readonly elevationDegrees: number
}

/** One direction of a dome: rings of level circles, the same ones for every figure. */
export interface DomeDirection extends Direction {
  /** 0 is level, the last is straight above. */
  readonly ring: number
  /** Width of its cell around the figure, degrees. */
  readonly widthDegrees: number
  /** Share of the half sphere that its cell covers; the whole dome adds up to 1. */
  readonly share: number
  /** Among the few that are looked at first, spread over the whole dome. */
  readonly coarse: boolean
}

export const RING_DEGREES = 7.5
/** Rings, and places on them, from one coarse direction to the next. */
const COARSE_STEP = 3
const RINGS = 90 / RING_DEGREES + 1

/**
 * 393 directions over the upper half sphere in cells of nearly one size, 7.5° apart: front, sides and back stand in every
 * ring. Ring by ring, level first.
 */
export function domeDirections(): DomeDirection[] {
  const dome: DomeDirection[] = []
  const sine = (degrees: number) => Math.sin((Math.max(0, Math.min(90, degrees)) * Math.PI) / 180)
  for (let ring = 0; ring < RINGS; ring++) {
    const elevationDegrees = ring * RING_DEGREES
    const around = (360 / RING_DEGREES) * Math.cos((elevationDegrees * Math.PI) / 180)
    const count = ring === RINGS - 1 ? 1 : Math.max(4, 4 * Math.round(around / 4))
    const band = sine(elevationDegrees + RING_DEGREES / 2) - sine(elevationDegrees - RING_DEGREES / 2)
    for (let i = 0; i < count; i++) {
      dome.push({
        azimuthDegrees: (i * 360) / count,
        elevationDegrees,
        ring,
        widthDegrees: 360 / count,
        share: band / count,
        coarse: ring % COARSE_STEP === 0 && i % COARSE_STEP === 0,
      })
    }
  }
  return dome
}

/** The one dome there is. */
export const DOME: readonly DomeDirection[] = domeDirections()

export function degreesBetween(a: Direction, b: Direction): number {
  const cosine = dot(
    directionFrom(a.azimuthDegrees, a.elevationDegrees),
    directionFrom(b.azimuthDegrees, b.elevationDegrees),
  )
  return (Math.acos(Math.max(-1, Math.min(1, cosine))) * 180) / Math.PI
}

/** Index of the direction nearest to another one. @param among at least one */
export function nearestOf(among: readonly Direction[], to: Direction): number {
  let best = 0
  among.forEach((direction, i) => {
    if (degreesBetween(direction, to) < degreesBetween(among[best], to)) best = i
  })
  return best
}

/**
 * The neighbour of a direction: `around` steps along its ring, `up` steps from ring to ring. Stays where there is none.
 * @param among ring by ring
 */
export function neighbourOf(among: readonly DomeDirection[], from: number, around: number, up: number): number {
  const here = among[from]
  const wanted = here.ring + up
  const ring = among.map((direction, i) => ({ direction, i })).filter(({ direction }) => direction.ring === wanted)
  if (ring.length === 0) return from
  const azimuthDegrees = here.azimuthDegrees + around * here.widthDegrees
  return ring[
    nearestOf(
      ring.map(({ direction }) => ({ ...direction, elevationDegrees: 0 })),
      { azimuthDegrees, elevationDegrees: 0 },
    )
  ].i
}

/**
 * The best few directions that stand well apart, best first.
 * @param scores one a direction; null is passed over
 */
export function bestApart(
  among: readonly Direction[],
  scores: readonly (number | null)[],
  count: number,
  apartDegrees: number,
): number[] {
  const order = scores
    .flatMap((score, i) => (score === null ? [] : [i]))
    .sort((a, b) => scores[b]! - scores[a]! || a - b)
  const chosen: number[] = []
  for (const i of order) {
    if (chosen.length === count) break
    if (chosen.every(other => degreesBetween(among[i], among[other]) >= apartDegrees)) chosen.push(i)
  }
  return chosen
}

/** Sides are judged apart, because nobody sees both: whether a direction shows the front rather than the back. */
export const showsFront = ({ azimuthDegrees }: Direction): boolean => Math.cos((azimuthDegrees * Math.PI) / 180) > -1e-9
