/** A paint laid to the saturation of others, and what it keeps of the pre-shade there. */
export interface LetsThrough {
  readonly name: string
  /** Share of the step between values 30 and 80 that is left, 0…1. */
  readonly kept: number
}

/** Less of a difference than this is none: a step and a half of value, which hardly anybody would see. */
const ALIKE = 0.03

/** Which of two paints of equal saturation lets the pre-shade through, as one painter would tell another. */
export function letThroughWords(one: LetsThrough, two: LetsThrough): string {
  const [more, less] = one.kept >= two.kept ? [one, two] : [two, one]
  if (more.kept - less.kept < ALIKE)
    return `At the same saturation ${one.name} and ${two.name} let about as much of the pre-shade through.`
  return `At the same saturation ${more.name} lets more of the pre-shade through: ${steps(more)} of every 50 steps between dark and light stay, of ${less.name} ${steps(less)}.`
}

const steps = ({ kept }: LetsThrough): number => Math.round(50 * kept)
