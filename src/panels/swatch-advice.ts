import type { SwatchAnswer, SwatchFlaw, TwoSwatches } from '../core/film/two-swatches.ts'
import { ONE_COAT_UM } from './paint-draft.ts'

/** Which entry a sentence stands beside. */
export type AdvisedField = 'overBlack' | 'overWhite' | 'cards' | 'film'

export interface Advice {
  readonly flaw: SwatchFlaw
  readonly field: AdvisedField
  readonly sentence: string
}

const SENTENCES: Readonly<Record<SwatchFlaw, string>> = {
  'surface-exceeds-reading':
    'Darker than any matt surface looks (value 24). Take the photo lighter, balance it on the grey card, or read with gloss included.',
  'backings-too-similar':
    'The two cards are too alike to tell what shows through. Paint one swatch on black and one on white.',
  'over-white-darker': 'Darker over white than over black. Swap the two, or check that both have the same film.',
  hiding:
    'The film hides its card, so its strength is a least guess. Paint a thinner swatch: the card should just show.',
  'negative-absorption':
    'Brighter over white than any paint can be there. Check the colour of the bare white card, and the photo for glare.',
  'too-thin': 'The film changes neither card. Paint a thicker swatch.',
  'no-scatter-information':
    'Over black it looks like the bare card, so it is taken to lighten nothing. A thicker swatch would tell.',
  'thickness-missing': `Nobody measured the film: it is taken as ${ONE_COAT_UM} µm, one coat with a brush. If yours was thinner, the paint is stronger than shown.`,
}

const FIELDS: Readonly<Record<Exclude<SwatchFlaw, 'surface-exceeds-reading'>, AdvisedField>> = {
  'backings-too-similar': 'cards',
  'over-white-darker': 'overWhite',
  hiding: 'film',
  'negative-absorption': 'overWhite',
  'too-thin': 'film',
  'no-scatter-information': 'overBlack',
  'thickness-missing': 'film',
}

/** What two swatches cannot tell, each as a sentence that says what to do, beside what it is about. */
export function swatchAdvice(read: TwoSwatches, { flaws }: SwatchAnswer): Advice[] {
  return flaws.map(({ flaw, nm }) => ({
    flaw,
    field:
      flaw === 'surface-exceeds-reading'
        ? Math.min(...read.overBlack) <= Math.min(...read.overWhite)
          ? 'overBlack'
          : 'overWhite'
        : FIELDS[flaw],
    sentence: `${whereWords(nm)}${SENTENCES[flaw]}`,
  }))
}

/** In which light, where it is not in all of it. */
function whereWords(nm: readonly number[]): string {
  const colours = [
    nm.some(n => n < 500) && 'blue',
    nm.some(n => n >= 500 && n < 600) && 'green',
    nm.some(n => n >= 600) && 'red',
  ].filter(word => word !== false)
  return colours.length === 3 ? '' : `In ${colours.join(' and ')} light: `
}
