import type { Figure } from '../mesh/figure.ts'
import type { FigurePanels } from '../surface/figure-panels.ts'
import { cross, directionFrom, dot, normalize, subtract, type Vec3 } from '../vec3.ts'
import { NOTHING, rasterView } from './raster-view.ts'

/** Front and back are never seen together, so each is lit for itself; left and right as well. */
export const SIDES = [
  { side: 'front', azimuthDegrees: 0 },
  { side: 'back', azimuthDegrees: 180 },
  { side: 'left', azimuthDegrees: 90 },
  { side: 'right', azimuthDegrees: -90 },
] as const

export type SideOfFigure = (typeof SIDES)[number]['side']

/** An area that is seen from a side and not lit there. */
export interface UnlitSide {
  readonly side: SideOfFigure
  /** Index into the figure's panels. */
  readonly panel: number
  /** Surface that is seen from the side, and the unlit part of it, mm². */
  readonly seenMm2: number
  readonly unlitMm2: number
  /** Places in the unlit part, for trying what would reach them. */
  readonly spots: SurfaceSpots
}

/** Places on the surface: triangle, shares of its second and third corner, and the exposure that is there already. */
export interface SurfaceSpots {
  readonly triangle: Uint32Array
  readonly b1: Float32Array
  readonly b2: Float32Array
  readonly exposure: Float32Array
}

/** A level eye this far away, as the named views of the four sides. mm */
const DISTANCE_MM = 500
/** Pixels along a side of the picture: an area of 2 mm² on a figure of 32 mm has about 100. */
const PICTURE = 256
/** Steeper than this a pixel's surface is not stretched further. */
const LEAST_COSINE = 0.2
const MOST_SPOTS = 240
/** Less unlit surface than this is not worth a line, mm²: half of the least area. Our choice. */
const WORTH_A_LINE_MM2 = 1

/**
 * Every area that is seen level from the front, back, left or right, and of whose surface seen from there less than
 * `litShare` has an exposure of at least `dark`: side by side, the largest unlit surface first.
 * @param exposure V: summed direct exposure of the pre-shade's torches
 */
export function unlitSides(
  figure: Figure,
  panels: FigurePanels,
  exposure: Float32Array,
  { dark, litShare }: { readonly dark: number; readonly litShare: number },
): UnlitSide[] {
  return SIDES.flatMap(({ side, azimuthDegrees }) => {
    const seen = new Float64Array(panels.panels.length)
    const unlit = new Float64Array(panels.panels.length)
    const unlitPixels: number[][] = panels.panels.map(() => [])
    const toward = directionFrom(azimuthDegrees, 0)
    const view = { azimuthDegrees, elevationDegrees: 0, distanceMm: DISTANCE_MM, target: [0, 0.5, 0] as const }
    const { triangle, b1, b2, pixelAreaMm2 } = rasterView(figure, view, PICTURE)
    triangle.forEach((t, pixel) => {
      if (t === NOTHING) return
      const areaMm2 = pixelAreaMm2 / Math.max(LEAST_COSINE, Math.abs(dot(facingOf(figure, t), toward)))
      const panel = panels.panelOf[t]
      seen[panel] += areaMm2
      if (valueAt(figure, t, b1[pixel], b2[pixel], exposure) >= dark) return
      unlit[panel] += areaMm2
      unlitPixels[panel].push(pixel)
    })
    const found: UnlitSide[] = []
    unlitPixels.forEach((pixels, panel) => {
      if (seen[panel] - unlit[panel] >= litShare * seen[panel] || unlit[panel] < WORTH_A_LINE_MM2) return
      const stride = Math.ceil(pixels.length / MOST_SPOTS)
      const places = pixels.filter((_, i) => i % stride === 0)
      const pick = (of: ArrayLike<number>) => places.map(pixel => of[pixel])
      const spots = {
        triangle: Uint32Array.from(pick(triangle)),
        b1: Float32Array.from(pick(b1)),
        b2: Float32Array.from(pick(b2)),
      }
      const there = Float32Array.from(spots.triangle, (t, i) => valueAt(figure, t, spots.b1[i], spots.b2[i], exposure))
      found.push({ side, panel, seenMm2: seen[panel], unlitMm2: unlit[panel], spots: { ...spots, exposure: there } })
    })
    return found.sort((x, y) => y.unlitMm2 - x.unlitMm2)
  })
}

/** Share of the spots that have at least `dark`: with this exposure alone, or on top of what is there already. */
export function shareReached(
  figure: Figure,
  spots: SurfaceSpots,
  exposure: Float32Array,
  dark: number,
  onTop: boolean,
): number {
  const { triangle, b1, b2 } = spots
  let reached = 0
  for (let i = 0; i < triangle.length; i++) {
    const there = valueAt(figure, triangle[i], b1[i], b2[i], exposure) + (onTop ? spots.exposure[i] : 0)
    if (there >= dark) reached++
  }
  return triangle.length > 0 ? reached / triangle.length : 0
}

function valueAt({ triangles }: Figure, t: number, b1: number, b2: number, field: Float32Array): number {
  const a = field[triangles[3 * t]]
  return a + b1 * (field[triangles[3 * t + 1]] - a) + b2 * (field[triangles[3 * t + 2]] - a)
}

function facingOf({ positions: p, triangles }: Figure, t: number): Vec3 {
  const at = (k: number): Vec3 => {
    const i = 3 * triangles[3 * t + k]
    return [p[i], p[i + 1], p[i + 2]]
  }
  return normalize(cross(subtract(at(1), at(0)), subtract(at(2), at(0))))
}
