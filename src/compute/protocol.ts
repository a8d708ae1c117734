import type { Direction } from '../core/advice/dome.ts'
import type { LightMeasures } from '../core/advice/light-measures.ts'
import type { ScanFields, ViewMeasures } from '../core/advice/view-measures.ts'
import type { FieldKey } from '../core/chain/fields-needed.ts'
import type { Lamp } from '../core/colour/illuminants.ts'
import type { Figure } from '../core/mesh/figure.ts'
import type { Axis, FileFormat, IntakeNote, LengthUnit } from '../core/mesh/file-mesh.ts'
import type { Placement, Refinement } from '../core/mesh/placement.ts'
import type { Problem } from '../core/problem.ts'
import type { ArmsLengthView } from '../core/reading/arms-length.ts'
import type { Difference } from '../core/reading/difference.ts'
import type { OutsideScreen } from '../core/reading/outside-screen.ts'
import type { Portrait } from '../core/reading/portrait.ts'
import type { AreaReading } from '../core/reading/read-areas.ts'
import type { FilmLayer, ViewReading } from '../core/reading/reading.ts'
import type { Trial } from '../core/reading/remedies.ts'
import type { SurfaceSpots, UnlitSide } from '../core/reading/side-check.ts'
import type { PartId, PartState, Recipe, TorchId } from '../core/recipe/recipe.ts'
import type { Emitter } from '../core/spray/emitters.ts'
import type { Caught } from '../core/spray/film-per-pass.ts'
import type { FigurePanels } from '../core/surface/figure-panels.ts'
import type { GuessScore } from '../core/teach/guess-score.ts'
import type { Vec3 } from '../core/vec3.ts'
import type { Camera, Look } from '../document/document.ts'
import type { CgatsSample } from '../io/read-cgats.ts'

/** Every call a worker answers, by role. Adding a row does not compile until both ends handle it. */
export interface IntakeCalls {
  /** Parses and welds; the mesh stays in the worker for `placeFigure`. */
  readFile: {
    request: {
      readonly fileName: string
      /** Read in the worker: the page never holds the bytes. */
      readonly content: Blob
      /** Files that came with it, by name. */
      readonly sideFiles: ReadonlyMap<string, Blob>
    }
    reply: FileFacts
  }
  /** The read file as a figure, and as many copies of it as other workers need, so that nobody else copies. */
  placeFigure: {
    request: { readonly placement: Placement; readonly refinement: Refinement; readonly copies: number }
    reply: { readonly figure: Figure; readonly copies: readonly Figure[]; readonly notes: readonly IntakeNote[] }
  }
  /** Measured patches of a CGATS text file; nothing stays. */
  readSpectra: {
    request: { readonly fileName: string; readonly content: Blob }
    reply: { readonly samples: readonly CgatsSample[] }
  }
}

export interface FileFacts {
  /** Of the file itself, 64 lowercase hexadecimal digits. */
  readonly sha256: string
  readonly format: FileFormat
  readonly statedUnit: LengthUnit | null
  readonly statedUp: Axis | null
  readonly triangles: number
  readonly extents: readonly [number, number, number]
  readonly notes: readonly IntakeNote[]
  readonly guess: Placement
}

export interface BakeCalls {
  /** Replaces the figure that was kept before. */
  keepFigure: { request: { readonly figure: Figure }; reply: { readonly bytes: number } }
  /** Exposure of these emitters alone: V floats, to be added to what the other workers find. */
  bakeEmitters: {
    request: {
      readonly figureId: string
      readonly partStates: Readonly<Record<PartId, PartState>>
      readonly emitters: readonly Emitter[]
      readonly bufferSize: number | 'auto'
    }
    reply: { readonly exposure: Float32Array }
  }
  /** What `scanAngles` weighs the figure by, until it is told otherwise. */
  keepScanFields: {
    request: { readonly figureId: string; readonly fields: ScanFields }
    reply: { readonly bytes: number }
  }
  /** Measures of the figure seen from each direction. */
  scanAngles: {
    request: { readonly figureId: string; readonly directions: readonly Direction[]; readonly pixels: number }
    reply: { readonly measures: readonly ViewMeasures[] }
  }
  /** For each light, what it does to what is seen along each view. */
  scanLights: { request: LightScan; reply: { readonly measures: readonly (readonly LightMeasures[])[] } }
  /** Exposure by each light as a grey picture from the view: all parts on, whatever was left off while spraying. */
  lightPictures: { request: LightScan; reply: { readonly pictures: readonly GreyPicture[] } }
  /** How much of each set of spots each trial reaches: one row a trial, one share a set. */
  tryRemedies: {
    request: {
      readonly figureId: string
      readonly trials: readonly Trial[]
      readonly spots: readonly SurfaceSpots[]
      readonly dark: number
    }
    reply: { readonly reached: readonly (readonly number[])[] }
  }
}

export interface LightScan {
  readonly figureId: string
  readonly partStates: Readonly<Record<PartId, PartState>>
  readonly views: readonly Direction[]
  readonly lights: readonly Direction[]
}

/** width·height bytes each, rows from the top; opacity is 0 where the figure is not. */
export interface GreyPicture {
  readonly width: number
  readonly height: number
  readonly grey: Uint8ClampedArray
  readonly opacity: Uint8ClampedArray
}

export interface PaintCalls {
  /** Replaces the figure and forgets every field of the one before. */
  keepFigure: { request: { readonly figure: Figure }; reply: { readonly bytes: number } }
  /** Adds the shares of one field up and keeps the sum under its key, in the place of a coarser one. */
  keepField: {
    request: { readonly figureId: string; readonly key: FieldKey; readonly shares: readonly Float32Array[] }
    reply: { readonly bytes: number }
  }
  /** The figure's areas: from now on `read` reads them as well. */
  keepPanels: { request: { readonly panels: FigurePanels }; reply: { readonly areas: number } }
  dropFields: { request: { readonly keys: readonly FieldKey[] }; reply: { readonly dropped: number } }
  /** Deposits and colours of one side; both stay here for `read` and `layersAt`. */
  paint: {
    request: {
      readonly figureId: string
      readonly side: SideName
      readonly recipe: Recipe
      readonly ground: Ground
      readonly look: Look
      readonly illuminant: Lamp
      /** Whether the painted look says how grainy its mists are. */
      readonly grain: boolean
    }
    /** surface: see ShownLook. */
    reply: {
      readonly linearRgb: Float32Array
      readonly surface: Uint8Array | null
      readonly depositMaxUm: number
      readonly caught: Readonly<Record<TorchId, Caught>>
    }
  }
  /** Areas seen from the four sides that what was painted last leaves unlit there; none before areas are known. */
  checkSides: {
    request: { readonly figureId: string; readonly dark: number; readonly litShare: number }
    reply: { readonly unlit: readonly UnlitSide[] }
  }
  /** Readings of what was painted last on each side, from this camera. */
  read: {
    request: {
      readonly figureId: string
      readonly camera: Camera
      readonly thresholds: { readonly light: number; readonly dark: number }
      readonly sides: readonly SideName[]
    }
    reply: {
      readonly main: ViewReading | null
      readonly other: ViewReading | null
      readonly difference: Difference | null
      /** Of the main side; null before the areas are known. */
      readonly areas: readonly AreaReading[] | null
      /** Of main, as the painted look shows it. */
      readonly outside: OutsideScreen | null
    }
  }
  /** Of what was painted last on the main side. Saliency takes a while, but is found once a figure. */
  scanFields: { request: { readonly figureId: string; readonly withSaliency: boolean }; reply: ScanFields }
  /** The figure with the colours that were painted last on that side, whatever look is shown. */
  exportGlb: { request: { readonly figureId: string; readonly side: SideName }; reply: { readonly bytes: Uint8Array } }
  /** Fewer triangles over the figure's own vertices, for pictures that must follow the hand. */
  simplify: {
    request: { readonly figureId: string; readonly triangles: number }
    reply: { readonly triangles: Uint32Array }
  }
  /** What was painted last on a side, as an eye sees it from the camera's direction and distance; null where nothing is seen. */
  armsLength: {
    request: { readonly figureId: string; readonly side: SideName; readonly camera: Camera }
    reply: { readonly view: ArmsLengthView | null }
  }
  /** A small picture of a recipe whose fields are kept here, without painting a side. */
  portrait: {
    request: { readonly figureId: string; readonly recipe: Recipe; readonly camera: Camera; readonly size: number }
    reply: Portrait
  }
  /** Brushes a guess onto the figure along lines of sight, or starts it anew where there are none. */
  brushGuess: {
    request: {
      readonly figureId: string
      readonly strokes: readonly Ray[]
      readonly radiusMm: number
      readonly paints: boolean
    }
    reply: { readonly linearRgb: Float32Array }
  }
  /** The guess against the direct exposure of what is painted on main, over what is seen from the camera. */
  judgeGuess: {
    request: { readonly figureId: string; readonly level: number; readonly camera: Camera }
    reply: { readonly score: GuessScore; readonly linearRgb: Float32Array }
  }
  /** The stack where a line of sight first meets the figure, or null where it meets nothing. */
  layersAt: {
    request: { readonly figureId: string; readonly side: SideName; readonly origin: Vec3; readonly direction: Vec3 }
    reply: { readonly partId: PartId; readonly layers: readonly FilmLayer[] } | null
  }
}

/** What is known of the surface itself, whatever is sprayed on it. */
export interface SurfaceCalls {
  findPanels: { request: { readonly figure: Figure }; reply: FigurePanels }
}

/** A half line in the figure's space, mm; the direction need not be of unit length. */
export interface Ray {
  readonly origin: Vec3
  readonly direction: Vec3
}

export type SideName = 'main' | 'other'
export type { FieldKey }
/** What lies under the coats: the recipe's own primer and pre-shade, or one grey in the pre-shade's place. */
export type Ground = { readonly kind: 'preshade' } | { readonly kind: 'flat'; readonly greyY: number | null }

export interface CallsOf {
  intake: IntakeCalls
  bake: BakeCalls
  paint: PaintCalls
  surface: SurfaceCalls
}

export type WorkerRole = keyof CallsOf
export type CallName<R extends WorkerRole> = keyof CallsOf[R] & string
type Row = { request: unknown; reply: unknown }
export type RequestOf<R extends WorkerRole, N extends CallName<R>> = (CallsOf[R][N] & Row)['request']
export type ReplyOf<R extends WorkerRole, N extends CallName<R>> = (CallsOf[R][N] & Row)['reply']

export type ToWorker =
  | { readonly type: 'call'; readonly id: number; readonly name: string; readonly request: unknown }
  | { readonly type: 'cancel'; readonly id: number }

export type FromWorker =
  | { readonly type: 'progress'; readonly id: number; readonly fraction: number }
  | { readonly type: 'reply'; readonly id: number; readonly reply: unknown }
  | { readonly type: 'problem'; readonly id: number; readonly problem: Problem }
  | { readonly type: 'cancelled'; readonly id: number }

/** What Worker, MessagePort and a test double have in common. */
export interface Port {
  postMessage(message: unknown, transfer: Transferable[]): void
  addEventListener(type: 'message' | 'error' | 'messageerror', listener: (event: MessageEvent) => void): void
}

/** A port whose other end can be stopped at once, whatever it is doing. */
export interface WorkerPort extends Port {
  terminate(): void
}
