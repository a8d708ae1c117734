import { z } from 'zod'
import { LAMPS, type Lamp as LampSpectrum } from '../core/colour/illuminants.ts'
import { isPigment } from '../core/film/paint-optics.ts'
import type { Placement, Refinement } from '../core/mesh/placement.ts'
import type { Calibration, Coat, Paint, Recipe, SwatchColours, Torch } from '../core/recipe/recipe.ts'
import type { Camera, Compare, FigureReference, GreycoatDocument } from './document.ts'

// The page forbids making code from text; without this zod tries it once and the browser reports that.
z.config({ jitless: true })

/** What a file may hold at most: far above any real recipe, low enough that no file can hang the page. */
export const DOCUMENT_LIMITS = {
  coats: 64,
  torchesPerCoat: 64,
  paints: 256,
  parts: 20_000,
  pigments: 16,
  bands: 16,
  panels: 20_000,
}

const number = (min: number, max: number) => z.number().min(min).max(max)
const share = number(0, 1)
const id = z.string().min(1).max(80)
const name = z.string().max(200)
const hex = z.string().regex(/^#[0-9a-f]{6}$/i, 'a colour like #4080c0')
const panelId = z.string().min(1).max(300)
const degrees = number(-3600, 3600)

const vec3 = z.tuple([number(-100, 100), number(-100, 100), number(-100, 100)])

const sweep = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('figure') }),
  z.strictObject({ kind: z.literal('area'), radiusMm: number(0.1, 1000) }),
  z.strictObject({ kind: z.literal('arc'), spanDegrees: number(0, 360) }),
  z.strictObject({ kind: z.literal('still'), secondsPerPass: number(0, 600) }),
  z.strictObject({ kind: z.literal('stroke'), lengthMm: number(0.1, 1000) }),
])

export const torchSchema = z.strictObject({
  id,
  name,
  muted: z.boolean(),
  aim: vec3,
  azimuthDegrees: degrees,
  elevationDegrees: number(-90, 90),
  distanceMm: number(1, 5000),
  pattern: z.enum(['gaussian', 'parabola', 'cone']),
  spread: number(0.005, 1),
  rollDegrees: number(0, 180),
  sweep,
  passes: number(0, 1000),
  linkedTo: id.nullable(),
}) satisfies z.ZodType<Torch>

const mix = z.strictObject({ paintDrops: number(0, 1000), thinnerDrops: number(0, 1000), mediumDrops: number(0, 1000) })

const calibration = z.strictObject({
  dot: z.strictObject({ distanceMm: number(1, 5000), diameterMm: number(0.1, 5000) }),
  line: z.strictObject({
    distanceMm: number(1, 5000),
    sweepMmPerS: number(1, 5000),
    mix,
    passes: number(0, 1000),
    lStar: number(0, 100),
  }),
  spread: number(0.005, 1),
  flowMm3PerS: number(0, 1000),
}) satisfies z.ZodType<Calibration>

const dropMl = number(0.001, 1)

const airbrush = z.strictObject({
  needleMm: number(0.05, 3),
  pressureBar: number(0, 10),
  flowMm3PerS: number(0, 1000),
  sweepMmPerS: number(1, 5000),
  transfer: share,
  diffuseShare: number(0, 0.5),
})

const parts = z
  .record(z.string().min(1).max(300), z.enum(['on', 'apart', 'absent']))
  .refine(states => Object.keys(states).length <= DOCUMENT_LIMITS.parts, `at most ${DOCUMENT_LIMITS.parts} parts`)

const coatBase = { id, name, hidden: z.boolean(), parts }
const paintCoatBase = { ...coatBase, paint: id, mix }

const coat = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('mist'),
    ...paintCoatBase,
    torches: z.array(torchSchema).max(DOCUMENT_LIMITS.torchesPerCoat),
    airbrush,
  }),
  z.strictObject({ kind: z.literal('even'), ...paintCoatBase, thicknessUm: number(0, 10_000) }),
  z.strictObject({ kind: z.literal('varnish'), ...coatBase, finish: z.enum(['gloss', 'satin', 'matt']) }),
]) satisfies z.ZodType<Coat>

const bands = z.array(number(0, 1000)).length(DOCUMENT_LIMITS.bands)

const seenRgb = z.tuple([number(-1, 4), number(-1, 4), number(-1, 4)])

const swatches = z.strictObject({
  overBlack: seenRgb,
  overWhite: seenRgb,
  blackCard: seenRgb,
  whiteCard: seenRgb,
  thicknessUm: number(0.01, 10_000).nullable(),
}) satisfies z.ZodType<SwatchColours>

/** Of a pigment whose curves are known: without them a paint has no colour. */
const pigmentName = z.string().refine(isPigment, 'no pigment that is known here')

const paint = z.strictObject({
  id,
  name,
  volumeSolids: share,
  dropletUm: number(0, 1000),
  body: z.discriminatedUnion('kind', [
    z.strictObject({
      kind: z.literal('pigments'),
      pigments: z.array(z.strictObject({ ci: pigmentName, amount: share })).max(DOCUMENT_LIMITS.pigments),
    }),
    z.strictObject({ kind: z.literal('quick'), hex, covering: z.enum(['see-through', 'half', 'covers']) }),
    z.strictObject({
      kind: z.literal('spectral'),
      absorption: bands,
      scattering: bands,
      basis: z.string().max(2000),
      swatches: swatches.nullable(),
    }),
    z.strictObject({ kind: z.literal('metallic'), hex }),
  ]),
}) satisfies z.ZodType<Paint>

/** Shapes, ranges, and that every id which is named exists. */
export const recipeSchema = z
  .strictObject({
    name,
    primer: z.strictObject({ paint: id, thicknessUm: number(0, 10_000) }),
    coats: z.array(coat).max(DOCUMENT_LIMITS.coats),
    preshadeEnd: id.nullable(),
    paints: z.array(paint).max(DOCUMENT_LIMITS.paints),
    dropMl: z.strictObject({ paint: dropMl, thinner: dropMl, medium: dropMl }),
    calibration: calibration.nullable(),
    notes: z.string().max(20_000),
  })
  .superRefine((recipe, context) => {
    const refuse = (path: (string | number)[], message: string) => context.addIssue({ code: 'custom', path, message })
    const paintIds = new Set<string>()
    recipe.paints.forEach((p, i) => {
      if (paintIds.has(p.id)) refuse(['paints', i, 'id'], 'used twice')
      paintIds.add(p.id)
    })
    if (!paintIds.has(recipe.primer.paint)) refuse(['primer', 'paint'], 'names a paint that is not in the recipe')
    const coatIds = new Set<string>()
    const torchIds = new Set<string>()
    recipe.coats.forEach((c, i) => {
      if (coatIds.has(c.id)) refuse(['coats', i, 'id'], 'used twice')
      coatIds.add(c.id)
      if (c.kind !== 'varnish' && !paintIds.has(c.paint))
        refuse(['coats', i, 'paint'], 'names a paint that is not in the recipe')
      if (c.kind !== 'mist') return
      const own = new Set(c.torches.map(t => t.id))
      c.torches.forEach((t, j) => {
        if (torchIds.has(t.id)) refuse(['coats', i, 'torches', j, 'id'], 'used twice')
        torchIds.add(t.id)
        if (t.linkedTo !== null && (t.linkedTo === t.id || !own.has(t.linkedTo)))
          refuse(['coats', i, 'torches', j, 'linkedTo'], 'names a torch that is not beside it')
      })
    })
    if (recipe.preshadeEnd !== null && !coatIds.has(recipe.preshadeEnd))
      refuse(['preshadeEnd'], 'names a coat that is not in the recipe')
  }) satisfies z.ZodType<Recipe>

const axis = z.enum(['+x', '-x', '+y', '-y', '+z', '-z'])

const placement = z
  .strictObject({
    up: axis,
    front: axis,
    heightMm: number(0.1, 10_000),
    unit: z.enum(['µm', 'mm', 'cm', 'm', 'in', 'ft']).nullable(),
  })
  .refine(p => p.up[1] !== p.front[1], {
    path: ['front'],
    message: 'must not be parallel to up',
  }) satisfies z.ZodType<Placement>

const refinement = z.strictObject({
  edgeMmAt32: number(0.02, 1000),
  vertexBudget: number(1000, 20_000_000),
}) satisfies z.ZodType<Refinement>

const figure = z.strictObject({
  source: z.discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('built-in'), name: z.string().regex(/^[a-z0-9-]{1,60}$/) }),
    z.strictObject({
      kind: z.literal('file'),
      fileName: z.string().min(1).max(1000),
      sha256: z.string().regex(/^[0-9a-f]{64}$/),
    }),
  ]),
  placement,
  refinement,
}) satisfies z.ZodType<FigureReference>

const arrangement = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('seam'), at: share }),
  z.strictObject({ kind: z.literal('side-by-side') }),
])

const flatBase = { greyY: share.nullable() }

const compare = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('off') }),
  z.strictObject({ kind: z.literal('flat'), arrangement, ...flatBase }),
  z.strictObject({
    kind: z.literal('recipe'),
    arrangement,
    recipe: recipeSchema,
    flat: z.strictObject(flatBase).optional(),
  }),
]) satisfies z.ZodType<Compare>

const camera = z.strictObject({
  view: z.enum(['table', 'hand', 'shelf', 'underneath', 'front', 'back', 'left', 'right', 'free']),
  azimuthDegrees: degrees,
  elevationDegrees: number(-90, 90),
  distanceMm: number(0.1, 100_000),
  target: vec3,
}) satisfies z.ZodType<Camera>

export const documentSchema = z.strictObject({
  figure,
  recipe: recipeSchema,
  compare,
  camera,
  look: z.discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('painted') }),
    z.strictObject({ kind: z.literal('value') }),
    z.strictObject({ kind: z.literal('steps'), count: z.int().min(2).max(20) }),
    z.strictObject({ kind: z.literal('deposit'), coat: id.nullable() }),
    z.strictObject({ kind: z.literal('isolines') }),
    z.strictObject({ kind: z.literal('difference') }),
  ]),
  lamp: z.discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('flat') }),
    z.strictObject({ kind: z.literal('lamp'), azimuthDegrees: degrees, elevationDegrees: number(-90, 90) }),
  ]),
  thresholds: z
    .strictObject({ light: number(0, 10), dark: number(0, 10) })
    .refine(t => t.dark <= t.light, { path: ['dark'], message: 'must not be above light' }),
  illuminant: z.enum(Object.keys(LAMPS) as [LampSpectrum, ...LampSpectrum[]]),
  panels: z.strictObject({
    names: z
      .record(panelId, name)
      .refine(all => Object.keys(all).length <= DOCUMENT_LIMITS.panels, `at most ${DOCUMENT_LIMITS.panels} areas`),
    meantDark: z.array(panelId).max(DOCUMENT_LIMITS.panels),
  }),
}) satisfies z.ZodType<GreycoatDocument>
