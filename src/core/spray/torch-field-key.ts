import type { PartId, PartState, Torch } from '../recipe/recipe.ts'
import { turnDegreesOf } from './emitters.ts'

/**
 * Names an exposure field: every input that changes its numbers, and nothing else. Passes, name, mute, dwell and speed
 * scale the deposit, not the field; a sweep of the whole figure does not depend on its aim or distance.
 * @param partStates parts not named are 'on'
 */
export function torchFieldKey(figureId: string, partStates: Readonly<Record<PartId, PartState>>, torch: Torch): string {
  const { sweep } = torch
  const inputs: (string | number)[] = [
    sweep.kind,
    torch.azimuthDegrees,
    torch.elevationDegrees,
    torch.pattern,
    torch.spread,
    turnDegreesOf(torch),
  ]
  if (sweep.kind !== 'figure') inputs.push(torch.distanceMm, ...torch.aim)
  if (sweep.kind === 'area') inputs.push(sweep.radiusMm)
  if (sweep.kind === 'stroke') inputs.push(sweep.lengthMm)
  return JSON.stringify([partsKey(figureId, partStates), ...inputs])
}

/** Names what depends on the figure and its part states alone, such as openness. */
export function partsKey(figureId: string, partStates: Readonly<Record<PartId, PartState>>): string {
  const off = Object.entries(partStates).filter(([, state]) => state !== 'on')
  off.sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0))
  return JSON.stringify([figureId, ...off])
}
