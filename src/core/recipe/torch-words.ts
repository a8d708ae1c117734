import { unreachable } from '../unreachable.ts'
import type { Torch } from './recipe.ts'

/** From here on up or down, which way the figure is turned changes nothing worth saying. */
const UPRIGHT_DEGREES = 85

/**
 * How to hold the figure so that a level brush sprays it from the torch's direction: 'brush level, figure tipped 35°
 * towards the brush, turned to 1 o’clock, rolling 45° both ways'.
 *
 * - Turned: the hour that the figure's front points to, to the nearest half hour. The dial lies flat under the figure,
 *   12 at the brush, hours clockwise seen from above. At 12 the front faces the brush; a torch at the figure's left
 *   (azimuth 90) wants the figure at 3, one behind it at 6.
 * - Tipped: after turning. For spray from above the head comes towards the brush, wherever the front points: that is
 *   the turn that brings the direction to the nozzle down to level. (Said 'back', it would be read as leaning away.)
 * - Rolling: about the figure's own upright axis, that is the handle, while sweeping.
 */
export function torchWords(torch: Torch): string {
  const elevation = Math.round(torch.elevationDegrees)
  const sweep = sweepWords(torch)
  if (elevation >= UPRIGHT_DEGREES) return join('figure upright, brush straight down from above', sweep)
  if (elevation <= -UPRIGHT_DEGREES) return join('figure upright, brush straight up from below', sweep)
  const rolls = torch.sweep.kind !== 'arc' && torch.sweep.kind !== 'stroke' && Math.round(torch.rollDegrees) > 0
  return join(
    `brush level, ${tipWords(elevation)}`,
    `turned to ${hourWords(torch.azimuthDegrees)}`,
    rolls ? `rolling ${Math.round(torch.rollDegrees)}° both ways` : '',
    sweep,
  )
}

/** The one line that explains the hours, to stand once beside them. */
export const HOURS_EXPLAINED =
  'Hours: 12 o’clock is the brush, clockwise seen from above; the figure’s front points to the hour.'

/** '100 mm away'. */
export const distanceWords = (torch: Pick<Torch, 'distanceMm'>): string => `${Math.round(torch.distanceMm)} mm away`

/**
 * '12 o’clock', 'half past 1'.
 * @param azimuthDegrees any angle, of the torch as seen from the figure
 */
export function hourWords(azimuthDegrees: number): string {
  // Turning the figure clockwise by the azimuth brings its left (azimuth 90) round to the brush.
  const halves = ((Math.round(azimuthDegrees / 15) % 24) + 24) % 24
  const hour = Math.floor(halves / 2) || 12
  return halves % 2 === 0 ? `${hour} o’clock` : `half past ${hour}`
}

function tipWords(elevation: number): string {
  if (elevation === 0) return 'figure upright'
  return `figure tipped ${Math.abs(elevation)}° ${elevation > 0 ? 'towards' : 'away from'} the brush`
}

/** Nothing to say for the usual sweep of the whole figure. */
function sweepWords({ sweep }: Pick<Torch, 'sweep'>): string {
  switch (sweep.kind) {
    case 'figure':
      return ''
    case 'area':
      return `over a disc of ${decimal(2 * sweep.radiusMm)} mm`
    case 'arc':
      return `carried ${Math.round(sweep.spanDegrees)}° around the figure`
    case 'stroke':
      return `one straight stroke of ${decimal(sweep.lengthMm)} mm`
    case 'still':
      return `held still for ${decimal(sweep.secondsPerPass)} s a pass`
    default:
      return unreachable(sweep)
  }
}

const decimal = (value: number): string => String(Math.round(10 * value) / 10)

const join = (...words: readonly string[]): string => words.filter(Boolean).join(', ')
