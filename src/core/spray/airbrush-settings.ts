import type { Airbrush, Mix } from '../recipe/recipe.ts'

/** Where a default or a range comes from. 'memory' is common workshop habit: a start to calibrate, never a citation. */
export type Provenance = 'source' | 'memory'

export interface Setting {
  readonly value: number
  readonly min: number
  readonly max: number
  readonly provenance: Provenance
  /** The source, or why this is only from memory. */
  readonly basis: string
}

/** Defaults and sensible ranges of what a painter sets. Values outside are allowed; the range is what is usual. */
export const AIRBRUSH_SETTINGS = {
  needleMm: { value: 0.3, min: 0.2, max: 0.5, provenance: 'memory', basis: 'common practice' },
  pressureBar: {
    value: 1.24,
    min: 1.03,
    max: 2.07,
    provenance: 'memory',
    basis: 'common practice, 15 to 30 psi; HSE names "up to 2 bar" for small mobile sprayers',
  },
  flowMm3PerS: {
    value: 5,
    min: 1,
    max: 17,
    provenance: 'memory',
    basis: 'common practice, 0.06 to 1 mL/min; base coats up to 50 mm³/s. HSE: well below 100 g/min',
  },
  sweepMmPerS: { value: 100, min: 30, max: 300, provenance: 'memory', basis: 'common practice' },
  transfer: { value: 0.75, min: 0.5, max: 0.9, provenance: 'memory', basis: 'to a flat target without an edge' },
  diffuseShare: {
    value: 0.05,
    min: 0,
    max: 0.15,
    provenance: 'memory',
    basis: 'estimated from droplet inertia: the share of a 20 µm spray that follows the air around a figure',
  },
  distanceMm: { value: 80, min: 30, max: 150, provenance: 'memory', basis: 'common practice; mist 80 to 150 mm' },
  spread: {
    value: 0.075,
    min: 0.05,
    max: 0.12,
    provenance: 'memory',
    basis: 'turbulent round jet, edge half-angle 11 to 14°; calibrate with a dot on card: s = D90 / (4.29 · distance)',
  },
} as const satisfies Record<string, Setting>

export const AIRBRUSH_DEFAULTS: Airbrush = {
  needleMm: AIRBRUSH_SETTINGS.needleMm.value,
  pressureBar: AIRBRUSH_SETTINGS.pressureBar.value,
  flowMm3PerS: AIRBRUSH_SETTINGS.flowMm3PerS.value,
  sweepMmPerS: AIRBRUSH_SETTINGS.sweepMmPerS.value,
  transfer: AIRBRUSH_SETTINGS.transfer.value,
  diffuseShare: AIRBRUSH_SETTINGS.diffuseShare.value,
}

/**
 * What a needle lets through with the trigger all the way back, mm³/s: the trigger sets the flow, the needle caps it.
 * 17 mm³/s for 0.3 mm is the upper end of what is usual; other needles by their area. From memory.
 */
export const flowCapMm3PerS = (needleMm: number): number =>
  AIRBRUSH_SETTINGS.flowMm3PerS.max * (needleMm / AIRBRUSH_SETTINGS.needleMm.value) ** 2

/**
 * White pre-shade: one drop of paint to four of thinner at 25 psi through a 0.4 mm needle, from 80 to 120 mm. The
 * trigger sets the flow, the needle caps it. Common practice, no source: calibrate.
 */
export const WHITE_PRESHADE = {
  airbrush: { ...AIRBRUSH_DEFAULTS, needleMm: 0.4, pressureBar: 1.72, flowMm3PerS: 10 } satisfies Airbrush,
  flowMm3PerS: { value: 10, min: 7, max: 15, provenance: 'memory', basis: 'common practice' } satisfies Setting,
  mix: { paintDrops: 1, thinnerDrops: 4, mediumDrops: 0 } satisfies Mix,
  thinnerDrops: { value: 4, min: 4, max: 5, provenance: 'memory', basis: 'common practice' } satisfies Setting,
  distanceMm: { value: 100, min: 80, max: 120, provenance: 'memory', basis: 'common practice' } satisfies Setting,
} as const
