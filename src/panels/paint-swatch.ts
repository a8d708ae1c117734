import { hexOf } from '../core/colour/srgb.ts'
import { coatOver, seenRgb } from '../core/film/coat-film.ts'
import { greyGround } from '../core/film/grey-ground.ts'
import { paintOptics } from '../core/film/paint-optics.ts'
import type { Paint } from '../core/recipe/recipe.ts'

/** A paint-out as one makes it on card: a usual brushed film over white, so that see-through paints show their hue. */
const FILM_UM = 20
const CARD_VALUE = 95

const NO_PAINT = '#808080'
const kept = new WeakMap<Paint['body'], string>()

/** '#rrggbb' of a paint as a patch of colour on the page. */
export function paintHex(paint: Paint | undefined): string {
  if (!paint) return NO_PAINT
  let hex = kept.get(paint.body)
  if (hex === undefined) {
    hex = paintOut(paint)
    kept.set(paint.body, hex)
  }
  return hex
}

function paintOut(paint: Paint): string {
  if (paint.body.kind === 'quick' || paint.body.kind === 'metallic') return paint.body.hex
  try {
    const film = { optics: paintOptics(paint), dropletUm: 0 }
    return hexOf(...seenRgb(coatOver(film, FILM_UM, greyGround(CARD_VALUE))))
  } catch {
    // A pigment this version does not know: the paint stays usable, only its patch is blank.
    return NO_PAINT
  }
}
