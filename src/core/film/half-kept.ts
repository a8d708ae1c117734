import { linearRgbOf } from '../colour/band-weights.ts'
import { lStarOfLuminance, luminanceOf } from '../colour/lab.ts'
import { DARK_VALUE, greyGround, LIGHT_VALUE } from './grey-ground.ts'
import { film, over } from './kubelka-munk.ts'
import type { Optics } from './paint-optics.ts'
import { seenReflectance } from './saunderson.ts'

/** Share of the step between a dark and a light ground that an even film leaves: 1 without a film, 0 when it hides. */
export function filmKeeps({ absorption, scattering }: Optics, thicknessUm: number): number {
  const value = (lStar: number) => {
    const seen = greyGround(lStar).map((ground, b) =>
      seenReflectance(over(film(absorption[b], scattering[b], thicknessUm), ground)),
    )
    return lStarOfLuminance(luminanceOf(...linearRgbOf(seen)))
  }
  return (value(LIGHT_VALUE) - value(DARK_VALUE)) / (LIGHT_VALUE - DARK_VALUE)
}

/** Thickness at which an even film leaves half of the step, by bisection to 1e-9 of it; 1e6 for one that never does. */
export function halfKeptUm(optics: Optics): number {
  let [low, high] = [1e-6, 1e6]
  for (let i = 0; i < 60; i++) {
    const middle = Math.sqrt(low * high)
    if (filmKeeps(optics, middle) > 0.5) low = middle
    else high = middle
  }
  return low
}
