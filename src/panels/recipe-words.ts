import type { Coat, Mix, Torch } from '../core/recipe/recipe.ts'

const HOURS = 12

/**
 * How to hold figure and brush so that the paint comes from where the torch stands: the brush stays level, the figure
 * is tipped and turned. The clock lies on the figure's base: 12 at its front, 9 at its own left.
 */
export function torchWords({ azimuthDegrees, elevationDegrees, rollDegrees }: Torch): string {
  const tip = Math.round(elevationDegrees)
  const hour = (((Math.round(-azimuthDegrees / 30) % HOURS) + HOURS - 1) % HOURS) + 1
  if (tip >= 85) return 'brush level, figure lying on its back, head towards the brush'
  const tipped = tip === 0 ? 'figure upright' : `figure tipped ${Math.abs(tip)}° ${tip > 0 ? 'back' : 'forward'}`
  const turned = `turned to ${hour} o’clock`
  const rolled = rollDegrees > 0 ? `, rolled ±${Math.round(rollDegrees)}°` : ''
  return `brush level, ${tipped}, ${turned}${rolled}`
}

/** '1 paint + 3 thinner', never a bare ratio. */
export const mixWords = (mix: Mix): string =>
  [
    `${drops(mix.paintDrops)} paint`,
    mix.thinnerDrops > 0 ? `${drops(mix.thinnerDrops)} thinner` : '',
    mix.mediumDrops > 0 ? `${drops(mix.mediumDrops)} medium` : '',
  ]
    .filter(Boolean)
    .join(' + ')

export const coatKindWords = (coat: Coat): string => (coat.kind === 'mist' ? 'sprayed' : 'all over')

const drops = (count: number): string => count.toLocaleString('en-GB', { maximumFractionDigits: 1 })
