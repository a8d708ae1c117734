import { filmKeeps } from '../core/film/half-kept.ts'
import { paintOptics } from '../core/film/paint-optics.ts'
import { PAINT_SHELF } from '../core/film/paint-shelf.ts'
import type { ViewReading } from '../core/reading/reading.ts'
import { DROP_ML } from '../core/recipe/drops.ts'
import type { Coat, EvenCoat, MistCoat, Recipe, Torch } from '../core/recipe/recipe.ts'
import { TORCH_DEFAULTS } from '../core/recipe/torch-sets.ts'
import { WHITE_PRESHADE } from '../core/spray/airbrush-settings.ts'
import { cylinderShare, luneShare, REACHED, sphereShare, stairShare } from '../core/teach/lit-shares.ts'
import { directionFrom, dot } from '../core/vec3.ts'
import { BUILT_IN_PLACEMENT, defaultDocument } from './default-document.ts'
import type { Camera, FigureReference, GreycoatDocument } from './document.ts'
import { findTorch, patchTorch, type TorchPatch } from './edit-torches.ts'
import type { GuessTask } from './task-file.ts'

export type LessonId = 'form' | 'distance' | 'recess' | 'front-back' | 'thickness' | 'covering'

/** One claim, something to move, and a number that answers. A scene is a document like any other. */
export interface Lesson {
  readonly id: LessonId
  readonly title: string
  readonly claim: string
  /** Built-in solids it can be seen on, the first one to begin with. */
  readonly solids: readonly SolidName[]
  readonly scene: Scene
  readonly controls: readonly LessonControl[]
  readonly answers: (asked: LessonState) => readonly LessonAnswer[]
  /** The same shape turning under the torch says something here. */
  readonly turns: boolean
}

export type SolidName = 'sphere' | 'cylinder' | 'cube' | 'cone' | 'stepped-block'

export interface Scene {
  readonly coats: readonly Coat[]
  readonly camera: Camera
  /** Another recipe beside it, with these coats. */
  readonly beside: { readonly name: string; readonly coats: readonly Coat[] } | null
}

/** A number of the document that can be moved. */
export interface LessonControl {
  readonly label: string
  readonly min: number
  readonly max: number
  readonly step: number
  readonly unit: string
  readonly read: (document: GreycoatDocument) => number
  readonly write: (document: GreycoatDocument, value: number) => GreycoatDocument
}

export interface LessonState {
  readonly document: GreycoatDocument
  readonly main: ViewReading
  readonly other: ViewReading | null
  /** null on a figure of the learner's own. */
  readonly solid: SolidName | null
  readonly heightMm: number
}

export interface LessonAnswer {
  readonly name: string
  /** Share 0…1, as computed on the mesh. */
  readonly measured: number
  /** What theory says, where there is a closed form, and its formula. */
  readonly expected: { readonly share: number; readonly formula: string } | null
}

/** So far off that perspective is small beside what is measured. */
const FAR_MM = 5000
const eye = (azimuthDegrees: number, elevationDegrees: number): Camera => ({
  view: 'free',
  azimuthDegrees,
  elevationDegrees,
  distanceMm: FAR_MM,
  target: [0, 0.5, 0],
})

export const TAUGHT_COAT = 'lesson_coat_1'
const COLOUR = 'lesson_coat_2'
const TORCH = 'lesson_torch_1'
const BEHIND = 'lesson_torch_2'

/** All but parallel: what is measured is the shape, not the beam. */
const torch = (patch: TorchPatch, id = TORCH): Torch => ({
  ...TORCH_DEFAULTS,
  id,
  name: 'Torch',
  spread: 0.005,
  passes: 5,
  ...patch,
})

const white = (...torches: Torch[]): MistCoat => ({
  id: TAUGHT_COAT,
  name: 'White',
  kind: 'mist',
  hidden: false,
  paint: 'white',
  mix: WHITE_PRESHADE.mix,
  parts: {},
  torches,
  airbrush: { ...WHITE_PRESHADE.airbrush, diffuseShare: 0 },
})

const colour = (paint: string, name: string): EvenCoat => ({
  id: COLOUR,
  name,
  kind: 'even',
  hidden: false,
  paint,
  mix: { paintDrops: 1, thinnerDrops: 2, mediumDrops: 0 },
  parts: {},
  thicknessUm: 0.6,
})

const recipeOf = (name: string, coats: readonly Coat[]): Recipe => ({
  name,
  primer: { paint: 'black', thicknessUm: 15 },
  coats,
  preshadeEnd: null,
  paints: PAINT_SHELF.filter(p => p.id === 'black' || coats.some(c => 'paint' in c && c.paint === p.id)),
  dropMl: DROP_ML,
  calibration: null,
  notes: '',
})

/** The figure under one torch and nothing else: what is guessed, and what is shown after. */
export const taskDocument = ({ title, figure, torch, camera }: GuessTask): GreycoatDocument => ({
  ...defaultDocument(),
  figure,
  recipe: recipeOf(title, [white({ ...torch, id: TORCH, linkedTo: null, muted: false })]),
  camera,
})

/** The task as it stands on the stage: torch, figure and view may have been moved. */
export const taskAsSet = (task: GuessTask, document: GreycoatDocument): GuessTask => ({
  ...task,
  figure: document.figure,
  torch: torchOf(document) ?? task.torch,
  camera: document.camera,
})

export const solidFigure = (name: SolidName): FigureReference => ({
  source: { kind: 'built-in', name },
  placement: BUILT_IN_PLACEMENT,
  refinement: defaultDocument().figure.refinement,
})

export function lessonDocument({ title, scene }: Lesson, figure: FigureReference): GreycoatDocument {
  const { beside } = scene
  return {
    ...defaultDocument(),
    figure,
    recipe: recipeOf(title, scene.coats),
    camera: scene.camera,
    compare: beside
      ? { kind: 'recipe', arrangement: { kind: 'side-by-side' }, recipe: recipeOf(beside.name, beside.coats) }
      : { kind: 'off' },
    // Whatever the torch reaches at all, against what it does not.
    thresholds: { light: 0.5, dark: REACHED },
  }
}

/** The coat whose torches are to be seen on the stage: there where a torch is what the lesson is about. */
export const torchCoat = ({ scene }: Lesson): string | null => (scene.coats.length === 1 ? TAUGHT_COAT : null)

export const lessonOf = (id: LessonId): Lesson => LESSONS.find(lesson => lesson.id === id)!

/** Which solid a document stands on, null for anything else. */
export function solidOf({ figure: { source } }: GreycoatDocument, { solids }: Lesson): SolidName | null {
  return source.kind === 'built-in' ? (solids.find(name => name === source.name) ?? null) : null
}

// Controls --------------------------------------------------------------------------------------------------------

const torchOf = (document: GreycoatDocument, id = TORCH): Torch | null => findTorch(document.recipe, id)?.torch ?? null
const moveTorch = (document: GreycoatDocument, patch: TorchPatch, id = TORCH): GreycoatDocument => ({
  ...document,
  recipe: patchTorch(document.recipe, id, patch),
})

const torchAround: LessonControl = {
  label: 'Torch around the shape',
  min: -180,
  max: 180,
  step: 5,
  unit: '°',
  read: d => torchOf(d)?.azimuthDegrees ?? 0,
  write: (d, azimuthDegrees) => moveTorch(d, { azimuthDegrees }),
}

const torchHeight = (min: number, max: number): LessonControl => ({
  label: 'Height of the torch',
  min,
  max,
  step: 5,
  unit: '°',
  read: d => torchOf(d)?.elevationDegrees ?? 0,
  write: (d, elevationDegrees) => moveTorch(d, { elevationDegrees }),
})

const passes: LessonControl = {
  label: 'Passes',
  min: 1,
  max: 40,
  step: 1,
  unit: '',
  read: d => torchOf(d)?.passes ?? 0,
  write: (d, count) => moveTorch(d, { passes: count }),
}

/** A nozzle twice as far needs four times as long for the same paint: what changes is the shape of the light alone. */
const distance: LessonControl = {
  label: 'From the middle to the nozzle',
  min: 20,
  max: 400,
  step: 2,
  unit: 'mm',
  read: d => torchOf(d)?.distanceMm ?? 0,
  write: (d, distanceMm) => moveTorch(d, { distanceMm, sweep: { kind: 'still', secondsPerPass: dwell(distanceMm) } }),
}
const dwell = (distanceMm: number): number => Math.round(1e4 * 3 * (distanceMm / 60) ** 2) / 1e4

const thickness: LessonControl = {
  label: 'Coat over the pre-shade',
  min: 0.2,
  max: 8,
  step: 0.2,
  unit: 'µm',
  read: d => colourUm(d.recipe),
  write: (d, thicknessUm) => ({
    ...d,
    recipe: thickened(d.recipe, thicknessUm),
    compare:
      d.compare.kind === 'recipe' ? { ...d.compare, recipe: thickened(d.compare.recipe, thicknessUm) } : d.compare,
  }),
}

const colourOf = (recipe: Recipe): EvenCoat | null => {
  const coat = recipe.coats.find(c => c.id === COLOUR)
  return coat?.kind === 'even' ? coat : null
}
const colourUm = (recipe: Recipe): number => colourOf(recipe)?.thicknessUm ?? 0
const thickened = (recipe: Recipe, thicknessUm: number): Recipe => ({
  ...recipe,
  coats: recipe.coats.map(c => (c.id === COLOUR && c.kind === 'even' ? { ...c, thicknessUm } : c)),
})

const lookedAtFrom: LessonControl = {
  label: 'Looked at from',
  min: -180,
  max: 180,
  step: 5,
  unit: '°',
  read: d => d.camera.azimuthDegrees,
  write: (d, azimuthDegrees) => ({ ...d, camera: { ...d.camera, azimuthDegrees } }),
}

const behind: LessonControl = {
  label: 'Second torch, behind',
  min: 0,
  max: 1,
  step: 1,
  unit: '',
  read: d => (torchOf(d, BEHIND)?.muted === false ? 1 : 0),
  write: (d, on) => moveTorch(d, { muted: on === 0 }, BEHIND),
}

// Answers ---------------------------------------------------------------------------------------------------------

const reached = ({ light, mid }: ViewReading): number => light + mid

const isLevel = ({ camera }: GreycoatDocument): boolean => Math.abs(camera.elevationDegrees) < 1

/** Between the torch and the line of sight, degrees. */
function phiDegrees(document: GreycoatDocument): number {
  const { camera } = document
  const lamp = torchOf(document)
  if (!lamp) return 180
  const cos = dot(
    directionFrom(camera.azimuthDegrees, camera.elevationDegrees),
    directionFrom(lamp.azimuthDegrees, lamp.elevationDegrees),
  )
  return (Math.acos(Math.min(1, Math.max(-1, cos))) * 180) / Math.PI
}

/** Azimuths of the torches that spray, off the line of sight. */
const offSight = (document: GreycoatDocument): number[] =>
  [TORCH, BEHIND].flatMap(id => {
    const lamp = torchOf(document, id)
    return lamp && !lamp.muted ? [lamp.azimuthDegrees - document.camera.azimuthDegrees] : []
  })

/** What an even film of the coat's paint lets through of a step between a dark and a light grey. */
function filmTheory(recipe: Recipe): LessonAnswer['expected'] {
  const coat = colourOf(recipe)
  const paint = recipe.paints.find(p => p.id === coat?.paint)
  if (!coat || !paint) return null
  return {
    share: filmKeeps(paintOptics(paint), coat.thicknessUm),
    formula: 'the same film over a dark and a light grey',
  }
}

function kept(name: string, recipe: Recipe, reading: ViewReading | null): LessonAnswer[] {
  return reading?.contrastLeft == null ? [] : [{ name, measured: reading.contrastLeft, expected: filmTheory(recipe) }]
}

export const LESSONS: readonly Lesson[] = [
  {
    id: 'form',
    title: 'Light on simple shapes',
    claim: 'A place gets as much paint as it faces the torch: round shapes fade, flat ones have one value a face.',
    solids: ['sphere', 'cylinder', 'cube', 'cone', 'stepped-block'],
    scene: { coats: [white(torch({ azimuthDegrees: 60, elevationDegrees: 30 }))], camera: eye(0, 0), beside: null },
    controls: [torchAround, torchHeight(-30, 90)],
    answers: ({ document, main, solid }) => [
      {
        name: 'Of what is seen, the torch reaches',
        measured: reached(main),
        expected:
          solid === 'sphere'
            ? { share: luneShare(phiDegrees(document)), formula: '(1 + cos φ) / 2, φ from torch to eye' }
            : solid === 'cylinder' && isLevel(document)
              ? { share: cylinderShare(offSight(document)), formula: '(1 + cos φ) / 2, φ around the axis' }
              : null,
      },
    ],
    turns: true,
  },
  {
    id: 'distance',
    title: 'Near and far torch',
    claim: 'A near torch reaches less of a round shape than a far one, and fades faster towards its rim.',
    solids: ['sphere', 'cone', 'cylinder'],
    scene: {
      coats: [
        white(
          torch({
            azimuthDegrees: 35,
            elevationDegrees: 25,
            passes: 25,
            distanceMm: 40,
            spread: 1,
            sweep: { kind: 'still', secondsPerPass: dwell(40) },
          }),
        ),
      ],
      camera: eye(0, 10),
      beside: null,
    },
    controls: [distance],
    answers: ({ document, main, solid, heightMm }) => [
      {
        name: 'Of the whole surface, the torch reaches',
        measured: main.reachedArea,
        expected:
          solid === 'sphere'
            ? { share: sphereShare(heightMm / 2, torchOf(document)?.distanceMm ?? 0), formula: '(1 − R/d) / 2' }
            : null,
      },
    ],
    turns: false,
  },
  {
    id: 'recess',
    title: 'Why recesses stay dark',
    claim: 'Spray flies straight: what the nozzle cannot see stays dark, however many passes you give it.',
    solids: ['stepped-block'],
    scene: { coats: [white(torch({ azimuthDegrees: 180, elevationDegrees: 55 }))], camera: eye(0, 40), beside: null },
    controls: [torchHeight(10, 85), passes],
    answers: ({ document, main, solid }) => {
      const lamp = torchOf(document)
      const { azimuthDegrees, elevationDegrees } = document.camera
      const known = solid === 'stepped-block' && lamp?.azimuthDegrees === 180 && Math.abs(azimuthDegrees) < 1
      return [
        {
          name: 'Of what is seen, the torch reaches',
          measured: reached(main),
          expected:
            known && elevationDegrees >= 0
              ? {
                  share: stairShare(lamp.elevationDegrees, elevationDegrees),
                  formula: 'each tread but the top one: 1 − cot e',
                }
              : null,
        },
      ]
    },
    turns: false,
  },
  {
    id: 'front-back',
    title: 'Front and back',
    claim: 'Front and back are never seen together, so each is lit for itself; the flanks belong to both.',
    solids: ['cylinder', 'sphere', 'cube'],
    scene: {
      coats: [
        white(
          torch({ azimuthDegrees: 0, elevationDegrees: 20 }),
          torch({ azimuthDegrees: 180, elevationDegrees: 20, muted: true, name: 'Behind' }, BEHIND),
        ),
      ],
      camera: eye(60, 0),
      beside: null,
    },
    controls: [lookedAtFrom, behind],
    answers: ({ document, main, solid }) => [
      {
        name: 'Of what is seen, the torches reach',
        measured: reached(main),
        expected:
          solid === 'cylinder' && isLevel(document)
            ? { share: cylinderShare(offSight(document)), formula: '(1 + cos φ) / 2 of each torch' }
            : null,
      },
    ],
    turns: true,
  },
  {
    id: 'thickness',
    title: 'Thin against thick',
    claim: 'A thin coat lets the greys read through; a thick one of the very same paint hides them.',
    solids: ['sphere', 'cone', 'stepped-block'],
    scene: {
      coats: [white(torch({ azimuthDegrees: 20, elevationDegrees: 60 })), colour('cold_blue', 'Blue')],
      camera: eye(0, 15),
      beside: null,
    },
    controls: [thickness],
    answers: ({ document, main }) => kept('Of the contrast is left', document.recipe, main),
    turns: false,
  },
  {
    id: 'covering',
    title: 'Transparent against covering paint',
    claim: 'At the same thickness a transparent pigment keeps the pre-shade and a covering one knocks it out.',
    solids: ['sphere', 'cone', 'stepped-block'],
    scene: {
      coats: [white(torch({ azimuthDegrees: 20, elevationDegrees: 60 })), colour('clear_red', 'Transparent red')],
      camera: eye(0, 15),
      beside: {
        name: 'Covering red',
        coats: [white(torch({ azimuthDegrees: 20, elevationDegrees: 60 })), colour('bright_red', 'Covering red')],
      },
    },
    controls: [thickness],
    answers: ({ document, main, other }) => [
      ...kept('Transparent red leaves', document.recipe, main),
      ...(document.compare.kind === 'recipe' ? kept('Covering red leaves', document.compare.recipe, other) : []),
    ],
    turns: false,
  },
]
