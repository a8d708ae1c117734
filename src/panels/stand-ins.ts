import type { Coat, Mix, Paint, Torch } from '../core/recipe/recipe.ts'

export function torchWords(torch: Torch): string {
  const tip = Math.round(torch.elevationDegrees)
  const hour = ((Math.round((360 - torch.azimuthDegrees) / 30) + 11) % 12) + 1
  return `brush level, figure tipped ${tip}° back, turned to ${hour} o’clock`
}

export const mixWords = (mix: Mix): string =>
  [
    `${mix.paintDrops} paint`,
    mix.thinnerDrops > 0 ? `${mix.thinnerDrops} thinner` : '',
    mix.mediumDrops > 0 ? `${mix.mediumDrops} medium` : '',
  ]
    .filter(Boolean)
    .join(' + ')

export const coatKindWords = (coat: Coat): string => (coat.kind === 'mist' ? 'sprayed' : 'all over')

const GUESS: Record<string, string> = {
  PBk7: '#1b1b1c',
  PW6: '#f4f4f2',
  PB29: '#2b44a8',
  PG7: '#1d6b5a',
  PG17: '#4d6b3a',
  PR122: '#a02a5a',
  PR254: '#b8271f',
  PV23: '#43306d',
  PY74: '#e5b61f',
  PY43: '#b5823b',
  'PBr7 burnt sienna': '#7a4a30',
}

export function paintHex(paint: Paint | undefined): string {
  if (!paint) return '#808080'
  if (paint.body.kind === 'quick') return paint.body.hex
  if (paint.body.kind === 'pigments') return GUESS[paint.body.pigments[0]?.ci ?? ''] ?? '#808080'
  return '#808080'
}

export { PAINT_SHELF as SHELF } from '../core/film/paint-shelf.ts'

export const CAUTIONS: readonly string[] = ['Any spray mist can be breathed in, water-based paint included.']
