import type { Coat, Mix, Torch } from '../core/recipe/recipe.ts'

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

export const CAUTIONS: readonly string[] = ['Any spray mist can be breathed in, water-based paint included.']
