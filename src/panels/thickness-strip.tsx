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
      <StripFigure strip={strip} />
      {overPreshade && <StripNumbers strip={strip} sprayed={coat.kind === 'mist'} />}
    </section>
  )
}

const ROWS = [
  { key: 'overBlack', label: 'on black' },
  { key: 'overPreshade', label: 'on stack' },
  { key: 'overWhite', label: 'on white' },
] as const

export function StripFigure({ strip, large }: { readonly strip: ThicknessStrip; readonly large?: boolean }) {
  const planned = `${round(strip.plannedUm, 1)} µm`
  return (
    <figure className={large ? 'strip-figure large' : 'strip-figure'}>
      <div className="strip-labels" aria-hidden="true">
        {ROWS.map(({ key, label }) => (
          <span key={key}>{label}</span>
        ))}
      </div>
      <div
        className="strip"
        role="img"
        aria-label={`On black, on what lies under it and on white, from none to twice the planned ${planned}; ${Math.round(strip.keptAtPlanned * 100)} % of the contrast under it is left as planned`}
      >
        {ROWS.map(({ key }) => (
          <div
            className="strip-row"
            key={key}
            style={{ background: `linear-gradient(to right, ${strip[key].join(', ')})` }}
          />
        ))}
        <span className="strip-planned" />
      </div>
      <figcaption>
        <span>none</span>
        <span>
          <Explained why="How thick it dries as planned, where the surface faces the torch.">
            planned, {planned}
          </Explained>
        </span>
        <span>twice</span>
      </figcaption>
    </figure>
  )
}

/** What is left of the contrast under it, and how far that is from half. */
export function StripNumbers({ strip, sprayed }: { readonly strip: ThicknessStrip; readonly sprayed: boolean }) {
  const more = strip.passesToHalf
  return (
    <div>
      <div className="reading-row">
        <Explained
          why={`What this coat alone leaves of the step between values 30 and 80 under it, where it is ${round(strip.plannedUm, 1)} µm thick: as much as a surface facing the torch gets.`}
        >
          Contrast left
        </Explained>
        <span className="reading-number">{Math.round(strip.keptAtPlanned * 100)} %</span>
      </div>
      {sprayed && (
        <div className="reading-row">
          <Explained why="How many more passes until half of the contrast under this coat is hidden.">
            Half of it gone after
          </Explained>
          <span className="reading-number">
            {more === null ? 'more than 40' : more === 0 ? 'already' : `+${more} ${more === 1 ? 'pass' : 'passes'}`}
          </span>
        </div>
      )}
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
