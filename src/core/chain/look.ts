import { luminanceOf } from '../colour/lab.ts'
import { type Figure, vertexCount } from '../mesh/figure.ts'
import type { Recipe } from '../recipe/recipe.ts'
import { depositsUm, directExposure, type Fields } from './deposits.ts'
import { preshadeEndIndex } from './preshade-end.ts'
import { stackColours } from './stack-colours.ts'

/** Everything one side of the picture needs: from fields to colours. */
export interface FigureLook {
  /** V floats a coat, dry µm. */
  readonly deposits: readonly Float32Array[]
  readonly linearRgb: Float32Array
  /** Colours after the coat that ends the pre-shade; null without one, and over a flat base. */
  readonly preshadeRgb: Float32Array | null
  /** Summed direct exposure of the pre-shade's torches, V floats. */
  readonly directExposure: Float32Array
  /** The grey in the place of the pre-shade, seen Y; null over the recipe's own. */
  readonly flatY: number | null
}

/** What lies under the colours: the recipe's own primer and pre-shade, or one grey in their place. */
export type LookGround = { readonly kind: 'preshade' } | { readonly kind: 'flat'; readonly greyY: number | null }

/** @param ground with `greyY: null` the grey is the pre-shade's mean luminance over the whole surface, by area */
export function lookOf(
  figure: Figure,
  recipe: Recipe,
  fields: Fields,
  ground: LookGround = { kind: 'preshade' },
): FigureLook {
  const vertices = vertexCount(figure)
  const deposits = depositsUm(figure, recipe, fields)
  const end = preshadeEndIndex(recipe)
  const exposure = directExposure(figure, recipe, fields, end)
  if (ground.kind === 'preshade') {
    const { linearRgb, preshadeRgb } = stackColours(recipe, deposits, vertices, { kind: 'primer' }, end)
    return { deposits, linearRgb, preshadeRgb, directExposure: exposure, flatY: null }
  }
  const preshade = { ...recipe, coats: recipe.coats.slice(0, end === null ? 0 : end + 1) }
  const flatY = ground.greyY ?? meanLuminance(figure, stackColours(preshade, deposits, vertices).linearRgb)
  const flat = { kind: 'flat', luminanceY: flatY, afterCoat: end } as const
  const { linearRgb } = stackColours(recipe, deposits, vertices, flat)
  return { deposits, linearRgb, preshadeRgb: null, directExposure: exposure, flatY }
}

/** Mean seen luminance Y over the surface, by area. */
export function meanLuminance({ positions, triangles }: Figure, linearRgb: Float32Array): number {
  let weighted = 0
  let area = 0
  const y = (v: number) => luminanceOf(linearRgb[3 * v], linearRgb[3 * v + 1], linearRgb[3 * v + 2])
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [triangles[t], triangles[t + 1], triangles[t + 2]]
    const ux = positions[3 * b] - positions[3 * a]
    const uy = positions[3 * b + 1] - positions[3 * a + 1]
    const uz = positions[3 * b + 2] - positions[3 * a + 2]
    const vx = positions[3 * c] - positions[3 * a]
    const vy = positions[3 * c + 1] - positions[3 * a + 1]
    const vz = positions[3 * c + 2] - positions[3 * a + 2]
    const own = Math.hypot(uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx)
    weighted += (own * (y(a) + y(b) + y(c))) / 3
    area += own
  }
  return area > 0 ? weighted / area : 0
}
