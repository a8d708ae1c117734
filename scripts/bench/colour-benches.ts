import { chromium } from 'playwright-core'
import { grainOf } from '../../src/core/chain/grain.ts'
import { paintedLayers, stackColours } from '../../src/core/chain/stack-colours.ts'
import { deltaE2000 } from '../../src/core/colour/delta-e-2000.ts'
import { PAINT_SHELF } from '../../src/core/film/paint-shelf.ts'
import { PIGMENTS } from '../../src/core/film/pigment-curves.ts'
import { shapeAt } from '../../src/core/film/pigment-shape.ts'
import { labBy16, labBy81, randomStacks, type Spectrum } from '../../src/core/film/test-stacks.ts'
import { demoRecipe } from '../../src/core/recipe/demo-recipe.ts'
import type { MistCoat, Recipe } from '../../src/core/recipe/recipe.ts'
import { BROWSER_FLAGS } from '../browser-page.ts'
import { findBrowser } from '../find-browser.ts'
import { shaderStackErrors } from './shader-stack.ts'

interface Measured {
  readonly value: number
  readonly unit: string
  readonly note?: string
}

/** A black primer, white mist and five glazes of different paints. */
function sixCoats(): Recipe {
  const demo = demoRecipe()
  const mist = demo.coats.find((coat): coat is MistCoat => coat.kind === 'mist')!
  const paints = ['white', 'cold_blue', 'deep_blue', 'clear_red', 'ochre', 'leaf_green']
  return {
    ...demo,
    paints: PAINT_SHELF,
    coats: paints.map((paint, i) => ({ ...mist, id: `coat_${i}`, paint })),
  }
}

/** Uneven build-up, none at all at some vertices, as shadows leave it. */
const unevenUm = (vertices: number, seed: number, most: number): Float32Array =>
  Float32Array.from({ length: vertices }, (_, v) => {
    const wave = Math.sin(v * 0.0137 * (seed + 1)) * Math.cos(v * 0.00071 * (seed + 2))
    return Math.max(0, most * wave)
  })

const unevenCoats = ({ coats }: Recipe, vertices: number): Float32Array[] =>
  coats.map((_, i) => unevenUm(vertices, i, [7, 3, 1, 1, 2, 1][i]))

/** The best of a few runs. */
function bestMs(work: () => void): number {
  let best = Number.POSITIVE_INFINITY
  for (let run = 0; run < 5; run++) {
    const begun = performance.now()
    work()
    best = Math.min(best, performance.now() - begun)
  }
  return best
}

function recolourMs(vertices: number, recipe: Recipe): number {
  const deposits = unevenCoats(recipe, vertices)
  return bestMs(() => stackColours(recipe, deposits, vertices, { kind: 'primer' }, 0))
}

export const colourBenches: Record<string, () => Promise<Measured>> = {
  async recolour_ms_1m() {
    const value = recolourMs(1_000_000, sixCoats())
    return { value, unit: 'ms', note: '1,000,000 vertices, 6 coats as droplets, pre-shade read off too, one core' }
  },

  async recolour_ms_75k() {
    const six = sixCoats()
    const value = recolourMs(75_000, { ...six, coats: six.coats.slice(0, 4) })
    return { value, unit: 'ms', note: '75,000 vertices, 4 coats as droplets, pre-shade read off too, one core' }
  },

  /** On top of the colours, and only when the hand rests. */
  async grain_ms_75k() {
    const six = sixCoats()
    const recipe = { ...six, coats: six.coats.slice(0, 4) }
    const deposits = unevenCoats(recipe, 75_000)
    const value = bestMs(() => grainOf(paintedLayers(recipe, deposits, { kind: 'primer' }), 75_000))
    return { value, unit: 'ms', note: '75,000 vertices, 4 coats as droplets, their tables made again, one core' }
  },

  /** Needs a browser; software WebGL2 unless the machine has better. */
  async shader_delta_e_worst() {
    const executablePath = findBrowser()
    if (!executablePath) throw new Error('no Chrome or Chromium')
    const browser = await chromium.launch({ executablePath, args: BROWSER_FLAGS })
    try {
      const errors = await shaderStackErrors(await browser.newPage())
      const mean = errors.reduce((a, b) => a + b, 0) / errors.length
      return { value: Math.max(...errors), unit: 'ΔE00', note: `${errors.length} stacks, mean ${mean.toFixed(3)}` }
    } finally {
      await browser.close()
    }
  },

  async bands_vs_81_worst() {
    const spectra = PIGMENTS.map(
      ({ shape }): Spectrum =>
        nm =>
          shapeAt(shape, nm),
    )
    const stacks = randomStacks(2000, spectra[PIGMENTS.findIndex(p => p.ci === 'PW6')], spectra)
    const errors = stacks.map(stack => deltaE2000(labBy16(stack), labBy81(stack)))
    const mean = errors.reduce((a, b) => a + b, 0) / errors.length
    return { value: Math.max(...errors), unit: 'ΔE00', note: `2000 stacks of 3 to 6 films; mean ${mean.toFixed(3)}` }
  },
}
