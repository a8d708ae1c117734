import { type SprayWarning, type SprayWarningCode, WARNING_LIMITS } from './spray-warnings.ts'

const tenths = (value: number): string => String(Number(value.toFixed(1)))

/** What to fear, and what to do about it. */
const WORDS: { readonly [Code in SprayWarningCode]: (value: number) => string } = {
  'spray/runs': um => `May run: one pass lays ${um.toFixed(0)} µm wet. More passes with less paint, or a faster hand.`,
  'spray/flooded-recesses': um =>
    `May flood the recesses: one pass lays ${um.toFixed(0)} µm wet. A faster hand, or less trigger.`,
  'spray/dusting': mm =>
    `May land as dust: from ${mm.toFixed(0)} mm the finest drops dry on the way and feel rough. Come nearer.`,
  'spray/high-pressure': bar =>
    `May dry on the way and turn chalky: ${tenths(bar)} bar makes very fine drops. Turn the pressure down.`,
  'spray/thick-mix': volumes =>
    volumes > 0
      ? `May spit and dry chalky: only ${tenths(volumes)} of thinner to 1 of paint. Thin it more.`
      : 'May spit and dry chalky: the paint is not thinned.',
  'spray/weak-binder': volumes =>
    `May rub off: ${tenths(volumes)} of thinner to 1 of paint leaves little binder. Put clear medium in place of some thinner.`,
  'spray/overspray': share =>
    `Most of it misses: ${share < 0.01 ? 'less than 1' : (100 * share).toFixed(0)} % lands. The rest drifts onto the base and what stands beside it: come nearer, or mask.`,
  'spray/gloss-below': () => 'Thin paint beads on gloss: put a matt coat between.',
  'spray/primer-matt': () => 'Is the primer matt and dry? Thin paint beads on gloss.',
}

/** The warning as a sentence or two. */
export const warningWords = ({ code, value }: SprayWarning): string => WORDS[code](value ?? 0)

/** Where the line is drawn, and how well that is known. */
export function warningBasis({ code }: SprayWarning): string {
  if (code === 'spray/gloss-below' || code === 'spray/primer-matt') return 'From memory: common practice.'
  const { value, min, max, basis } = WARNING_LIMITS[code]
  return `Warned at ${value}; practice draws the line between ${min} and ${max}. From memory: ${basis}.`
}
