import { useState } from 'react'
import { preshadeEndIndex } from '../core/chain/preshade-end.ts'
import { isAchromatic } from '../core/film/coat-film.ts'
import { DARK_VALUE, LIGHT_VALUE } from '../core/film/grey-ground.ts'
import { atSaturation, hexOverValue } from '../core/film/kept-at-saturation.ts'
import { letThroughWords } from '../core/film/let-through-words.ts'
import { PAINT_SHELF } from '../core/film/paint-shelf.ts'
import type { Paint, PaintId, Recipe } from '../core/recipe/recipe.ts'
import { useDocument } from '../ui/use-app.ts'
import { Choose, Explained, round } from './controls.tsx'
import './same-saturation.css'

/** What the glaze is held against until another is chosen: of the shelf, a clear one and a covering one. */
const [CLEAR, COVERING] = ['clear_red', 'cold_blue'] as const

/** Two paints laid to the same saturation over a pre-shade and over a flat grey: which of them lets the pre-shade through. */
export function SameSaturation() {
  const recipe = useDocument(d => d.recipe)
  const [chosen, setChosen] = useState<readonly [PaintId | null, PaintId | null]>([null, null])
  const paints = colouredPaints(recipe)
  const [first, second] = pairOf(paints, glazeOf(recipe, paints), chosen)
  const [one, two] = [first && throughOf(first), second && throughOf(second)]
  if (!one || !two) return null
  return (
    <section className="same-saturation" aria-label="At the same saturation">
      <p>{letThroughWords(one, two)}</p>
      {[one, two].map((side, i) => (
        <div className="saturated" key={i}>
          <Choose
            label={i === 0 ? 'Paint' : 'Held against'}
            showLabel={false}
            choices={paints.map(({ id, name }) => ({ id, label: name }))}
            value={side.paint.id}
            onChange={id => setChosen(i === 0 ? [id, two.paint.id] : [one.paint.id, id])}
          />
          <span className="saturated-kept">
            <Explained
              why={`Share of the step between values ${DARK_VALUE} and ${LIGHT_VALUE} that is left where this paint is ${round(side.thicknessUm, 1)} µm thick, which gives four fifths of the most colour it has over a light pre-shade.`}
            >
              {Math.round(100 * side.kept)} % left
            </Explained>
          </span>
          <span className="saturated-over" style={{ background: `linear-gradient(to right, ${side.overPreshade})` }} />
          <span className="saturated-over" style={{ background: side.overFlat }} />
        </div>
      ))}
      <div className="saturated-legend" aria-hidden="true">
        <span>dark to light under it</span>
        <span>flat</span>
      </div>
    </section>
  )
}

/** Greys of the pre-shade under the strip, and the flat one halfway between its ends. */
const STEPS = 11
const valueAt = (step: number) => DARK_VALUE + ((LIGHT_VALUE - DARK_VALUE) * step) / (STEPS - 1)

/** null for a paint that this version cannot compute. */
function throughOf(paint: Paint) {
  const at = atSaturation(paint)
  if (!at) return null
  const over = (value: number) => hexOverValue(paint, at.thicknessUm, value)
  return {
    paint,
    name: paint.name,
    ...at,
    overPreshade: Array.from({ length: STEPS }, (_, step) => over(valueAt(step))).join(', '),
    overFlat: over(valueAt((STEPS - 1) / 2)),
  }
}

/** The recipe's and the shelf's; metal is no glaze, and white, grey and black have no saturation. */
function colouredPaints({ paints }: Recipe): Paint[] {
  const shelf = PAINT_SHELF.filter(s => !paints.some(p => p.id === s.id))
  return [...paints, ...shelf].filter(paint => {
    try {
      return paint.body.kind !== 'metallic' && !isAchromatic(paint)
    } catch {
      // Of a pigment that this version does not know.
      return false
    }
  })
}

/** The paint of the lowest coloured coat over the pre-shade, which meets it first. */
function glazeOf(recipe: Recipe, coloured: readonly Paint[]): Paint | undefined {
  const end = preshadeEndIndex(recipe) ?? -1
  for (const coat of recipe.coats.slice(end + 1)) {
    const paint = coat.kind === 'varnish' || coat.hidden ? undefined : coloured.find(p => p.id === coat.paint)
    if (paint) return paint
  }
  return undefined
}

function pairOf(
  paints: readonly Paint[],
  glaze: Paint | undefined,
  [one, two]: readonly [PaintId | null, PaintId | null],
): readonly [Paint | undefined, Paint | undefined] {
  const find = (id: PaintId | null) => paints.find(p => p.id === id)
  const first = find(one) ?? glaze ?? find(COVERING)
  return [first, find(two) ?? find(first?.id === CLEAR ? COVERING : CLEAR)]
}
