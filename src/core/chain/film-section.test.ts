import { describe, expect, test } from 'vitest'
import { rgbWeightsUnder } from '../colour/band-weights.ts'
import { LAMPS } from '../colour/illuminants.ts'
import { labOfLinearRgb, luminanceOf, luminanceOfLStar } from '../colour/lab.ts'
import { hexOf, linearRgbOfHex } from '../colour/srgb.ts'
import { demoRecipe } from '../recipe/demo-recipe.ts'
import type { Coat, Finish, VarnishCoat } from '../recipe/recipe.ts'
import { filmSection } from './film-section.ts'
import { stackColours } from './stack-colours.ts'

const recipe = demoRecipe()
const thickness = [4, 1.5, 0.5]

test('layers from the ground up: thickness, and the colour that the picture has there', () => {
  const layers = filmSection(recipe, thickness)
  expect(layers.map(l => l.coatId)).toEqual([null, ...recipe.coats.map(c => c.id)])
  expect(layers.map(l => l.thicknessUm)).toEqual([recipe.primer.thicknessUm, ...thickness])
  const { linearRgb, preshadeRgb } = stackColours(
    recipe,
    thickness.map(um => Float32Array.of(um)),
    1,
    { kind: 'primer' },
    0,
  )
  const bytes = (hex: string) => [1, 3, 5].map(i => Number.parseInt(hex.slice(i, i + 2), 16))
  const near = (hex: string, rgb: Float32Array) =>
    bytes(hexOf(rgb[0], rgb[1], rgb[2])).forEach((byte, c) => {
      expect(Math.abs(byte - bytes(hex)[c]), `${hex} channel ${c}`).toBeLessThanOrEqual(1)
    })
  near(layers[3].hex, linearRgb)
  near(layers[1].hex, preshadeRgb!)
  for (const { hex, lStar } of layers) expect(labOfLinearRgb(...linearRgbOfHex(hex))[0]).toBeCloseTo(lStar, 0)
})

test('under a lamp: its colours as in the picture, values as by day', () => {
  const layers = filmSection(recipe, thickness, { lamp: 'LED-B1' })
  const deposits = thickness.map(um => Float32Array.of(um))
  const { linearRgb } = stackColours(recipe, deposits, 1, { kind: 'primer' }, null, rgbWeightsUnder(LAMPS['LED-B1']))
  linearRgbOfHex(layers[3].hex).forEach((value, c) => {
    // An 8-bit step, and what the tables err by.
    expect(Math.abs(value - linearRgb[c])).toBeLessThan(0.006)
  })
  const byDay = filmSection(recipe, thickness)
  expect(layers.map(l => l.lStar)).toEqual(byDay.map(l => l.lStar))
  const greenOf = (hex: string) => linearRgbOfHex(hex)[1]
  expect(greenOf(byDay[3].hex) - greenOf(layers[3].hex)).toBeGreaterThan(0.02)
})

test('coats that leave nothing, and hidden ones, are not listed', () => {
  expect(filmSection(recipe, [4, 0, 0.5]).map(l => l.coatId)).toEqual([null, recipe.coats[0].id, recipe.coats[2].id])
  const hidden = { ...recipe, coats: recipe.coats.map((c, i) => ({ ...c, hidden: i === 0 })) }
  expect(filmSection(hidden, thickness).map(l => l.coatId)).toEqual([null, recipe.coats[1].id, recipe.coats[2].id])
})

test('over a flat grey the pre-shade is left out and the grey has the value asked for', () => {
  const [grey, ...glazes] = filmSection(recipe, thickness, { flatY: luminanceOfLStar(62) })
  expect(grey.lStar).toBeCloseTo(62, 6)
  expect(glazes.map(l => l.coatId)).toEqual(recipe.coats.slice(1).map(c => c.id))
})

describe('varnish', () => {
  const varnish = (finish: Finish): VarnishCoat => ({
    kind: 'varnish',
    id: finish,
    name: 'Varnish',
    hidden: false,
    parts: { shield: 'absent' },
    finish,
  })
  const over = (coats: readonly Coat[], um: readonly number[] = coats.map(() => 0), partId = 'body') =>
    filmSection({ ...recipe, coats }, um, { partId })
  const shownL = (hex: string) => labOfLinearRgb(...linearRgbOfHex(hex))[0]

  // Kubelka-Munk of carbon black PBk7 with k1 0.04, k2 0.60, as an independent computation has it: 28.8 matt, about 14 gloss.
  test('black turns from L* 29 to 14 under gloss, half of the surface’s light lies between, and what is read stays', () => {
    const [primer, gloss] = over([varnish('gloss')])
    expect(Math.abs(shownL(primer.hex) - 28.8)).toBeLessThan(0.7)
    expect(Math.abs(shownL(gloss.hex) - 14)).toBeLessThan(1.5)
    expect(gloss.lStar).toBe(primer.lStar)
    expect([gloss.varnish, gloss.thicknessUm]).toEqual(['gloss', 0])
    const [, satin] = over([varnish('satin')])
    const y = (hex: string) => luminanceOf(...linearRgbOfHex(hex))
    // 8-bit colours: half a step is 0.0008 here.
    expect(Math.abs(y(satin.hex) - (y(primer.hex) + y(gloss.hex)) / 2)).toBeLessThan(0.0016)
    expect(over([varnish('matt')])[1].hex).toBe(primer.hex)
  })

  test('colours get richer: the same blue has more chroma under gloss, the white hardly changes', () => {
    const chroma = (hex: string) => Math.hypot(...labOfLinearRgb(...linearRgbOfHex(hex)).slice(1))
    const [white, blue] = recipe.coats
    const [, , matt, gloss] = over([white, blue, varnish('gloss')], [4, 1.5, 0])
    expect(chroma(gloss.hex)).toBeGreaterThan(chroma(matt.hex) + 3)
    const [, bright, brightGloss] = over([white, varnish('gloss')], [40, 0])
    expect(shownL(bright.hex) - shownL(brightGloss.hex)).toBeLessThan(2)
  })

  test('a part that was left out has none; paint over it is matt', () => {
    expect(over([varnish('gloss')], [0], 'shield').length).toBe(1)
    const [white] = recipe.coats
    const [, , painted] = over([varnish('gloss'), white], [0, 8])
    expect(painted.hex).toBe(over([white], [8])[1].hex)
  })
})
