import type { Coat } from '../core/recipe/recipe.ts'
import { warningBasis, warningWords } from '../core/spray/spray-warning-words.ts'
import { isQuestion, type SprayWarning, sprayWarnings } from '../core/spray/spray-warnings.ts'
import { useApp, useDocument } from '../ui/use-app.ts'
import { Explained } from './controls.tsx'
import { Icon } from './icons.tsx'
import './coat-warnings.css'

function useWarnings(coat: Coat): SprayWarning[] {
  const recipe = useDocument(d => d.recipe)
  const figure = useApp(s => s.derived.figure)
  const caught = useApp(s => s.derived.caught)
  return sprayWarnings(recipe, coat, figure && { heightMm: figure.heightMm, box: figure.box, caught })
}

/** A small triangle with the number of warnings; nothing while all is well. */
export function WarningCount({ coat }: { readonly coat: Coat }) {
  const count = useWarnings(coat).filter(w => !isQuestion(w)).length
  if (count === 0) return null
  return (
    <span className="warning-count">
      <Icon name="caution" />
      {count}
      <span className="visually-hidden">{count === 1 ? ' warning' : ' warnings'}</span>
    </span>
  )
}

/** What is likely to go wrong with the coat; where each line is drawn is one hover away. */
export function CoatWarnings({ coat }: { readonly coat: Coat }) {
  const warnings = useWarnings(coat)
  if (warnings.length === 0) return null
  return (
    <ul className="warnings" aria-label="Before you spray this coat">
      {warnings.map(warning => (
        <li key={warning.code} data-question={isQuestion(warning) || undefined}>
          {!isQuestion(warning) && <Icon name="caution" />}
          <Explained why={warningBasis(warning)}>{warningWords(warning)}</Explained>
        </li>
      ))}
    </ul>
  )
}
