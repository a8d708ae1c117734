import type { Direction } from '../core/advice/dome.ts'

/** −180 (exclusive) … 180. */
export const turnedDegrees = (degrees: number): number => 180 - ((((180 - degrees) % 360) + 360) % 360)

/** 'front, 30° above', '45° to its left, level'. */
export function directionWords({ azimuthDegrees, elevationDegrees }: Direction): string {
  const up = Math.round(elevationDegrees)
  if (up === 90) return 'straight above'
  const turned = turnedDegrees(azimuthDegrees)
  const around = Math.round(Math.abs(turned))
  const side = around === 0 ? 'front' : around === 180 ? 'back' : `${around}° to its ${turned > 0 ? 'left' : 'right'}`
  return `${side}, ${up === 0 ? 'level' : up > 0 ? `${up}° above` : `${-up}° below`}`
}
