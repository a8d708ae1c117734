import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { bakeRecipe } from '../src/cli/bake-recipe.ts'
import type { Figure } from '../src/core/mesh/figure.ts'
import { prepareFigure } from '../src/core/mesh/prepare-figure.ts'
import { weldFileMesh } from '../src/core/mesh/weld-file-mesh.ts'
import { rasterView } from '../src/core/reading/raster-view.ts'
import { readView } from '../src/core/reading/read-view.ts'
import { cylinderShare, luneShare, sphereShare, stairShare } from '../src/core/teach/lit-shares.ts'
import { documentSchema } from '../src/document/document-schema.ts'
import {
  LESSONS,
  type LessonId,
  lessonDocument,
  lessonOf,
  type SolidName,
  solidFigure,
  solidOf,
} from '../src/document/lessons.ts'
import { readMesh } from '../src/io/read-mesh.ts'

const figures = new Map<string, Figure>()
async function figureOn(name: SolidName): Promise<Figure> {
  const known = figures.get(name)
  if (known) return known
  const bytes = new Uint8Array(readFileSync(new URL(`../models/${name}.glb`, import.meta.url)))
  const mesh = weldFileMesh(await readMesh(`${name}.glb`, bytes, new Map(), {}))
  const { placement, refinement } = solidFigure(name)
  const { figure } = prepareFigure(mesh, placement, refinement)
  figures.set(name, figure)
  return figure
}

/** The lesson's numbers as the page would show them, with each control at the value given. */
async function answersOf(id: LessonId, solid: SolidName, values: readonly number[]) {
  const lesson = lessonOf(id)
  const document = lesson.controls.reduce(
    (moved, control, i) => (i < values.length ? control.write(moved, values[i]) : moved),
    lessonDocument(lesson, solidFigure(solid)),
  )
  const figure = await figureOn(solid)
  const raster = rasterView(figure, document.camera)
  const readingOf = (recipe: typeof document.recipe) =>
    readView(
      raster,
      figure,
      bakeRecipe(
        figure,
        recipe,
        () => 0,
        () => {},
      ).look,
      document.thresholds,
    )!
  return lesson.answers({
    document,
    main: readingOf(document.recipe),
    other: document.compare.kind === 'recipe' ? readingOf(document.compare.recipe) : null,
    solid: solidOf(document, lesson),
    heightMm: figure.heightMm,
  })
}

describe('closed forms', () => {
  test('a nozzle at five radii reaches 40 % of a sphere, at two and a half 30 %', () => {
    expect(sphereShare(16, 80)).toBeCloseTo(0.4, 12)
    expect(sphereShare(16, 40)).toBeCloseTo(0.3, 12)
    expect(sphereShare(16, 12)).toBe(0)
  })
  test('a lune seen 60° off the light is three quarters lit', () => {
    expect(luneShare(60)).toBeCloseTo(0.75, 12)
    expect(luneShare(120)).toBeCloseTo(0.25, 12)
  })
  test('torches opposite one another leave nothing of a cylinder dark; on one side the better one counts', () => {
    expect(cylinderShare([-60, 120])).toBeCloseTo(1, 12)
    expect(cylinderShare([50, 130])).toBeCloseTo(luneShare(50), 12)
    expect(cylinderShare([-100, 120])).toBeCloseTo(luneShare(100) + luneShare(120), 12)
  })
  test('a stair lit from behind at 45° has its top tread lit alone; from straight above every tread', () => {
    expect(stairShare(45, 40)).toBeCloseTo(0.25 * (Math.sin(0.698132) / (Math.sin(0.698132) + Math.cos(0.698132))), 6)
    expect(stairShare(89.999, 90)).toBeCloseTo(1, 3)
    expect(stairShare(20, 40)).toBe(stairShare(45, 40))
  })
})

/** What is sprayed on the mesh against the closed form: within a point and a half of a hundred. */
describe('what a lesson measures is what theory says', () => {
  test.each<[LessonId, SolidName, number[]]>([
    ['form', 'sphere', [60, 30]],
    ['form', 'sphere', [-130, 10]],
    ['form', 'cylinder', [75, 20]],
    ['distance', 'sphere', [26]],
    ['distance', 'sphere', [90]],
    ['distance', 'sphere', [380]],
    ['recess', 'stepped-block', [30, 5]],
    ['recess', 'stepped-block', [55, 30]],
    ['recess', 'stepped-block', [75, 5]],
    ['front-back', 'cylinder', [40, 0]],
    ['front-back', 'cylinder', [-110, 0]],
    ['front-back', 'cylinder', [-110, 1]],
  ])('%s on %s at %j', async (id, solid, values) => {
    const [{ measured, expected }] = await answersOf(id, solid, values)
    expect(Math.abs(measured - expected!.share)).toBeLessThan(0.015)
  })

  test('a coat leaves what the same film leaves between two greys, the transparent red more than the covering one', async () => {
    for (const thicknessUm of [0.4, 2]) {
      const [clear, covering] = await answersOf('covering', 'sphere', [thicknessUm])
      expect(clear.measured).toBeGreaterThan(covering.measured + 0.1)
      // The sphere's dark end is black and the greys of the theory are not: a few points apart.
      for (const { measured, expected } of [clear, covering])
        expect(Math.abs(measured - expected!.share)).toBeLessThan(0.06)
    }
    const [thin] = await answersOf('thickness', 'sphere', [0.4])
    const [thick] = await answersOf('thickness', 'sphere', [6])
    expect(thin.measured).toBeGreaterThan(thick.measured + 0.3)
  })
})

describe.each(LESSONS.map(lesson => [lesson.id, lesson] as const))('%s', (_, lesson) => {
  const document = lessonDocument(lesson, solidFigure(lesson.solids[0]))
  test('stands on a document that could be saved', () => {
    expect(documentSchema.safeParse(document).error).toBeUndefined()
  })
  test('is claimed in one sentence', () => {
    expect(lesson.claim).toMatch(/^[A-Z][^.]*\.$/)
  })
  test.each(lesson.controls.map(control => [control.label, control] as const))(
    '%s reads back what it wrote',
    (_, c) => {
      for (const value of [c.min, c.max, c.min + c.step]) {
        const moved = c.write(document, value)
        expect(c.read(moved)).toBe(value)
        expect(documentSchema.safeParse(moved).error).toBeUndefined()
      }
    },
  )
})
