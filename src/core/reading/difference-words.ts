import type { Difference } from './difference.ts'
import type { ViewReading } from './reading.ts'

/** One side of a comparison in words. */
export interface ComparedSide {
  /** Where the lights and darks are: 'over the flat base', 'in Cold blue squad'. */
  readonly where: string
  readonly contrast: number
  /** Contrast over that of the side's own pre-shade; null where it has none. */
  readonly contrastLeft: number | null
}

/** What differs and by how much, as a painter would say it. */
export function differenceWords(main: ComparedSide, other: ComparedSide, difference: Difference | null): string {
  const first = `${capital(other.where)} the lights and darks differ by ${stepsWords(other.contrast)} of value${leftWords(other)}`
  const second = `${main.where} by ${Math.round(main.contrast)}${leftWords(main)}.`
  return [`${first}; ${second}`, ...(difference ? [seenWords(difference)] : [])].join(' ')
}

/** How much of what is seen an eye would tell apart. */
function seenWords({ shares }: Difference): string {
  const plain = Math.round(100 * (shares[3] + shares[4]))
  const none = Math.round(100 * shares[0])
  if (none >= 99) return 'Side by side nobody would tell them apart.'
  if (plain === 0) return `Nowhere do they differ plainly; on ${none} % of what is seen there is nothing to see.`
  return `On ${plain} % of what is seen they differ plainly.`
}

const stepsWords = (contrast: number): string => {
  const steps = Math.round(contrast)
  return steps === 1 ? '1 step' : `${steps} steps`
}

const leftWords = ({ contrastLeft }: ComparedSide): string =>
  contrastLeft === null ? '' : `, which is ${Math.round(100 * contrastLeft)} % of the pre-shade`

const capital = (words: string): string => words[0].toUpperCase() + words.slice(1)

/** A reading as a side of a comparison. */
export const comparedSide = (where: string, { contrast, contrastLeft }: ViewReading): ComparedSide => ({
  where,
  contrast,
  contrastLeft,
})
