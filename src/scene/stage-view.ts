import type { Figure } from '../core/mesh/figure.ts'
import type { Camera, GreycoatDocument } from '../document/document.ts'
import { outlineOf } from './figure-outline.ts'
import { type Framing, framingOf } from './framing.ts'

/**
 * How the stage is looked at this very moment. It moves at frame rate, so it is one mutable object beside the store;
 * the document hears of the camera when a movement pauses. Zoom is the lens, not the place of the eye: it belongs to
 * this window and is kept nowhere.
 */
export interface StageView {
  camera: Camera
  zoom: number
  /** CSS pixels of the whole stage. */
  width: number
  height: number
  /** Asks for a frame; does nothing until the canvas stands. */
  invalidate(): void
  /** Called after every drawn frame: overlays follow the picture in the same frame. */
  readonly afterFrame: Set<() => void>
}

export const createStageView = (camera: Camera): StageView => ({
  camera,
  zoom: 1,
  width: 1,
  height: 1,
  invalidate: () => {},
  afterFrame: new Set(),
})

/** A rectangle of the stage with a picture of its own, as shares of the stage's width, and which sides it shows. */
export interface Pane {
  readonly left: number
  readonly width: number
  /** Share of the pane's width left of which main is shown, right of it the other side. */
  readonly seam: number
}

/** Main on the left, what it is compared with on the right. The difference of the two is one picture. */
export function panesOf({ compare, look }: Pick<GreycoatDocument, 'compare' | 'look'>): readonly Pane[] {
  if (compare.kind === 'off' || look.kind === 'difference') return [{ left: 0, width: 1, seam: 1 }]
  if (compare.arrangement.kind === 'seam') return [{ left: 0, width: 1, seam: compare.arrangement.at }]
  return [
    { left: 0, width: 0.5, seam: 1 },
    { left: 0.5, width: 0.5, seam: 0 },
  ]
}

export function framingOfPane(view: StageView, figure: Figure, pane: Pane): Framing {
  return framingOf(view.camera, outlineOf(figure), (pane.width * view.width) / view.height, view.zoom)
}

export interface PanePlace {
  readonly pane: Pane
  /** −1…1 from left and bottom of the pane. */
  readonly x: number
  readonly y: number
  /** Shares 0…1 of the pane from left and top. */
  readonly u: number
  readonly v: number
}

/** Which pane a place of the stage is in; CSS pixels from the stage's left and top. */
export function placeAt(view: StageView, panes: readonly Pane[], xPx: number, yPx: number): PanePlace {
  const share = xPx / view.width
  const pane = panes.find(p => share < p.left + p.width) ?? panes[panes.length - 1]
  return placeIn(view, pane, xPx, yPx)
}

/** The same for a given pane, which may be left: a drag goes on where it began. */
export function placeIn(view: StageView, pane: Pane, xPx: number, yPx: number): PanePlace {
  const u = (xPx / view.width - pane.left) / pane.width
  const v = yPx / view.height
  return { pane, u, v, x: 2 * u - 1, y: 1 - 2 * v }
}

/** CSS pixels from the stage's left and top of a place in a pane (−1…1 from left and bottom). */
export const pxOf = (view: StageView, pane: Pane, at: { readonly x: number; readonly y: number }) => ({
  x: (pane.left + ((at.x + 1) / 2) * pane.width) * view.width,
  y: ((1 - at.y) / 2) * view.height,
})
