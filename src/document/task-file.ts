import { z } from 'zod'
import type { Result } from '../core/problem.ts'
import type { Torch } from '../core/recipe/recipe.ts'
import { TORCH_DEFAULTS } from '../core/recipe/torch-sets.ts'
import { BUILT_IN_PLACEMENT, DEMO_FIGURE, defaultDocument } from './default-document.ts'
import type { Camera, FigureReference } from './document.ts'
import { bodyOf, envelopeOf } from './document-file.ts'
import type { Migration } from './document-migrations.ts'
import { documentSchema, torchSchema } from './document-schema.ts'

/** Guess the highlight: where does this torch light this figure, seen from here? */
export interface GuessTask {
  readonly title: string
  readonly question: string
  readonly figure: FigureReference
  readonly torch: Torch
  /** Exposure above which a place counts as lit. */
  readonly level: number
  readonly camera: Camera
}

export const TASK_FORMAT = 'greycoat-task'
const MIGRATIONS: readonly Migration[] = []
export const TASK_VERSION = 1 + MIGRATIONS.length

const schema = z.strictObject({
  title: z.string().max(200),
  question: z.string().max(2000),
  figure: documentSchema.shape.figure,
  torch: torchSchema,
  level: z.number().min(0.01).max(1),
  camera: documentSchema.shape.camera,
}) satisfies z.ZodType<GuessTask>

export const saveTask = (task: GuessTask): string =>
  `${JSON.stringify({ format: TASK_FORMAT, version: TASK_VERSION, task }, null, 2)}\n`

/** Text from outside → a task to trust, or why not. Never throws. */
export function openTask(text: string, fileName: string): Result<GuessTask> {
  const file = envelopeOf(text, fileName, [TASK_FORMAT])
  return file.ok ? bodyOf(file.value, fileName, 'task', MIGRATIONS, schema) : file
}

/** Whether a text means to be a task: what it is worth is for `openTask` to say. */
export const isTaskText = (text: string): boolean =>
  /^\s*\{\s*"format"\s*:\s*"greycoat-task"/.test(text.replace(/^\uFEFF/, ''))

/** The one to begin with: a torch over the figure's left shoulder. */
export const firstTask = (): GuessTask => ({
  title: 'Guess the highlight',
  question: 'The torch stands over the left shoulder. Where does it lay the most paint?',
  figure: {
    source: { kind: 'built-in', name: DEMO_FIGURE },
    placement: BUILT_IN_PLACEMENT,
    refinement: defaultDocument().figure.refinement,
  },
  torch: { ...TORCH_DEFAULTS, id: 'lesson_torch_1', azimuthDegrees: 40, elevationDegrees: 50, passes: 10 },
  level: 0.5,
  camera: { ...defaultDocument().camera, view: 'free', azimuthDegrees: 25, elevationDegrees: 15 },
})
