import { expect, test } from 'vitest'
import { labOfLinearRgb, luminanceOfLStar } from '../colour/lab.ts'
import { hexOf, linearRgbOfHex } from '../colour/srgb.ts'
import { demoRecipe } from '../recipe/demo-recipe.ts'
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

test('coats that leave nothing, and hidden ones, are not listed', () => {
  expect(filmSection(recipe, [4, 0, 0.5]).map(l => l.coatId)).toEqual([null, recipe.coats[0].id, recipe.coats[2].id])
  const hidden = { ...recipe, coats: recipe.coats.map((c, i) => ({ ...c, hidden: i === 0 })) }
  expect(filmSection(hidden, thickness).map(l => l.coatId)).toEqual([null, recipe.coats[1].id, recipe.coats[2].id])
})

test('over a flat grey the pre-shade is left out and the grey has the value asked for', () => {
  const [grey, ...glazes] = filmSection(recipe, thickness, luminanceOfLStar(62))
  expect(grey.lStar).toBeCloseTo(62, 6)
  expect(glazes.map(l => l.coatId)).toEqual(recipe.coats.slice(1).map(c => c.id))
})
