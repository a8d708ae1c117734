import { unreachable } from '../unreachable.ts'
import type { Coat, Finish, Mix } from './recipe.ts'

/** 1 psi = 6.89476 kPa, by the definitions of pound, inch and standard gravity. */
export const BAR_PER_PSI = 0.0689476

export const psiOfBar = (bar: number): number => bar / BAR_PER_PSI
export const barOfPsi = (psi: number): number => psi * BAR_PER_PSI

/** '25 psi (1.72 bar)'. */
export const pressureWords = (bar: number): string => `${Math.round(psiOfBar(bar))} psi (${bar.toFixed(2)} bar)`

/** '1 paint + 3 thinner', '2 paint + 5 thinner + 1 medium': drops, as given. */
export function mixWords({ paintDrops, thinnerDrops, mediumDrops }: Mix): string {
  const all: readonly (readonly [number, string])[] = [
    [paintDrops, 'paint'],
    [thinnerDrops, 'thinner'],
    [mediumDrops, 'medium'],
  ]
  const words = all.filter(([drops]) => drops > 0).map(([drops, name]) => `${hundredth(drops)} ${name}`)
  return words.join(' + ') || 'nothing in the pot'
}

const hundredth = (value: number): number => Math.round(100 * value) / 100

/** A pot of more drops than this is measured, not counted. */
const MOST_TIMES = 20

/**
 * The same mix in whole drops: one made with fractions is made in a larger pot, up to 20 times, and rounded where even
 * that leaves fractions. Nothing that is in the mix is rounded away.
 */
export function wholeDrops(mix: Mix): Mix {
  const drops = [mix.paintDrops, mix.thinnerDrops, mix.mediumDrops].map(d => Math.max(0, d))
  const rounded = (times: number) => drops.map(d => (d > 0 ? Math.max(1, Math.round(d * times)) : 0))
  const errorOf = (times: number) =>
    Math.max(...rounded(times).map((whole, i) => (whole > 0 ? Math.abs(whole / (drops[i] * times) - 1) : 0)))
  let best = 1
  for (let times = 2; times <= MOST_TIMES && errorOf(best) > 1e-9; times++) {
    if (errorOf(times) < errorOf(best) - 1e-9) best = times
  }
  const [paintDrops, thinnerDrops, mediumDrops] = rounded(best)
  return { paintDrops, thinnerDrops, mediumDrops }
}

export function coatKindWords(coat: Pick<Coat, 'kind'>): string {
  switch (coat.kind) {
    case 'mist':
      return 'sprayed'
    case 'even':
      return 'all over'
    case 'varnish':
      return 'varnish'
    default:
      return unreachable(coat.kind)
  }
}

export const FINISH_WORDS: Readonly<Record<Finish, { readonly name: string; readonly about: string }>> = {
  gloss: { name: 'Gloss', about: 'Mirrors the room: dark paint turns darkest and richest.' },
  satin: { name: 'Satin', about: 'Half way.' },
  matt: { name: 'Matt', about: 'Dull again, as paint dries here.' },
}

/** '10 passes a side' where all torches that spray have as many, 'passes vary: 4 to 12' where not; '' where nothing is sprayed from torches. */
export function passesWords(coat: Coat): string {
  if (coat.kind !== 'mist') return ''
  const passes = coat.torches.filter(t => !t.muted && t.passes > 0).map(t => t.passes)
  if (passes.length === 0) return 'no passes'
  const [least, most] = [Math.min(...passes), Math.max(...passes)]
  if (least !== most) return `passes vary: ${least} to ${most}`
  return `${most} ${most === 1 ? 'pass' : 'passes'}${passes.length > 1 ? ' a side' : ''}`
}
