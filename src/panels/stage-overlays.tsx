import { Button } from 'react-aria-components'
import type { Side } from '../app/app-state.ts'
import { problemText } from '../app/problem-text.ts'
import type { ViewReading } from '../core/reading/reading.ts'
import { type Compare, flatBaseOf } from '../document/document.ts'
import { useApp, useCommands, useDocument } from '../ui/use-app.ts'
import { shownBeside, shownReading } from './contrast-left.ts'
import { Icon } from './icons.tsx'
import { OutsideMark } from './outside-mark.tsx'
import { percent, values } from './reading-panel.tsx'
import './stage-overlays.css'

/** The figures that belong under each side of the picture. */
export function StageTags() {
  const compare = useDocument(d => d.compare)
  const recipe = useDocument(d => d.recipe)
  const main = useApp(s => s.derived.readings.main)
  const other = useApp(s => s.derived.readings.other)
  const difference = useApp(s => s.derived.difference)
  // Shares of light and dark would say where it falls.
  const guessing = useApp(s => s.session.guess?.score === null)
  if (!main || guessing) return null
  const beside = compare.kind !== 'off' && other !== null
  return (
    <div className="tags">
      <Tag side="main" reading={shownReading(main, recipe)} over="" />
      <OutsideMark />
      {beside && (
        <Tag
          side="other"
          reading={shownBeside(other, recipe, compare)}
          over={besideWords(compare)}
          meanDeltaE={difference?.meanDeltaE ?? null}
        />
      )}
    </div>
  )
}

function besideWords(compare: Compare): string {
  const names = compare.kind === 'recipe' ? [compare.recipe.name || 'the other recipe'] : []
  return [...names, ...(flatBaseOf(compare) ? ['over one flat grey'] : [])].join(' ')
}

function Tag(props: {
  readonly side: Side
  readonly reading: ViewReading
  readonly over: string
  readonly meanDeltaE?: number | null
}) {
  const { side, reading, over, meanDeltaE } = props
  const left = reading.contrastLeft
  return (
    <section className="tag" data-side={side} aria-label={side === 'main' ? 'This recipe' : 'Compared with'}>
      <p className="tag-main">
        {left === null ? (
          <>
            <span className="tag-number">{Math.round(reading.contrast)}</span> steps of value
          </>
        ) : (
          <>
            <span className="tag-number">{percent(left)} %</span> of the contrast left
          </>
        )}
      </p>
      <p className="quiet small">
        {over && `${over} · `}values {values(reading)}
      </p>
      <p className="quiet small">
        {percent(reading.light)} · {percent(reading.mid)} · {percent(reading.dark)} % light · mid · dark
      </p>
      {meanDeltaE != null && <p className="quiet small">mean ΔE00 {meanDeltaE.toFixed(1)} between the two</p>}
    </section>
  )
}

/** What the colours of the deposit look mean. */
export function DepositLegend() {
  const look = useDocument(d => d.look)
  const coats = useDocument(d => d.recipe.coats)
  const max = useApp(s => s.derived.depositMaxUm)
  if (look.kind !== 'deposit') return null
  const name = look.coat === null ? 'All coats' : (coats.find(c => c.id === look.coat)?.name ?? 'Coat')
  const shown = (share: number) => (max * share).toLocaleString('en-GB', { maximumFractionDigits: max < 10 ? 1 : 0 })
  return (
    <section className="legend" aria-label={`Paint build-up, 0 to ${shown(1)} µm`}>
      <h2>{name}</h2>
      <div className="legend-scale" aria-hidden="true">
        <span className="legend-bar" />
        <ol>
          <li>{shown(1)} µm</li>
          <li>{shown(0.5)}</li>
          <li>0</li>
        </ol>
      </div>
    </section>
  )
}

const DOING = { exposure: 'Spraying', colour: 'Mixing colours', reading: 'Reading values' } as const

/** Work under way for the picture: a thin line that never hides the figure. */
export function ProgressLine() {
  const progress = useApp(s => s.derived.progress)
  if (!progress) return null
  return (
    <div
      className="progress"
      role="progressbar"
      aria-label={DOING[progress.what]}
      aria-valuemin={0}
      aria-valuemax={100}
      aria-valuenow={percent(progress.fraction)}
    >
      <span style={{ scale: `${Math.max(0.02, progress.fraction)} 1` }} />
    </div>
  )
}

/** Reading a file: how far, and a way out. */
export function IntakeCard() {
  const commands = useCommands()
  const intake = useApp(s => s.session.intake)
  if (!intake) return null
  const preparing = intake.stage === 'preparing'
  return (
    <section className="intake" aria-label="Opening a figure">
      <p>
        <strong>{preparing ? 'Preparing' : 'Reading'}</strong> {intake.fileName}
      </p>
      <div
        className="intake-line"
        role="progressbar"
        aria-label={preparing ? 'Preparing' : 'Reading'}
        aria-valuemin={0}
        aria-valuemax={100}
        {...(preparing ? {} : { 'aria-valuenow': percent(intake.fraction) })}
        data-preparing={preparing || undefined}
      >
        <span style={{ scale: `${Math.max(0.03, intake.fraction)} 1` }} />
      </div>
      <Button className="button" onPress={commands.cancelIntake}>
        Cancel
      </Button>
    </section>
  )
}

export function ProblemBanner() {
  const commands = useCommands()
  const problem = useApp(s => s.session.problem)
  return (
    <div role="alert" className="problem-place">
      {problem && (
        <div className="problem">
          <Icon name="caution" />
          <p>
            <strong>{problemText(problem).title}</strong>
            <span>{problemText(problem).advice}</span>
          </p>
          <Button className="button plain icon" aria-label="Dismiss" onPress={commands.dismissProblem}>
            <Icon name="close" />
          </Button>
        </div>
      )}
    </div>
  )
}
