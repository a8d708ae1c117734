import { lazy, Suspense } from 'react'
import { preshadeEndIndex } from '../core/chain/preshade-end.ts'
import { luminanceOfLStar } from '../core/colour/lab.ts'
import { DIFFERENCE_BANDS } from '../core/reading/difference.ts'
import { comparedSide, differenceWords } from '../core/reading/difference-words.ts'
import type { ViewReading } from '../core/reading/reading.ts'
import { type Compare, flatBaseOf, type GreycoatDocument } from '../document/document.ts'
import { useApp, useCommands, useDocument } from '../ui/use-app.ts'
import { shownBeside, shownReading } from './contrast-left.ts'
import { Explained, Toggle } from './controls.tsx'
import { percent, values } from './reading-panel.tsx'
import { ReadingSection } from './reading-section.tsx'
import './difference-section.css'

// Fetched when first compared over a flat base.
const SameSaturation = lazy(() => import('./same-saturation.tsx').then(m => ({ default: m.SameSaturation })))

/** What differs between the two sides, and by how much; there while something is compared. */
export function DifferenceSection() {
  const comparing = useDocument(d => d.compare.kind !== 'off')
  const overFlat = useDocument(d => flatBaseOf(d.compare) !== null)
  const sides = useComparison()
  const difference = useApp(s => s.derived.difference)
  if (!comparing || !sides) return null
  return (
    <ReadingSection
      id="difference"
      title="Difference"
      {...(difference ? { aside: `${difference.meanDeltaE.toFixed(1)} ΔE00` } : {})}
    >
      <p className="difference-words">{sides.words}</p>
      <Readings {...sides} />
      <DifferenceMap />
      {overFlat && (
        <Suspense>
          <SameSaturation />
        </Suspense>
      )}
    </ReadingSection>
  )
}

/** Both sides as they are shown, and the sentence about them; null until both are read. */
export function useComparison() {
  const recipe = useDocument(d => d.recipe)
  const compare = useDocument(d => d.compare)
  const main = useApp(s => s.derived.readings.main)
  const other = useApp(s => s.derived.readings.other)
  const difference = useApp(s => s.derived.difference)
  if (!main || !other || compare.kind === 'off') return null
  const shown = { main: shownReading(main, recipe), other: shownBeside(other, recipe, compare) }
  const [mainWhere, otherWhere] = whereOf(recipe, compare)
  return {
    ...shown,
    heads: {
      main: 'This recipe',
      other: compare.kind === 'flat' ? 'Flat base' : compare.flat ? 'Other, flat' : 'Other recipe',
    },
    names: {
      main: recipe.name || 'This recipe',
      other: compare.kind === 'flat' ? 'Flat base' : otherName(recipe.name, compare),
    },
    words: differenceWords(comparedSide(mainWhere, shown.main), comparedSide(otherWhere, shown.other), difference),
  }
}

function whereOf(
  recipe: GreycoatDocument['recipe'],
  compare: Exclude<GreycoatDocument['compare'], { kind: 'off' }>,
): readonly [string, string] {
  if (compare.kind === 'flat')
    return [preshadeEndIndex(recipe) === null ? 'over the primer' : 'over the pre-shade', 'over the flat base']
  const name = compare.recipe.name ? `‘${compare.recipe.name}’` : 'the other recipe'
  return ['in this recipe', flatBaseOf(compare) ? `in ${name} over a flat base` : `in ${name}`]
}

/** A recipe that was kept to be compared with later goes by the same name. */
function otherName(own: string, { recipe, flat }: Extract<Compare, { kind: 'recipe' }>): string {
  const name = recipe.name || 'Other recipe'
  return `${name}${name === own ? ', as kept' : ''}${flat ? ', flat base' : ''}`
}

function Readings(props: {
  readonly main: ViewReading
  readonly other: ViewReading
  /** Short: a column is. */
  readonly heads: { readonly main: string; readonly other: string }
}) {
  const rows = [
    {
      name: 'Values',
      why: 'Value is how light a colour looks, from 0 for black to 100 for white: from the darkest twentieth to the lightest twentieth of what is seen.',
      of: values,
    },
    {
      name: 'Contrast',
      why: 'Lightest value minus darkest value: how plainly the shapes read.',
      of: (r: ViewReading) => String(Math.round(r.contrast)),
    },
    {
      name: 'Left',
      why: 'Contrast over the contrast of the side’s own pre-shade: what the coats on top have let through.',
      of: (r: ViewReading) => (r.contrastLeft === null ? '–' : `${percent(r.contrastLeft)} %`),
    },
    {
      name: 'Light · dark',
      why: 'Shares of what is seen that the pre-shade’s torches reach well, and hardly at all, in per cent.',
      of: (r: ViewReading) => `${percent(r.light)} · ${percent(r.dark)}`,
    },
  ]
  return (
    <table className="difference-table">
      <thead>
        <tr>
          <td />
          <th scope="col">{props.heads.main}</th>
          <th scope="col">{props.heads.other}</th>
        </tr>
      </thead>
      <tbody>
        {rows.map(row => (
          <tr key={row.name}>
            <th scope="row">
              <Explained why={row.why}>{row.name}</Explained>
            </th>
            <td>{row.of(props.main)}</td>
            <td>{row.of(props.other)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

function DifferenceMap() {
  const commands = useCommands()
  const on = useDocument(d => d.look.kind === 'difference')
  const difference = useApp(s => s.derived.difference)
  return (
    <div className="difference-map">
      <Toggle
        isSelected={on}
        onChange={selected => commands.setLook(selected ? { kind: 'difference' } : { kind: 'painted' })}
      >
        Show it on the figure
      </Toggle>
      {difference && (
        <ul className="difference-bands" aria-label="How much of what is seen differs, and how plainly">
          {DIFFERENCE_BANDS.map((band, i) => (
            <li key={band.bounds}>
              <span className="difference-grey" style={{ background: differenceGrey(band) }} />
              <Explained why={`Colour difference ΔE00 ${band.bounds}.`}>{band.words}</Explained>
              <span>{percent(difference.shares[i])} %</span>
            </li>
          ))}
        </ul>
      )}
    </div>
  )
}

/** The grey of a band of the map, as the worker paints it. */
export function differenceGrey({ lStar }: { readonly lStar: number }): string {
  const y = luminanceOfLStar(lStar)
  return `color(srgb-linear ${y} ${y} ${y})`
}
