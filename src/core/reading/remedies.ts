import { preshadeEndIndex } from '../chain/preshade-end.ts'
import type { Figure } from '../mesh/figure.ts'
import type { MistCoat, PartId, PartState, Recipe, Torch } from '../recipe/recipe.ts'
import { type Emitter, emittersOf } from '../spray/emitters.ts'
import type { FigurePanels } from '../surface/figure-panels.ts'
import { directionFrom, dot } from '../vec3.ts'
import { SIDES, type SideOfFigure } from './side-check.ts'

/** What would light an unlit area, and how much of its unlit surface it reaches. */
export type Remedy =
  | {
      readonly kind: 'torch'
      readonly azimuthDegrees: number
      readonly elevationDegrees: number
      readonly reached: number
    }
  /** Spraying this part apart. */
  | { readonly kind: 'part'; readonly partId: PartId; readonly reached: number }

/** Something to bake and look at: what the torches would leave. */
export interface Trial {
  readonly bakes: readonly {
    readonly partStates: Readonly<Record<PartId, PartState>>
    readonly emitters: readonly Emitter[]
  }[]
  /** A further torch adds to what is there; the torches there are, sprayed otherwise, replace it. */
  readonly onTop: boolean
}

export interface Aim {
  readonly azimuthDegrees: number
  readonly elevationDegrees: number
}

/** All around in steps of 30°, from 30° below to 60° above: a hand holds a figure so without strain. */
export const AIMS: readonly Aim[] = [60, 45, 30, 15, 0, -30].flatMap(elevationDegrees =>
  Array.from({ length: 12 }, (_, i) => ({ azimuthDegrees: (i < 7 ? i : i - 12) * 30, elevationDegrees })),
)

/** Emitters a torch is baked with here: as coarse as while it is dragged. */
const EMITTERS = 12
/** Parts tried at most, the largest: each costs a bake of every torch. */
const MOST_PARTS = 16
/** A remedy that reaches less of the unlit surface is none. Our choice. */
const WORTH_DOING = 0.25
/** Of directions that reach this share of the most, the highest is taken: a low torch flattens the whole pre-shade. */
const NEARLY_MOST = 0.8

/** The sprayed coats whose torches light the figure: those of the pre-shade, or all where there is none. */
export function lightingCoats(recipe: Recipe): MistCoat[] {
  const end = preshadeEndIndex(recipe)
  const coats = end === null ? recipe.coats : recipe.coats.slice(0, end + 1)
  return coats.filter((c): c is MistCoat => c.kind === 'mist' && !c.hidden)
}

/** A further torch like the coat's last one, sweeping the whole figure from there. */
export function torchFrom(
  coat: MistCoat,
  { azimuthDegrees, elevationDegrees }: Aim,
): Omit<Torch, 'id' | 'name'> | null {
  const model = coat.torches.at(-1)
  if (!model) return null
  const { id: _, name: __, ...rest } = model
  const sweep = { kind: 'figure' } as const
  return { ...rest, azimuthDegrees, elevationDegrees, muted: false, rollDegrees: 0, sweep, linkedTo: null }
}

/** One direction alone: quick, and enough to choose by. */
export const aimTrial = ({ parts: partStates }: MistCoat, { azimuthDegrees, elevationDegrees }: Aim): Trial => ({
  bakes: [
    {
      partStates,
      emitters: [{ kind: 'parallel', toward: directionFrom(azimuthDegrees, elevationDegrees), weight: 1 }],
    },
  ],
  onTop: true,
})

/** The torch itself. */
export function torchTrial(figure: Figure, coat: MistCoat, aim: Aim): Trial | null {
  const torch = torchFrom(coat, aim)
  if (!torch) return null
  const emitters = emittersOf({ ...torch, id: '', name: '' }, figure, EMITTERS)
  return { bakes: [{ partStates: coat.parts, emitters }], onTop: true }
}

/** Parts that shade others while the figure is lit, the largest first. */
export function partsToTry(recipe: Recipe, panels: FigurePanels): PartId[] {
  const areas = new Map<PartId, number>()
  for (const { partId, areaMm2 } of panels.panels) areas.set(partId, (areas.get(partId) ?? 0) + areaMm2)
  if (areas.size < 2) return []
  const coats = lightingCoats(recipe)
  const shades = [...areas].filter(([id]) => coats.some(coat => (coat.parts[id] ?? 'on') === 'on'))
  return shades
    .sort((x, y) => y[1] - x[1])
    .slice(0, MOST_PARTS)
    .map(([id]) => id)
}

/** The torches that are there, with one part sprayed apart. */
export const partTrial = (figure: Figure, coats: readonly MistCoat[], partId: PartId): Trial => ({
  bakes: coats.map(coat => ({
    partStates: { ...coat.parts, [partId]: coat.parts[partId] === 'absent' ? 'absent' : 'apart' },
    emitters: coat.torches.filter(t => !t.muted && t.passes > 0).flatMap(t => emittersOf(t, figure, EMITTERS)),
  })),
  onTop: false,
})

/** The highest direction that reaches nearly the most; of those the one nearest to the side itself. */
export function bestAim(side: SideOfFigure, reached: readonly number[]): Aim | null {
  const most = Math.max(...reached)
  if (!(most >= WORTH_DOING)) return null
  const toward = directionFrom(SIDES.find(s => s.side === side)!.azimuthDegrees, 0)
  const nearness = (aim: Aim) => dot(directionFrom(aim.azimuthDegrees, 0), toward)
  const good = AIMS.filter((_, i) => reached[i] >= NEARLY_MOST * most)
  good.sort((x, y) => y.elevationDegrees - x.elevationDegrees || nearness(y) - nearness(x))
  return good[0]
}

/** Worth doing, the furthest reaching first. */
export const worthDoing = (remedies: readonly Remedy[]): Remedy[] =>
  remedies.filter(r => r.reached >= WORTH_DOING).sort((x, y) => y.reached - x.reached)
