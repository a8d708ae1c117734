import { RGB_WEIGHTS } from '../colour/band-weights.ts'
import { BANDS } from '../colour/bands.ts'
import { coatFilm, primerReflectance } from '../film/coat-film.ts'
import { type MistTable, mistTable, nodeOf, TABLE_ROW } from '../film/mist-table.ts'
import { internalReflectance, SURFACE } from '../film/saunderson.ts'
import type { Recipe } from '../recipe/recipe.ts'

/** What lies under the coats that are computed. */
export type Ground =
  /** The recipe's primer, and every coat on it. */
  | { readonly kind: 'primer' }
  /** One grey of this seen luminance in the place of primer and pre-shade; then the coats after it. */
  | { readonly kind: 'flat'; readonly luminanceY: number; readonly afterCoat: number | null }

export interface StackColours {
  /** 3·V linear sRGB, D65, matt surface term included; may leave 0…1. */
  readonly linearRgb: Float32Array
  /** The same after the coat that ends the pre-shade; null when not asked for or over a flat ground. */
  readonly preshadeRgb: Float32Array | null
}

/** Vertices at a time: their 16 bands stay in the cache while every coat passes over them. */
const BLOCK = 512

/**
 * Colour of the stack at every vertex: Kubelka-Munk films in 16 bands from the ground up, the air surface once at the
 * end. The fast twin of coatOver/seenRgb (coat-film.ts).
 *
 * @param deposits V floats a coat, dry µm, in the recipe's order
 * @param preshadeEnd index of the coat after which the pre-shade is read off, or null
 * @remarks Error: that of the tables, below 0.1 ΔE00 (tested). Cost: about 16 divisions a vertex and coat.
 */
export function stackColours(
  recipe: Recipe,
  deposits: readonly Float32Array[],
  vertices: number,
  ground: Ground = { kind: 'primer' },
  preshadeEnd: number | null = null,
): StackColours {
  const from = ground.kind === 'flat' && ground.afterCoat !== null ? ground.afterCoat + 1 : 0
  const layers = recipe.coats.map((coat, i): Layer | null => {
    if (i < from || coat.hidden) return null
    const largestUm = largestOf(deposits[i])
    const { optics, dropletUm } = coatFilm(coat, recipe)
    return largestUm > 0 ? { deposit: deposits[i], table: mistTable(optics, largestUm, dropletUm) } : null
  })
  const base =
    ground.kind === 'primer'
      ? primerReflectance(recipe)
      : new Float64Array(BANDS).fill(Math.max(0, internalReflectance(ground.luminanceY)))
  const wantsPreshade = ground.kind === 'primer' && preshadeEnd !== null

  const linearRgb = new Float32Array(3 * vertices)
  const preshadeRgb = wantsPreshade ? new Float32Array(3 * vertices) : null
  const block = new Float32Array(BLOCK * BANDS)
  for (let first = 0; first < vertices; first += BLOCK) {
    const count = Math.min(BLOCK, vertices - first)
    for (let v = 0; v < count; v++) block.set(base, v * BANDS)
    layers.forEach((layer, i) => {
      if (layer) putOn(block, layer, first, count)
      if (preshadeRgb && i === preshadeEnd) seenColours(block, preshadeRgb, first, count)
    })
    seenColours(block, linearRgb, first, count)
  }
  return { linearRgb, preshadeRgb }
}

interface Layer {
  readonly deposit: Float32Array
  readonly table: MistTable
}

function putOn(block: Float32Array, { deposit, table }: Layer, first: number, count: number): void {
  const { values, largestUm } = table
  for (let v = 0; v < count; v++) {
    const thickness = deposit[first + v]
    if (thickness <= 0) continue
    const at = nodeOf(thickness, largestUm)
    const node = Math.min(Math.floor(at), values.length / TABLE_ROW - 2)
    const t = at - node
    let low = node * TABLE_ROW
    let high = low + TABLE_ROW
    for (let i = v * BANDS, end = i + BANDS; i < end; i++, low += 3, high += 3) {
      const a = values[low] + t * (values[high] - values[low])
      const b = values[low + 1] + t * (values[high + 1] - values[low + 1])
      const c = values[low + 2] + t * (values[high + 2] - values[low + 2])
      const backing = block[i]
      block[i] = a + (b * backing) / (1 - c * backing)
    }
  }
}

/** The air surface (see seenReflectance, matt) and the 16-node matrix. */
function seenColours(block: Float32Array, rgb: Float32Array, first: number, count: number): void {
  const { k1, k2 } = SURFACE
  const through = (1 - k1) * (1 - k2)
  const [red, green, blue] = RGB_WEIGHTS
  for (let v = 0; v < count; v++) {
    let r = 0
    let g = 0
    let b = 0
    for (let band = 0, i = v * BANDS; band < BANDS; band++, i++) {
      const seen = k1 + (through * block[i]) / (1 - k2 * block[i])
      r += red[band] * seen
      g += green[band] * seen
      b += blue[band] * seen
    }
    const to = 3 * (first + v)
    rgb[to] = r
    rgb[to + 1] = g
    rgb[to + 2] = b
  }
}

function largestOf(values: Float32Array): number {
  let largest = 0
  for (const value of values) if (value > largest) largest = value
  return largest
}
