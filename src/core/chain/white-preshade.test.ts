import { describe, expect, test } from 'vitest'
import { labOfLinearRgb } from '../colour/lab.ts'
import { coatFilm, coatOver, primerReflectance, seenRgb } from '../film/coat-film.ts'
import { demoRecipe } from '../recipe/demo-recipe.ts'
import type { MistCoat } from '../recipe/recipe.ts'
import { torchSet } from '../recipe/torch-sets.ts'
import { WHITE_PRESHADE } from '../spray/airbrush-settings.ts'
import { emittersOf, facingResponse, torchAxis } from '../spray/emitters.ts'
import { filmOfPass } from '../spray/film-per-pass.ts'
import type { Vec3 } from '../vec3.ts'

const demo = demoRecipe()
const coatWith = (thinnerDrops: number, distanceMm: number, passes: number): MistCoat => {
  let count = 0
  const torches = torchSet('front-and-back', prefix => `${prefix}_${++count}`)
  return {
    ...(demo.coats[0] as MistCoat),
    airbrush: WHITE_PRESHADE.airbrush,
    mix: { ...WHITE_PRESHADE.mix, thinnerDrops },
    torches: torches.map(torch => ({ ...torch, distanceMm, passes })),
  }
}
const { volumeSolids } = demo.paints.find(p => p.id === 'white') ?? { volumeSolids: 0 }

const valueAt = (coat: MistCoat, um: number) =>
  labOfLinearRgb(...seenRgb(coatOver(coatFilm(coat, demo), um, primerReflectance(demo))))[0]

/** L* of a bare plane under all torches of the coat. */
function valueFacing(coat: MistCoat, normal: Vec3 | 'front torch'): number {
  let um = 0
  for (const torch of coat.torches) {
    const n = normal === 'front torch' ? torchAxis(coat.torches[0], 32).toward : normal
    const exposure = facingResponse(emittersOf(torch, { heightMm: 32 }, 256), torchAxis(torch, 32).aim, n)
    um += torch.passes * exposure * filmOfPass(torch, coat.airbrush, coat.mix, volumeSolids, demo.dropMl).directUm
  }
  return valueAt(coat, um)
}

/** Common practice, no source; the disagreements stand in docs/models/spray.md. */
describe('the white pre-shade, one drop to four or five of thinner, over black', () => {
  // Held at 3 passes; by 6 the model is too light, by the amounts that the document states.
  test.each([
    [80, 4, 9.9],
    [100, 4, 6.4],
    [100, 5, 3.7],
    [120, 5, 0.9],
  ])('L* 40 to 55 in 3 to 6 passes, %d mm, 1 + %d: at 6 passes too light by %d', (distanceMm, thinner, tooLight) => {
    const three = valueFacing(coatWith(thinner, distanceMm, 3), 'front torch')
    expect(three).toBeGreaterThan(40)
    expect(three).toBeLessThan(55)
    expect(valueFacing(coatWith(thinner, distanceMm, 6), 'front torch') - 55).toBeCloseTo(tooLight, 1)
  })

  // By how much, in what we know least: flow, from memory 7 to 15 mm³/s. Film and mix are proportional to it.
  test.each([
    [80, 4, 5.24],
    [100, 4, 6.55],
    [100, 5, 7.82],
    [120, 5, 9.38],
  ])('%d mm, 1 + %d: at %d mm³/s instead of 10 all of practice fits to half a step', (distanceMm, thinner, flow) => {
    const at = (passes: number, normal: Vec3 | 'front torch') => {
      const coat = coatWith(thinner, distanceMm, passes)
      return valueFacing({ ...coat, airbrush: { ...coat.airbrush, flowMm3PerS: flow } }, normal)
    }
    expect(at(6, 'front torch')).toBeCloseTo(55, 1)
    expect(at(3, 'front torch')).toBeGreaterThan(40)
    expect(at(8, [0, 1, 0])).toBeGreaterThan(64.5 - 0.1)
    expect(at(12, [0, 1, 0])).toBeGreaterThan(65)
  })

  test('at least 65 where two torches overlap, on a level top, after 8 to 12 passes a side', () => {
    for (const distanceMm of [80, 100, 120]) {
      for (const passes of [8, 12]) {
        for (const thinner of [4, 5]) {
          expect(valueFacing(coatWith(thinner, distanceMm, passes), [0, 1, 0])).toBeGreaterThan(65)
        }
      }
    }
  })

  test('from two drops of thinner to five: twice the passes for the same film, and finer speckle', () => {
    const of = (thinner: number) => {
      const coat = coatWith(thinner, 100, 1)
      const { directUm } = filmOfPass(coat.torches[0], coat.airbrush, coat.mix, volumeSolids, demo.dropMl)
      return { directUm, dropletUm: coatFilm(coat, demo).dropletUm }
    }
    const [two, five] = [of(2), of(5)]
    expect(two.directUm / five.directUm).toBeCloseTo(2, 9)
    // Speckle of the same film X: X/h droplets over a place, relative spread √(h/X) (Poisson).
    const speckle = (dropletUm: number) => Math.sqrt(dropletUm / 2)
    expect(speckle(two.dropletUm) / speckle(five.dropletUm)).toBeCloseTo(Math.SQRT2, 9)
  })
})
