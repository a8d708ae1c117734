import type { GreyPicture } from '../compute/protocol.ts'
import type { AngleReading } from '../core/advice/angle-score.ts'
import type { Direction } from '../core/advice/dome.ts'
import type { LightPreset, LightReading } from '../core/advice/light-measures.ts'
import type { Figure } from '../core/mesh/figure.ts'
import type { FileMesh, IntakeNote } from '../core/mesh/file-mesh.ts'
import type { Problem } from '../core/problem.ts'
import type { Difference } from '../core/reading/difference.ts'
import type { OutsideScreen } from '../core/reading/outside-screen.ts'
import type { AreaReading } from '../core/reading/read-areas.ts'
import type { FilmLayer, ViewReading } from '../core/reading/reading.ts'
import type { Remedy } from '../core/reading/remedies.ts'
import type { SideOfFigure, UnlitSide } from '../core/reading/side-check.ts'
import type { CoatId, PaintId, PartId, TorchId } from '../core/recipe/recipe.ts'
import type { Caught } from '../core/spray/film-per-pass.ts'
import type { FigurePanels } from '../core/surface/figure-panels.ts'
import type { GuessScore } from '../core/teach/guess-score.ts'
import type { GreycoatDocument } from '../document/document.ts'
import type { History } from '../document/history.ts'
import type { LessonId } from '../document/lessons.ts'
import type { GuessTask } from '../document/task-file.ts'

export interface AppState {
  /** Saved and undoable. */
  readonly history: History<GreycoatDocument>
  /** Kept in this browser, not in the file, not undoable. */
  readonly preferences: Preferences
  /** Gone on reload. */
  readonly session: Session
  /** Recomputable from the document. Never edited, never saved. */
  readonly derived: Derived
}

export interface Preferences {
  readonly cautionsSeen: boolean
  /** The beginner's start was finished or skipped. */
  readonly startSeen: boolean
  /** Reading column folded away. */
  readonly readingFolded: boolean
  /** Colours that the screen cannot show are hatched. */
  readonly markOutside: boolean
  /** Sections of the reading column that stand open. */
  readonly openSections: readonly string[]
  /** CSS px a millimetre on this screen, as matched with a bank card; null until it was. */
  readonly screenPxPerMm: number | null
}

export interface Session {
  /** false until the last work or the demo stands. */
  readonly ready: boolean
  /** A coat, or the primer. */
  readonly openCoat: CoatId | typeof PRIMER | null
  readonly selectedTorch: TorchId | null
  /** A pointer holds a torch, slider or number: answers are coarse until it lets go. */
  readonly gesture: string | null
  readonly hover: Hover | null
  /** Area marked on the stage while it is pointed at, by panel id; and the one that is looked into, in which list. */
  readonly pointedArea: string | null
  readonly openArea: { readonly id: string; readonly list: 'view' | SideOfFigure } | null
  /** An area is lit on a side when this share of what is seen of it there is, 0…1. */
  readonly litShare: number
  /** Reading a file or preparing a figure, or null. */
  readonly intake: {
    readonly fileName: string
    readonly stage: 'reading' | 'preparing'
    readonly fraction: number
  } | null
  /** The newest problem to show, or null; dismissed by the user or by the next success. */
  readonly problem: Problem | null
  /** A short sentence after something succeeded ('Saved'), or null. */
  readonly notice: string | null
  readonly dialog: 'cautions' | 'recipe' | 'export' | 'start' | 'about' | 'paint' | 'calibration' | 'arms-length' | null
  /** What the paint editor works on, null while it is shut. */
  readonly paintTask: PaintTask | null
  /** Step of the beginner's start, from 0. */
  readonly startStep: number
  /** Lessons take the place of the reading, or null. */
  readonly learning: Learning | null
  readonly guess: Guess | null
}

/** Where a coat's id stands, the ground under all coats. */
export const PRIMER = 'primer'

/** A paint to be made (null) or edited, and the coat or primer that gets it. */
export interface PaintTask {
  readonly paint: PaintId | null
  readonly onto: CoatId | typeof PRIMER
}

/** Which lesson stands on the stage; null while one is being chosen. */
export interface Learning {
  readonly lesson: LessonId | 'guess' | null
  /** The user's own work, as it was left; null while it is what stands on the stage. */
  readonly aside: History<GreycoatDocument> | null
}

/** A learner's guess of where a torch lights the figure. */
export interface Guess {
  readonly task: GuessTask
  readonly tool: 'paint' | 'rub' | 'turn'
  readonly brushMm: number
  /** null while it is being painted. */
  readonly score: GuessScore | null
  /** The guess (and how it was judged), or what the torch does. */
  readonly shows: 'guess' | 'torch'
}

/** What the user works on, and what is kept: never a lesson. */
export const ownHistory = ({ history, session }: Pick<AppState, 'history' | 'session'>): History<GreycoatDocument> =>
  session.learning?.aside ?? history

/** What the pointer is over. */
export interface Hover {
  readonly side: Side
  /** Viewport position, CSS px, for the card beside the pointer. */
  readonly x: number
  readonly y: number
  readonly partId: PartId
  /** Bottom first, primer at index 0. */
  readonly layers: readonly FilmLayer[]
}

/** main: the recipe. other: what it is compared with. */
export type Side = 'main' | 'other'

export interface Derived {
  readonly figure: Figure | null
  /**
   * Fewer triangles over the same vertices, 3·T′, drawn while a hand holds something; null until they are made, and for
   * figures that need none.
   */
  readonly fewTriangles: Uint32Array | null
  /** The file as read, before placement: its extents and what was repaired. Arrays stay in the worker. */
  readonly file: FileSummary | null
  readonly notes: readonly IntakeNote[]
  readonly sides: { readonly main: PaintedSide | null; readonly other: PaintedSide | null }
  /** The guess as it is painted or judged; shown in the place of main while there is one. */
  readonly guess: PaintedSide | null
  readonly readings: { readonly main: ViewReading | null; readonly other: ViewReading | null }
  /** Between the two sides over the surface visible in this view, or null. */
  readonly difference: Difference | null
  /** The figure's areas; null until they are found. */
  readonly panels: FigurePanels | null
  /** How far looking for them has come, 0…1; null while nobody looks. */
  readonly findingAreas: number | null
  /** Readings of the main side by area, of those that are seen. */
  readonly areas: readonly AreaReading[] | null
  /** How much of what is seen of main the screen cannot show as it is; null in looks that show no paint. */
  readonly outside: OutsideScreen | null
  /** Areas seen from a side and not lit there, with what would light them; null before anybody has asked. */
  readonly sideCheck: SideCheck | null
  /** How far that check has come, 0…1; null while none runs. */
  readonly checkingSides: number | null
  /** Work under way for the picture: null when what is shown is up to date and refined. */
  readonly progress: { readonly what: 'exposure' | 'colour' | 'reading'; readonly fraction: number } | null
  /** Largest deposit shown, µm: the top of the legend of the deposit look. */
  readonly depositMaxUm: number
  /** What the figure catches of the recipe's torches, as far as they are baked. */
  readonly caught: Readonly<Record<TorchId, Caught>>
  /** What was found by looking around the figure; stays until it is looked for again. */
  readonly angleAdvice: AngleAdvice | null
  readonly lightAdvice: LightAdvice | null
  /** Looking around under way, 0…1. */
  readonly scanning: { readonly what: 'angles' | 'lights'; readonly fraction: number } | null
}

export interface AngleAdvice {
  /** `angleAdviceKey` of what was looked at: where it differs from that of now, the advice is of before. */
  readonly key: string
  /** One a direction of `DOME`; null where nothing was measured. */
  readonly readings: readonly (AngleReading | null)[]
  /** false: the coarse directions only. */
  readonly complete: boolean
}

export interface LightAdvice {
  /** `partsKey` of the figure as it is sprayed. */
  readonly key: string
  /** From where it was looked at, and from opposite. */
  readonly sides: readonly LightSide[]
}

export interface LightSide {
  readonly view: Direction
  /** One a direction of `DOME`, towards the nozzle. */
  readonly readings: readonly LightReading[]
  /** Indices into `DOME`, best first, with what each would light. */
  readonly best: readonly { readonly index: number; readonly picture: GreyPicture }[]
  readonly presets: readonly {
    readonly preset: LightPreset
    readonly direction: Direction
    readonly reading: LightReading
  }[]
}

export interface SideCheck {
  readonly figureId: string
  readonly unlit: readonly CheckedSide[]
}

export interface CheckedSide extends Omit<UnlitSide, 'spots'> {
  /** The furthest reaching first; null while they are being tried. */
  readonly remedies: readonly Remedy[] | null
}

export type FileSummary = Pick<FileMesh, 'format' | 'statedUnit' | 'statedUp'> & {
  readonly fileName: string
  readonly triangles: number
  /** Extents along the file's x, y, z in the file's own unit. */
  readonly extents: readonly [number, number, number]
}

/** What the scene draws for one side: the look already applied, so that the shader only encodes it. */
export interface PaintedSide {
  readonly figureId: string
  /** 3·V, linear sRGB (D65), matt surface term included; may leave 0…1. */
  readonly linearRgb: Float32Array
  /** 4·V, or null: see ShownLook. */
  readonly surface: Uint8Array | null
  readonly quality: 'coarse' | 'refined'
}
