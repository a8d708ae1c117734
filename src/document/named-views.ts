import type { Camera, NamedView } from './document.ts'

const view = (
  name: NamedView,
  azimuthDegrees: number,
  elevationDegrees: number,
  distanceMm: number,
): Camera & { readonly view: NamedView } => ({
  view: name,
  azimuthDegrees,
  elevationDegrees,
  distanceMm,
  target: [0, 0.5, 0],
})

/**
 * From where people look: across the table 35 to 45° above at 1 m, in hand 0 to 20° at 30 cm, on the shelf 0 to 10°.
 * The middle of each range; common practice, no source.
 */
export const NAMED_VIEWS: { readonly [V in NamedView]: Camera } = {
  table: view('table', 25, 40, 1000),
  hand: view('hand', 25, 10, 300),
  shelf: view('shelf', 25, 5, 700),
  underneath: view('underneath', 25, -40, 300),
  front: view('front', 0, 0, 500),
  back: view('back', 180, 0, 500),
  left: view('left', 90, 0, 500),
  right: view('right', -90, 0, 500),
}
