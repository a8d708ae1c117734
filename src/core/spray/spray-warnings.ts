import type { Coat, DropSizes, MistCoat, Recipe, TorchId } from '../recipe/recipe.ts'
import type { Setting } from './airbrush-settings.ts'
import { type Caught, filmOfPass, paintUsed } from './film-per-pass.ts'

/**
 * Where things begin to go wrong: the value warned at, and the range in which practice draws the line. All from memory,
 * none measured.
 */
export const WARNING_LIMITS = {
  'spray/runs': {
    value: 30,
    min: 20,
    max: 50,
    provenance: 'memory',
    basis: 'wet film of one pass in µm at which thinned paint begins to sag on an upright face',
  },
  'spray/flooded-recesses': {
    value: 15,
    min: 10,
    max: 25,
    provenance: 'memory',
    basis: 'wet film of one pass in µm that flows together in creases',
  },
  'spray/dusting': {
    value: 150,
    min: 120,
    max: 200,
    provenance: 'memory',
    basis: 'distance in mm; droplets of 5 µm dry within 0.04 s, about the time of such a flight',
  },
  'spray/high-pressure': {
    value: 2.07,
    min: 1.72,
    max: 2.4,
    provenance: 'memory',
    basis: 'pressure in bar, 30 psi; finer drops that dry on the way',
  },
  'spray/thick-mix': {
    value: 0.5,
    min: 0.3,
    max: 1,
    provenance: 'memory',
    basis: 'volumes of thinner and medium to one of paint below which it spits and dries chalky',
  },
  'spray/weak-binder': {
    value: 6,
    min: 5,
    max: 10,
    provenance: 'memory',
    basis: 'volumes of thinner to one of paint and medium above which the film rubs off',
  },
  'spray/overspray': {
    value: 0.05,
    min: 0.02,
    max: 0.08,
    provenance: 'memory',
    basis: 'share of the paint that lands; below it most of what can be seen is on base, neighbours and hand',
  },
} as const satisfies Record<string, Setting>

/** 'spray/gloss-below' stands on no number; 'spray/primer-matt' is a question to be asked, not a fault. */
export type SprayWarningCode = keyof typeof WARNING_LIMITS | 'spray/gloss-below' | 'spray/primer-matt'

export interface SprayWarning {
  readonly code: SprayWarningCode
  /** The worst of the coat's torches; null: the whole coat. */
  readonly torch: TorchId | null
  /** In the unit of the limit; null where there is no number. */
  readonly value: number | null
}

/** A question is to be answered at the figure; the rest is seen in the recipe. */
export const isQuestion = ({ code }: SprayWarning): boolean => code === 'spray/primer-matt'

/** Thin paint beads; from 2 volumes of thinner to one of paint on. From memory. */
const BEADS_FROM = 2

/**
 * What is likely to go wrong with a coat as it is set; nothing while all is well.
 * @param figure with what it catches, or null: overspray is then not judged
 */
export function sprayWarnings(
  recipe: Recipe,
  coat: Coat,
  figure: {
    readonly heightMm: number
    readonly box: readonly [number, number, number, number, number, number]
    readonly caught?: Readonly<Record<TorchId, Caught>>
  } | null,
): SprayWarning[] {
  if (coat.kind !== 'mist' || coat.hidden) return []
  const torches = coat.torches.filter(torch => !torch.muted && torch.passes > 0)
  if (torches.length === 0) return []
  const warnings: SprayWarning[] = []
  const warn = (code: SprayWarningCode, value: number | null, torch: TorchId | null = null) => {
    warnings.push({ code, torch, value })
  }
  const worst = (of: (torch: (typeof torches)[number]) => number) =>
    torches.map(torch => ({ id: torch.id, value: of(torch) })).reduce((a, b) => (b.value > a.value ? b : a))
  const { airbrush, mix } = coat

  const wet = worst(torch => filmOfPass(torch, airbrush, mix, 1, recipe.dropMl).wetUm)
  if (wet.value > WARNING_LIMITS['spray/runs'].value) warn('spray/runs', wet.value, wet.id)
  else if (wet.value > WARNING_LIMITS['spray/flooded-recesses'].value) warn('spray/flooded-recesses', wet.value, wet.id)

  const far = worst(torch => torch.distanceMm)
  if (far.value > WARNING_LIMITS['spray/dusting'].value) warn('spray/dusting', far.value, far.id)
  const { pressureBar } = airbrush
  if (pressureBar > WARNING_LIMITS['spray/high-pressure'].value) warn('spray/high-pressure', pressureBar)

  const { thick, thin } = thinningOf(coat, recipe.dropMl)
  if (thick < WARNING_LIMITS['spray/thick-mix'].value) warn('spray/thick-mix', thick)
  if (thin > WARNING_LIMITS['spray/weak-binder'].value) warn('spray/weak-binder', thin)

  if (figure) {
    const used = torches.map(t => paintUsed(t, figure, airbrush, mix, recipe.dropMl, figure.caught?.[t.id]))
    const mixMl = used.reduce((sum, u) => sum + u.mixMl, 0)
    const landsMl = used.reduce((sum, u) => sum + (u.landsMl ?? Number.NaN), 0)
    if (landsMl / mixMl < WARNING_LIMITS['spray/overspray'].value) warn('spray/overspray', landsMl / mixMl)
  }

  const below = recipe.coats.slice(0, recipe.coats.indexOf(coat)).findLast(c => !c.hidden)
  if (below?.kind === 'varnish' && below.finish === 'gloss') warn('spray/gloss-below', null)
  if (!below && thin >= BEADS_FROM) warn('spray/primer-matt', null)
  return warnings
}

/** Volumes: all that is not paint to paint, and thinner to all that holds binder. */
function thinningOf({ mix }: MistCoat, dropMl: DropSizes): { readonly thick: number; readonly thin: number } {
  const paint = mix.paintDrops * dropMl.paint
  const thinner = mix.thinnerDrops * dropMl.thinner
  const medium = mix.mediumDrops * dropMl.medium
  // An empty pot is no thick mix.
  return { thick: paint > 0 ? (thinner + medium) / paint : Infinity, thin: thinner / Math.max(1e-9, paint + medium) }
}
