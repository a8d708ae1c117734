import type { Figure, Part } from '../mesh/figure.ts'
import type { Vec3 } from '../vec3.ts'
import { creaseAngles } from './crease-angles.ts'
import { keepFlatsWhole } from './keep-flats-whole.ts'
import { mergeRegions } from './merge-regions.ts'
import { straightenBorders } from './straighten-borders.ts'
import { edgeLengthsMm, type SurfaceEdges, surfaceEdges } from './surface-edges.ts'

/** A region of the surface bounded by creases: an area, on screen. */
export interface Panel {
  /** Part, side and number: the same for the same figure, unique within it. */
  readonly id: string
  /** 'helmet, left', 'coat, front 2'. */
  readonly name: string
  readonly partId: string
  readonly areaMm2: number
}

export interface FigurePanels {
  readonly figureId: string
  /** Part by part, the largest first. */
  readonly panels: readonly Panel[]
  /** T: index into `panels` of every triangle of the figure. */
  readonly panelOf: Uint32Array
  readonly neighbours: readonly PanelBorder[]
}

/** Two panels of one part side by side, by index, a < b. */
export interface PanelBorder {
  readonly a: number
  readonly b: number
  readonly lengthMm: number
}

/** Creases are looked for over this far on either side, mm: cast edges are rounded by 0.1 to 0.3 mm; our choice. */
const CREASE_RADIUS_MM = 0.5
export const PANEL_CREASE_DEGREES = 35
export const LEAST_PANEL_MM2 = 2

/**
 * The figure's areas: bounded by creases that turn 35° or more within half a millimetre to either side, none smaller
 * than 2 mm² unless the part itself is. Pieces of a part that touch nothing and are smaller (rivets, say) belong to the
 * area nearest to them. Deterministic.
 * @param onProgress 0…1
 */
export function figurePanels(figure: Figure, onProgress: (share: number) => void = () => {}): FigurePanels {
  const surface = surfaceEdges(figure)
  const lengthsMm = edgeLengthsMm(surface)
  onProgress(0.15)
  const angles = creaseAngles(surface, CREASE_RADIUS_MM)
  onProgress(0.5)
  const regionOf = mergeRegions(surface, angles, lengthsMm, {
    creaseRadians: (PANEL_CREASE_DEGREES * Math.PI) / 180,
    leastAreaMm2: LEAST_PANEL_MM2,
  })
  onProgress(0.9)
  keepFlatsWhole(surface, regionOf)
  straightenBorders(surface, lengthsMm, regionOf, LEAST_PANEL_MM2)
  for (const part of figure.parts) adoptLoosePieces(surface, regionOf, part)
  const { panels, numberOf } = namedPanels(figure, surface, regionOf)
  const panelOf = regionOf.map(region => numberOf.get(region)!)
  return { figureId: figure.id, panels, panelOf, neighbours: borders(surface, lengthsMm, panelOf) }
}

/** Triangles tried at most when the nearest area of a loose piece is looked for. */
const TRIED = 4096

function adoptLoosePieces(surface: SurfaceEdges, regionOf: Uint32Array, part: Part): void {
  const { firstTriangle, triangleCount } = part
  const end = firstTriangle + triangleCount
  const areas = new Map<number, number>()
  for (let t = firstTriangle; t < end; t++) areas.set(regionOf[t], (areas.get(regionOf[t]) ?? 0) + surface.areasMm2[t])
  const loose = new Set([...areas].filter(([, area]) => area < LEAST_PANEL_MM2).map(([region]) => region))
  if (loose.size === 0) return
  // A part of nothing but crumbs is one area, named after its first.
  if (loose.size === areas.size) return void regionOf.fill(regionOf[firstTriangle], firstTriangle, end)
  const stride = Math.ceil(triangleCount / TRIED)
  const landmarks: number[] = []
  for (let t = firstTriangle; t < end; t += stride) if (!loose.has(regionOf[t])) landmarks.push(t)
  if (landmarks.length === 0) for (let t = firstTriangle; t < end; t++) if (!loose.has(regionOf[t])) landmarks.push(t)
  const adopted = new Map<number, number>()
  for (let t = firstTriangle; t < end; t++) {
    const region = regionOf[t]
    if (!loose.has(region)) continue
    let home = adopted.get(region)
    if (home === undefined) {
      home = regionOf[nearest(surface, t, landmarks)]
      adopted.set(region, home)
    }
    regionOf[t] = home
  }
}

function nearest({ positions: p, triangles }: SurfaceEdges, from: number, among: readonly number[]): number {
  const a = 3 * triangles[3 * from]
  let best = among[0]
  let least = Infinity
  for (const t of among) {
    const b = 3 * triangles[3 * t]
    const distance = (p[a] - p[b]) ** 2 + (p[a + 1] - p[b + 1]) ** 2 + (p[a + 2] - p[b + 2]) ** 2
    if (distance >= least) continue
    least = distance
    best = t
  }
  return best
}

interface Measure {
  readonly region: number
  readonly part: Part
  areaMm2: number
  /** Σ area · normal, mm². */
  readonly facing: [number, number, number]
  /** Σ area · middle, mm³. */
  readonly moment: [number, number, number]
}

function namedPanels(
  figure: Figure,
  surface: SurfaceEdges,
  regionOf: Uint32Array,
): { panels: Panel[]; numberOf: Map<number, number> } {
  const panels: Panel[] = []
  const numberOf = new Map<number, number>()
  for (const part of figure.parts) {
    // The larger comes first; regions are numbered in order of their triangles, which settles ties.
    const measures = measuresOf(surface, regionOf, part).sort((x, y) => y.areaMm2 - x.areaMm2 || x.region - y.region)
    const middle = meanOf(measures)
    const used = new Map<string, number>()
    for (const measure of measures) {
      const side = measures.length === 1 ? WHOLE : sideOf(measure, middle)
      const number = (used.get(side) ?? 0) + 1
      used.set(side, number)
      numberOf.set(measure.region, panels.length)
      panels.push({
        id: `${part.id}:${side}:${number}`,
        name: nameOf(figure.parts.length === 1 ? null : part, side, number),
        partId: part.id,
        areaMm2: measure.areaMm2,
      })
    }
  }
  return { panels, numberOf }
}

/** The part's name says nothing where there is only one. */
function nameOf(part: Part | null, side: string, number: number): string {
  const words = [...(part ? [part.name] : []), ...(side === WHOLE && part ? [] : [side])]
  return `${words.join(', ')}${number > 1 ? ` ${number}` : ''}`
}

function measuresOf(surface: SurfaceEdges, regionOf: Uint32Array, part: Part): Measure[] {
  const { positions: p, triangles, facing, areasMm2 } = surface
  const measures = new Map<number, Measure>()
  for (let t = part.firstTriangle; t < part.firstTriangle + part.triangleCount; t++) {
    let measure = measures.get(regionOf[t])
    if (!measure) {
      measure = { region: regionOf[t], part, areaMm2: 0, facing: [0, 0, 0], moment: [0, 0, 0] }
      measures.set(regionOf[t], measure)
    }
    measure.areaMm2 += areasMm2[t]
    for (let k = 0; k < 3; k++) {
      measure.facing[k] += areasMm2[t] * facing[3 * t + k]
      const sum = p[3 * triangles[3 * t] + k] + p[3 * triangles[3 * t + 1] + k] + p[3 * triangles[3 * t + 2] + k]
      measure.moment[k] += (areasMm2[t] * sum) / 3
    }
  }
  return [...measures.values()]
}

/** Middle of a part's surface, mm. */
function meanOf(measures: readonly Measure[]): Vec3 {
  const area = measures.reduce((sum, m) => sum + m.areaMm2, 0)
  const along = (k: number) => (area > 0 ? measures.reduce((sum, m) => sum + m.moment[k], 0) / area : 0)
  return [along(0), along(1), along(2)]
}

/** A region whose normals cancel to less than this share of its area looks to no side: it goes round. */
const FACES_A_SIDE = 0.35
const WHOLE = 'whole'
const SIDES = ['left', 'top', 'front', 'right', 'underneath', 'back'] as const

/** Where a region looks to; one that goes round something is named after where it sits in its part. */
function sideOf({ areaMm2, facing, moment }: Measure, middle: Vec3): string {
  if (!(areaMm2 > 0)) return 'all round'
  if (Math.hypot(...facing) / areaMm2 >= FACES_A_SIDE) return SIDES[largest(facing)]
  const [x, y, z] = [0, 1, 2].map(k => moment[k] / areaMm2 - middle[k])
  const most = Math.max(Math.abs(x), Math.abs(y), Math.abs(z))
  if (most < Math.sqrt(areaMm2) / 4) return 'all round'
  const words: string[] = []
  if (2 * Math.abs(y) >= most) words.push(y > 0 ? 'upper' : 'lower')
  if (2 * Math.abs(x) >= most) words.push(x > 0 ? 'left' : 'right')
  return words.length > 0 ? words.join(' ') : z > 0 ? 'front' : 'back'
}

function largest(v: readonly number[]): number {
  const sizes = v.map(Math.abs)
  const k = sizes.indexOf(Math.max(...sizes))
  return v[k] >= 0 ? k : k + 3
}

function borders({ across }: SurfaceEdges, lengthsMm: Float32Array, panelOf: Uint32Array): PanelBorder[] {
  const lengths = new Map<number, { a: number; b: number; lengthMm: number }>()
  for (let h = 0; h < across.length; h++) {
    if (across[h] < h) continue
    const one = panelOf[(h / 3) | 0]
    const other = panelOf[(across[h] / 3) | 0]
    if (one === other) continue
    const [a, b] = one < other ? [one, other] : [other, one]
    const key = a * 2 ** 26 + b
    const known = lengths.get(key)
    if (known) known.lengthMm += lengthsMm[h]
    else lengths.set(key, { a, b, lengthMm: lengthsMm[h] })
  }
  return [...lengths.values()].sort((x, y) => x.a - y.a || x.b - y.b)
}
