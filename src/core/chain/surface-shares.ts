import { type CoatFilm, coatFilm } from '../film/coat-film.ts'
import { FINISH_SHARE } from '../film/saunderson.ts'
import type { Figure } from '../mesh/figure.ts'
import type { Recipe } from '../recipe/recipe.ts'

/** Dry µm of brushed paint that leave 1/e of the surface bare. Our guess. */
const CLOSED_UM = 0.5

/**
 * Share of the surface's own reflection that reaches the eye away from the mirror angle, at every vertex: 1 matt, 0 gloss.
 * What was put on last decides: a varnish on the parts it goes on; paint over a varnish is matt where its droplets lie.
 *
 * @param deposits V floats a coat, dry µm
 * @param from the first coat that is there; 0 unless a flat ground stands in the place of others
 * @returns V floats, or null where nothing but matt paint is seen
 */
export function surfaceShares(
  figure: Pick<Figure, 'parts'>,
  recipe: Recipe,
  deposits: readonly Float32Array[],
  from = 0,
): Float32Array | null {
  let shares: Float32Array | null = null
  recipe.coats.forEach((coat, i) => {
    if (coat.hidden || i < from) return
    const deposit = deposits[i]
    if (coat.kind === 'varnish') {
      shares ??= new Float32Array(deposit.length).fill(1)
      for (const { id, firstVertex, vertexCount } of figure.parts)
        if (coat.parts[id] !== 'absent') shares.fill(FINISH_SHARE[coat.finish], firstVertex, firstVertex + vertexCount)
    } else if (shares) {
      const film = coatFilm(coat, recipe)
      for (let v = 0; v < shares.length; v++) shares[v] = overpainted(shares[v], film, deposit[v])
    }
  })
  return shares
}

/** The same at one place, after paint of this thickness. */
export const overpainted = (share: number, film: Pick<CoatFilm, 'dropletUm'>, thicknessUm: number): number =>
  1 - (1 - share) * uncovered(film, thicknessUm)

/** Share of the surface that this much paint leaves bare: of a mist where no droplet lies (Poisson). */
export const uncovered = ({ dropletUm }: Pick<CoatFilm, 'dropletUm'>, thicknessUm: number): number =>
  Math.exp(-thicknessUm / (dropletUm || CLOSED_UM))
