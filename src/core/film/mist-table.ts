import { BANDS } from '../colour/bands.ts'
import { film, over } from './kubelka-munk.ts'
import { eachCount, MEETS, type MeanFilm, meanFilm, throughThree } from './mist-film.ts'
import type { Optics } from './paint-optics.ts'
import { evenInternal, mixable } from './saunderson.ts'

/**
 * A coat's mean films (see MeanFilm) for every thickness it takes on a figure: A, M = B − A·C and C of each band at
 * TABLE_NODES thicknesses, closer together where films are thin, straight lines between. Node i stands at
 * (i / nodesPerRootUm)² µm, the last one at the largest thickness.
 *
 *   values  TABLE_NODES·TABLE_ROW float32, node by node: 16 A, 16 M, 16 C
 */
export interface MistTable {
  readonly nodesPerRootUm: number
  readonly values: Float32Array
}

export const TABLE_NODES = 160
export const TABLE_ROW = 3 * BANDS

/** Droplets finer than this share of the largest thickness count as a film: no eye could tell, and sums stay short. */
const FINEST_DROPLET = 1 / 2000

/**
 * @param largestUm > 0
 * @remarks Error against the exact mean: that of the form (see MeanFilm); the straight lines between nodes add
 * less than 0.01 ΔE00.
 */
export function mistTable(optics: Optics, largestUm: number, dropletUm: number): MistTable {
  const values = new Float32Array(TABLE_NODES * TABLE_ROW)
  const nodesPerRootUm = (TABLE_NODES - 1) / Math.sqrt(largestUm)
  const set = (node: number, band: number, { a, b, c }: MeanFilm) => {
    const at = node * TABLE_ROW + band
    values[at] = a
    values[at + BANDS] = b - a * c
    values[at + 2 * BANDS] = c
  }
  if (dropletUm < FINEST_DROPLET * largestUm) {
    for (let i = 0; i < TABLE_NODES; i++)
      for (let b = 0; b < BANDS; b++)
        set(i, b, meanFilm(optics.absorption[b], optics.scattering[b], thicknessAt(i, largestUm), 0))
    return { nodesPerRootUm, values }
  }
  // The films of n droplets are the same at every node: made once.
  const most = Math.ceil(largestUm / dropletUm + 6.5 * Math.sqrt(largestUm / dropletUm) + 9)
  const counted = Array.from({ length: BANDS }, (_, b) =>
    Array.from({ length: most + 1 }, (_, n) => {
      const one = film(optics.absorption[b], optics.scattering[b], n * dropletUm)
      return [mixable(one.reflectance), mixable(over(one, MEETS[0])), mixable(over(one, MEETS[1]))] as const
    }),
  )
  for (let i = 0; i < TABLE_NODES; i++) {
    const counts: [number, number][] = []
    eachCount(thicknessAt(i, largestUm) / dropletUm, (n, share) => {
      if (n <= most) counts.push([n, share])
    })
    for (let b = 0; b < BANDS; b++) {
      let r0 = 0
      let r5 = 0
      let r1 = 0
      for (const [n, share] of counts) {
        r0 += share * counted[b][n][0]
        r5 += share * counted[b][n][1]
        r1 += share * counted[b][n][2]
      }
      set(i, b, throughThree(evenInternal(r0), evenInternal(r5), evenInternal(r1)))
    }
  }
  return { nodesPerRootUm, values }
}

const thicknessAt = (node: number, largestUm: number) => largestUm * (node / (TABLE_NODES - 1)) ** 2
