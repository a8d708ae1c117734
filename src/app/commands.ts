import type { Ray } from '../compute/protocol.ts'
import type { Lamp as Illuminant } from '../core/colour/illuminants.ts'
import type { Placement, Refinement } from '../core/mesh/placement.ts'
import type { Result } from '../core/problem.ts'
import type { ArmsLengthView } from '../core/reading/arms-length.ts'
import type { Portrait } from '../core/reading/portrait.ts'
import type { Remedy } from '../core/reading/remedies.ts'
import type {
  Airbrush,
  Coat,
  CoatId,
  Finish,
  Mix,
  Paint,
  PaintId,
  PartId,
  PartState,
  Recipe,
  Torch,
  TorchId,
} from '../core/recipe/recipe.ts'
import type { TorchSetName } from '../core/recipe/torch-sets.ts'
import type { Camera, Compare, GreycoatDocument, Lamp, Look, NamedView } from '../document/document.ts'
import type { TorchPlace } from '../document/edit-torches.ts'
import type { LessonId, SolidName } from '../document/lessons.ts'
import type { GuessTask } from '../document/task-file.ts'
import type { Guess, PaintTask, PRIMER, Preferences, Session, Side } from './app-state.ts'
import type { BuiltInFigure } from './built-in-figures.ts'
import type { CgatsSample } from './read-spectra.ts'

export interface HoverPlace {
  readonly side: Side
  readonly u: number
  readonly v: number
  readonly x: number
  readonly y: number
  readonly ray: Ray
}

/**
 * The only ways anything changes. Panels, gizmos, keyboard and tests all call these. A `gesture` key folds the changes
 * of one drag into one undo step and asks for coarse answers until `endGesture`.
 */
export interface Commands {
  // History
  undo(): void
  redo(): void
  endGesture(): void

  // Figure
  /** One mesh (with its side files), or one saved Greycoat file. */
  openFiles(files: readonly File[]): Promise<void>
  openBuiltIn(name: string): Promise<void>
  /** The figures beside the page; empty where their list cannot be fetched. */
  builtInFigures(): Promise<readonly BuiltInFigure[]>
  cancelIntake(): void
  setPlacement(patch: Partial<Placement>): void
  setRefinement(patch: Partial<Refinement>): void

  // Stack
  addCoat(kind: Coat['kind'], paint?: PaintId): CoatId
  duplicateCoat(id: CoatId): void
  deleteCoat(id: CoatId): void
  /** 0 is the bottom. */
  moveCoat(id: CoatId, toIndex: number): void
  renameCoat(id: CoatId, name: string): void
  hideCoat(id: CoatId, hidden: boolean): void
  setMix(id: CoatId, patch: Partial<Mix>, gesture?: string): void
  setAirbrush(id: CoatId, patch: Partial<Airbrush>, gesture?: string): void
  /** Passes of every torch of the coat. */
  setPasses(id: CoatId, passes: number, gesture?: string): void
  setThickness(id: CoatId, thicknessUm: number, gesture?: string): void
  setFinish(id: CoatId, finish: Finish): void
  setPartState(id: CoatId, part: PartId, state: PartState): void
  setPreshadeEnd(id: CoatId | null): void
  setPrimer(patch: { thicknessUm: number }): void
  /** Gives a coat or the primer this paint; a paint of the recipe with its id becomes this one, wherever it is used. One step. */
  putPaint(paint: Paint, onto: CoatId | typeof PRIMER): void
  /** Makes a paint for this coat, or edits one, in the paint editor. */
  openPaint(task: PaintTask): void
  /** Measured patches of a CGATS text file, read off the main thread. */
  readSpectra(file: File): Promise<Result<readonly CgatsSample[]>>
  setRecipe(recipe: Recipe, label: string): void
  setNotes(notes: string): void

  // Torches
  addTorch(coat: CoatId): TorchId
  /** Replaces the coat's torches by a ready-made set. */
  applyTorchSet(coat: CoatId, set: TorchSetName): void
  /** Replaces the coat's torches by ones at these places. */
  placeTorches(coat: CoatId, places: readonly TorchPlace[]): void
  duplicateTorch(id: TorchId): void
  deleteTorch(id: TorchId): void
  /** Linked torches follow. */
  setTorch(id: TorchId, patch: Partial<Omit<Torch, 'id'>>, gesture?: string): void
  linkTorch(id: TorchId, to: TorchId | null): void

  // Seeing
  setCamera(camera: Camera): void
  goToView(view: NamedView): void
  setLook(look: Look): void
  setLamp(lamp: Lamp, gesture?: string): void
  setIlluminant(illuminant: Illuminant): void
  setCompare(compare: Compare, gesture?: string): void
  setThresholds(patch: { light?: number; dark?: number }): void
  /**
   * What the pointer is over; null when it leaves. u, v: share of that side's view 0…1 from the left and from the top.
   * x, y: CSS px of the viewport. `ray`: the line of sight through that place, which decides what is met.
   */
  hover(at: HoverPlace | null): void
  /** What an eye keeps of a side from this far, seen from where the camera stands; null until that side is painted. */
  armsLength(side: Side, distanceMm: number): Promise<ArmsLengthView | null>

  // Advice: changes nothing that is saved
  /** Looks at the figure from all around, coarsely first. */
  scanAngles(): Promise<void>
  /** Tries spray from all around for where the camera stands now, and for the opposite side. */
  scanLights(): Promise<void>
  cancelScan(): void

  // Areas
  /** Looks for the figure's areas, where that was called off. */
  findAreas(): void
  cancelFindingAreas(): void
  /** Looks which areas are seen from a side and not lit there, and what would light them. */
  checkSides(): Promise<void>
  cancelSideCheck(): void
  /** Adds the torch, or sprays the part apart, in the coats that light the figure. */
  applyRemedy(remedy: Remedy): void
  /** An empty name gives the area its own name back. */
  renameArea(id: string, name: string): void
  setMeantDark(id: string, meantDark: boolean): void
  // Learning
  /** Puts a lesson on the stage, on a document of its own; null shows the list over the user's own work. */
  learn(lesson: LessonId | null): void
  /** A task to guess, on a document of its own: one of the user's own figure unless one is given. */
  practise(task?: GuessTask): void
  setGuess(patch: Partial<Pick<Guess, 'tool' | 'brushMm' | 'shows' | 'task'>>): void
  /** The shape turned all the way round in so many steps under torches and an eye that stay, as small pictures. */
  turnedPortraits(count: number, size: number): Promise<readonly Portrait[]>
  /** Along lines of sight; none starts the guess anew. */
  brushGuess(strokes: readonly Ray[]): Promise<void>
  judgeGuess(): Promise<void>
  /** The task as it stands on the stage. */
  taskFile(): { fileName: string; text: string }
  /** The lesson on another figure: a solid of its own, or the user's. */
  learnOn(solid: SolidName | 'mine'): void
  /** Moves something of the lesson's document. */
  setLesson(apply: (document: GreycoatDocument) => GreycoatDocument, gesture?: string): void
  /** The user's own work stands again, undo included. */
  stopLearning(): void

  // Session
  select(
    patch: Partial<
      Pick<Session, 'openCoat' | 'selectedTorch' | 'dialog' | 'startStep' | 'pointedArea' | 'openArea' | 'litShare'>
    >,
  ): void
  dismissProblem(): void
  setPreferences(patch: Partial<Preferences>): void

  // Keeping
  /** Text of the versioned document file, and a name for it. */
  documentFile(): { fileName: string; text: string }
  recipeFile(): { fileName: string; text: string }
  /** The figure with the colours of one side baked into its vertices. */
  exportGlb(side: Side): Promise<{ fileName: string; bytes: Uint8Array }>
  /** Names the last thing that succeeded, for the notice line. */
  announce(notice: string): void
}
