import { describe, expect, test } from 'vitest'
import { block } from '../mesh/test-surfaces.ts'
import { demoRecipe } from '../recipe/demo-recipe.ts'
import type { MistCoat, Recipe } from '../recipe/recipe.ts'
import { bakeExposure } from '../spray/bake-exposure.ts'
import { figureOf, type TestPiece } from '../spray/test-figures.ts'
import { figurePanels } from '../surface/figure-panels.ts'
import { directionFrom } from '../vec3.ts'
import { AIMS, aimTrial, bestAim, partsToTry, partTrial, type Trial, torchTrial, worthDoing } from './remedies.ts'
import { shareReached, unlitSides } from './side-check.ts'

/** A block whose faces are sheets with normals of their own, `cells` a side, so that spray falls square on each. */
function faceted(low: readonly number[], high: readonly number[], cells = 12): TestPiece {
  const { positions, triangles } = block(low, high)
  const out = { positions: [] as number[], normals: [] as number[], triangles: [] as number[] }
  for (let face = 0; face < 6; face++) {
    // Two triangles a face: corners a, b, c and a, c, d.
    const [a, b, c] = [0, 1, 2].map(k => [
      ...positions.subarray(3 * triangles[6 * face + k], 3 * triangles[6 * face + k] + 3),
    ])
    const d = a.map((x, k) => x + c[k] - b[k])
    const u = b.map((x, k) => x - a[k])
    const v = d.map((x, k) => x - a[k])
    const n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]]
    const size = Math.hypot(...n)
    const first = out.positions.length / 3
    for (let j = 0; j <= cells; j++)
      for (let i = 0; i <= cells; i++) {
        out.positions.push(...a.map((x, k) => x + (u[k] * i) / cells + (v[k] * j) / cells))
        out.normals.push(...n.map(x => x / size))
      }
    for (let j = 0; j < cells; j++)
      for (let i = 0; i < cells; i++) {
        const p = first + j * (cells + 1) + i
        const q = p + cells + 1
        out.triangles.push(p, p + 1, q + 1, p, q + 1, q)
      }
  }
  return out
}

const fromFront = (elevationDegrees: number): Trial => ({
  bakes: [{ partStates: {}, emitters: [{ kind: 'parallel', toward: directionFrom(0, elevationDegrees), weight: 1 }] }],
  onTop: false,
})

function exposureOf(figure: ReturnType<typeof figureOf>, { bakes }: Trial): Float32Array {
  const sum = new Float32Array(figure.positions.length / 3)
  for (const { partStates, emitters } of bakes)
    bakeExposure(figure, partStates, emitters, { bufferSize: 512 }).forEach((e, v) => {
      sum[v] += e
    })
  return sum
}

/** One torch in front at this elevation, sweeping the whole figure, nothing else. */
function recipeFrom(elevationDegrees: number): { recipe: Recipe; coat: MistCoat } {
  const demo = demoRecipe()
  const coat = demo.coats.find((c): c is MistCoat => c.kind === 'mist')!
  const torch = {
    ...coat.torches[0],
    azimuthDegrees: 0,
    elevationDegrees,
    rollDegrees: 0,
    spread: 0.02,
    linkedTo: null,
  }
  const only = { ...coat, torches: [torch] }
  return { recipe: { ...demo, coats: [only], preshadeEnd: only.id }, coat: only }
}

/** A box lit level from the front alone: the other three sides it shows are wholly unlit, each as large as it is. */
describe('a box of 6 × 10 × 8 mm lit from the front', () => {
  const figure = figureOf([faceted([-3, 0, -4], [3, 10, 4])])
  const panels = figurePanels(figure)
  const unlit = unlitSides(figure, panels, exposureOf(figure, fromFront(0)), { dark: 0.1, litShare: 0.5 })
  test('back, left and right are found, the front is not', () => {
    expect(unlit.map(u => [u.side, panels.panels[u.panel].name])).toEqual([
      ['back', 'back'],
      ['left', 'left'],
      ['right', 'right'],
    ])
  })
  test('with their surface in mm²', () => {
    expect(unlit.map(u => u.unlitMm2 / [60, 80, 80][['back', 'left', 'right'].indexOf(u.side)])).toEqual([
      expect.closeTo(1, 1),
      expect.closeTo(1, 1),
      expect.closeTo(1, 1),
    ])
    for (const u of unlit) expect(u.seenMm2).toBeCloseTo(u.unlitMm2, 6)
  })
  test('a torch from the side that is missing reaches all of it, one from the front nothing', () => {
    const { coat } = recipeFrom(0)
    const reached = AIMS.map(aim =>
      shareReached(figure, unlit[1].spots, exposureOf(figure, aimTrial(coat, aim)), 0.1, true),
    )
    const at = (azimuth: number, elevation: number) =>
      reached[AIMS.findIndex(a => a.azimuthDegrees === azimuth && a.elevationDegrees === elevation)]
    expect(at(90, 0)).toBeGreaterThan(0.97)
    expect(at(0, 0)).toBe(0)
    expect(at(-90, 30)).toBe(0)
    // cos 60° is more than a tenth: from as high as that the whole side is lit.
    expect(bestAim('left', reached)).toEqual({ azimuthDegrees: 90, elevationDegrees: 60 })
  })
  test('the threshold decides: lit to one part in ten is lit enough where no more is asked', () => {
    const some = new Float32Array(figure.positions.length / 3)
    for (let v = 0; v < some.length; v++) some[v] = figure.positions[3 * v + 1] < 3 ? 1 : 0
    const names = (litShare: number) => unlitSides(figure, panels, some, { dark: 0.1, litShare }).length
    expect(names(0.1)).toBe(0)
    expect(names(0.9)).toBe(4)
  })
})

/**
 * A plate stands before a wall, above it: level from the front both are seen, sprayed from 48° the plate's shadow covers
 * the wall. By geometry: the wall 12 mm high, the plate from 12 to 24 mm, 12 mm in front.
 */
describe('a plate that shades a wall', () => {
  const figure = figureOf([faceted([-5, 0, -2], [5, 12, 0]), faceted([-9, 12, 11], [9, 25, 12])])
  const panels = figurePanels(figure)
  const { recipe, coat } = recipeFrom(48)
  const exposure = exposureOf(figure, { bakes: partTrial(figure, [coat], 'nothing').bakes, onTop: false })
  const unlit = unlitSides(figure, panels, exposure, { dark: 0.1, litShare: 0.5 })
  const wall = unlit.find(u => u.side === 'front')!
  test('the wall is seen from the front and unlit there, all 120 mm² of it', () => {
    expect(panels.panels[wall.panel].id).toBe('piece_1:front:1')
    expect(wall.unlitMm2 / 120).toBeCloseTo(1, 1)
  })
  test('spraying the plate apart exposes the wall, spraying the wall apart as well; that changes nothing else', () => {
    expect(partsToTry(recipe, panels)).toEqual(['piece_2', 'piece_1'])
    const off = exposureOf(figure, partTrial(figure, [coat], 'piece_2'))
    expect(shareReached(figure, wall.spots, off, 0.1, false)).toBeGreaterThan(0.97)
    const alone = exposureOf(figure, partTrial(figure, [coat], 'piece_1'))
    expect(shareReached(figure, wall.spots, alone, 0.1, false)).toBeGreaterThan(0.97)
    // The plate receives all the same: it stands in its place, and only shades nothing.
    const plate = figure.parts[1].firstVertex
    for (let v = plate; v < plate + 1014; v++) expect(off[v]).toBeCloseTo(exposure[v], 2)
  })
  test('a level torch from the front reaches it; the torch itself as well as its one direction', () => {
    const level = AIMS.find(a => a.azimuthDegrees === 0 && a.elevationDegrees === 0)!
    const direct = shareReached(figure, wall.spots, exposureOf(figure, aimTrial(coat, level)), 0.1, true)
    const torch = shareReached(figure, wall.spots, exposureOf(figure, torchTrial(figure, coat, level)!), 0.1, true)
    expect(direct).toBeGreaterThan(0.97)
    expect(torch).toBeCloseTo(direct, 1)
  })
})

test('a further torch adds to what is there: twice 0.06 is lit where 0.1 is asked, once is not', () => {
  const figure = figureOf([faceted([-1, 0, -1], [1, 3, 1], 2)])
  const dim = new Float32Array(figure.positions.length / 3).fill(0.06)
  const [first] = unlitSides(figure, figurePanels(figure), dim, { dark: 0.1, litShare: 0.5 })
  expect(shareReached(figure, first.spots, dim, 0.1, true)).toBe(1)
  expect(shareReached(figure, first.spots, dim, 0.1, false)).toBe(0)
})

test('remedies that do little are left out, the better comes first', () => {
  const part = (partId: string, reached: number) => ({ kind: 'part', partId, reached }) as const
  expect(worthDoing([part('a', 0.1), part('b', 0.4), part('c', 0.9)]).map(r => r.reached)).toEqual([0.9, 0.4])
  expect(
    bestAim(
      'front',
      AIMS.map(() => 0.1),
    ),
  ).toBeNull()
})
