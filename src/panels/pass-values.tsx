import { type PointerEvent, useDeferredValue, useMemo, useState } from 'react'
import { valuesByPass } from '../core/chain/thickness-strip.ts'
import { isAchromatic } from '../core/film/coat-film.ts'
import type { MistCoat, Recipe } from '../core/recipe/recipe.ts'
import { useDocument } from '../ui/use-app.ts'
import { Explained, Fold, round } from './controls.tsx'
import './pass-values.css'

/** Of the drawing. */
const [WIDTH, HEIGHT] = [240, 84]

/** How the greys come up, pass by pass, as this coat is thinned now: for white, grey and black paints. */
export function PassValues({ coat }: { readonly coat: MistCoat }) {
  const recipe = useDocument(d => d.recipe)
  const settled = useDeferredValue(recipe)
  const values = useMemo(() => {
    const now = settled.coats.find(c => c.id === coat.id)
    return now?.kind === 'mist' ? greysOf(now, settled) : null
  }, [coat.id, settled])
  const [hovered, setHovered] = useState<number | null>(null)
  if (!values) return null

  const { droplets, film, planned } = values
  const last = droplets.length - 1
  const shown = Math.min(hovered ?? Math.round(planned), last)
  const x = (pass: number) => (pass / last) * WIDTH
  const y = (value: number) => HEIGHT - (value / 100) * HEIGHT
  const line = (points: readonly number[]) => points.map((value, n) => `${x(n)},${y(value)}`).join(' ')
  const onPointerMove = (event: PointerEvent<SVGSVGElement>) => {
    const box = event.currentTarget.getBoundingClientRect()
    setHovered(Math.round(Math.min(1, Math.max(0, (event.clientX - box.left) / box.width)) * last))
  }
  return (
    <section className="pass-values" aria-label="How the greys come up">
      <div className="reading-row">
        <Explained why="Value where the surface faces the torch, over what lies under this coat. A mist is dots before it is a film: the same paint as an even film would be lighter.">
          {shown} {shown === 1 ? 'pass' : 'passes'}
          {hovered !== null && `, ${round(film[shown])} as an even film`}
        </Explained>
        <span className="reading-number">value {round(droplets[shown])}</span>
      </div>
      <svg
        viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
        preserveAspectRatio="none"
        role="img"
        aria-label={`Value from ${round(droplets[0])} without a pass to ${round(droplets[last])} after ${last}; ${round(droplets[shown])} after ${shown}`}
        onPointerMove={onPointerMove}
        onPointerLeave={() => setHovered(null)}
      >
        {[25, 50, 75].map(value => (
          <line key={value} className="grid" x1={0} x2={WIDTH} y1={y(value)} y2={y(value)} />
        ))}
        <line className="planned" x1={x(planned)} x2={x(planned)} y1={0} y2={HEIGHT} />
        {hovered !== null && <polyline className="as-film" points={line(film)} />}
        <polyline className="as-droplets" points={line(droplets)} />
      </svg>
      <span className="pass-dot" aria-hidden="true">
        <i
          style={{
            left: `${(100 * shown) / last}%`,
            bottom: `${droplets[shown]}%`,
            background: greyCss(droplets[shown]),
          }}
        />
      </span>
      <div className="pass-axis" aria-hidden="true">
        <span>0</span>
        <span>passes</span>
        <span>{last}</span>
      </div>
      <Fold title="As numbers">
        <table className="pass-table">
          <thead>
            <tr>
              <th scope="col">Passes</th>
              <th scope="col">Value</th>
              <th scope="col">As an even film</th>
            </tr>
          </thead>
          <tbody>
            {droplets.map((value, n) => (
              <tr key={n} aria-current={n === Math.round(planned) || undefined}>
                <th scope="row">{n}</th>
                <td>{round(value)}</td>
                <td>{round(film[n])}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </Fold>
    </section>
  )
}

interface Greys {
  /** L* after 0, 1, 2 … passes, as droplets and as the even film of the same paint. */
  readonly droplets: readonly number[]
  readonly film: readonly number[]
  readonly planned: number
}

/** Half again as many passes as planned, to see what more would do. */
const [FEWEST, MOST] = [8, 30]

/** null where there is nothing to show: a colour, no torch, or pigments that are not known. */
function greysOf(coat: MistCoat, recipe: Recipe): Greys | null {
  const paint = recipe.paints.find(p => p.id === coat.paint)
  const passes = Math.max(0, ...coat.torches.filter(t => !t.muted).map(t => t.passes))
  try {
    if (!paint || passes === 0 || !isAchromatic(paint)) return null
    const count = Math.min(MOST, Math.max(FEWEST, Math.ceil(1.5 * passes)))
    const evenly = { ...recipe, paints: recipe.paints.map(p => (p === paint ? { ...p, dropletUm: 0 } : p)) }
    return {
      droplets: valuesByPass(coat, recipe, count),
      film: valuesByPass(coat, evenly, count),
      planned: Math.min(passes, count),
    }
  } catch {
    return null
  }
}

const greyCss = (lStar: number): string => `lab(${lStar}% 0 0)`
