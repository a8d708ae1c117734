import { useDeferredValue, useMemo } from 'react'
import { preshadeEndIndex } from '../core/chain/preshade-end.ts'
import { type ThicknessStrip, thicknessStrip } from '../core/chain/thickness-strip.ts'
import type { PaintCoat } from '../core/recipe/recipe.ts'
import { useDocument } from '../ui/use-app.ts'
import { Explained, round } from './controls.tsx'
import './thickness-strip.css'

/** This paint from none to twice what is planned, over black, over what lies under it and over white. */
export function ThicknessStripView({ coat }: { readonly coat: PaintCoat }) {
  const recipe = useDocument(d => d.recipe)
  // Some milliseconds of film arithmetic: it may lag behind a slider, the slider may not lag behind it.
  const settled = useDeferredValue(recipe)
  const settledCoat = settled.coats.find(c => c.id === coat.id)
  const end = preshadeEndIndex(recipe)
  const overPreshade = end !== null && recipe.coats.indexOf(coat) > end
  const strip = useMemo(
    () => (settledCoat && settledCoat.kind !== 'varnish' ? stripOf(() => thicknessStrip(settledCoat, settled)) : null),
    [settledCoat, settled],
  )
  if (!strip || !(strip.plannedUm > 0)) return null
  return (
    <section className="strip-place" aria-label="From none to twice as thick">
      <figure>
        <div
          className="strip"
          role="img"
          aria-label={`${Math.round(strip.keptAtPlanned * 100)} % of the contrast under it is left at the planned ${round(strip.plannedUm, 1)} µm`}
        >
          {[strip.overBlack, strip.overPreshade, strip.overWhite].map((row, r) => (
            <div className="strip-row" key={r}>
              {row.map((hex, column) => (
                <i key={column} style={{ background: hex }} />
              ))}
            </div>
          ))}
          <span className="strip-planned" />
        </div>
        <figcaption>
          <span>none</span>
          <span>planned</span>
          <span>twice</span>
        </figcaption>
      </figure>
      {overPreshade && (
        <div className="reading-row">
          <Explained
            why={`What this coat alone leaves of the step between values 30 and 80 under it, where it is ${round(strip.plannedUm, 1)} µm thick: as much as a surface facing the torch gets.`}
          >
            Lets through
          </Explained>
          <span className="reading-number">{Math.round(strip.keptAtPlanned * 100)} %</span>
        </div>
      )}
      {overPreshade && coat.kind === 'mist' && <HalfGone strip={strip} />}
    </section>
  )
}

function HalfGone({ strip }: { readonly strip: ThicknessStrip }) {
  const more = strip.passesToHalf
  return (
    <div className="reading-row">
      <Explained why="How many more passes until half of the contrast under this coat is hidden.">
        Half of it gone after
      </Explained>
      <span className="reading-number">
        {more === null ? 'more than 40' : more === 0 ? 'already' : `+${more} ${more === 1 ? 'pass' : 'passes'}`}
      </span>
    </div>
  )
}

/** A paint of unknown pigments has no colour to show. */
function stripOf(compute: () => ThicknessStrip): ThicknessStrip | null {
  try {
    return compute()
  } catch {
    return null
  }
}
