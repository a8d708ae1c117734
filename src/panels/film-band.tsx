import type { Coat, Paint } from '../core/recipe/recipe.ts'
import { paintHex } from './paint-swatch.ts'

/** The edge of a coat as it lies in the stack: its paint; a varnish shows how it gleams. */
export function FilmBand({ coat, paints }: { readonly coat: Coat; readonly paints: readonly Paint[] }) {
  if (coat.kind === 'varnish') return <span className="film" data-finish={coat.finish} />
  return <span className="film" style={{ background: paintHex(paints.find(p => p.id === coat.paint)) }} />
}
