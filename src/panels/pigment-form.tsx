import { Button } from 'react-aria-components'
import { PIGMENTS } from '../core/film/pigment-curves.ts'
import { Choose, IconButton, Stepper } from './controls.tsx'
import { Icon } from './icons.tsx'
import type { PaintDraft } from './paint-draft.ts'

const CHOICES = PIGMENTS.map(({ ci, name }) => ({ id: ci, label: `${ci.split(' ')[0]} · ${name}` }))
const MOST = 16

/** The pigments on the label, each with its share of a full-strength paint. */
export function PigmentForm(props: {
  readonly pigments: PaintDraft['pigments']
  readonly onChange: (pigments: PaintDraft['pigments']) => void
}) {
  const { pigments, onChange } = props
  const left = CHOICES.filter(choice => !pigments.some(p => p.ci === choice.id))
  const sum = pigments.reduce((total, p) => total + p.amount, 0)
  return (
    <>
      <p className="quiet">
        The Colour Index names on the label. 100 % is a paint as strong as that pigment comes; most model paints hold
        less, and some white so that they cover.
      </p>
      <ul className="pigments" aria-label="Pigments">
        {pigments.map(({ ci, amount }, i) => (
          <li key={ci} className="pigment">
            <Choose
              label={`Pigment ${i + 1}`}
              showLabel={false}
              choices={CHOICES.filter(choice => choice.id === ci || left.includes(choice))}
              value={ci}
              onChange={next => onChange(pigments.with(i, { ci: next, amount }))}
            />
            <Stepper
              label={`Share of ${ci}`}
              showLabel={false}
              value={Math.round(100 * amount)}
              min={0}
              max={100}
              unit="%"
              onChange={percent => onChange(pigments.with(i, { ci, amount: percent / 100 }))}
            />
            <IconButton
              icon="close"
              label={`Take ${ci} out`}
              className="compact"
              onPress={() => onChange(pigments.toSpliced(i, 1))}
            />
          </li>
        ))}
      </ul>
      <div className="pigment-foot">
        <Button
          className="button"
          isDisabled={pigments.length >= MOST || left.length === 0}
          onPress={() => onChange([...pigments, { ci: left[0].id, amount: 0.1 }])}
        >
          <Icon name="plus" />
          Add a pigment
        </Button>
        <span className="quiet small">{binderWords(Math.round(100 * sum))}</span>
      </div>
    </>
  )
}

function binderWords(percent: number): string {
  if (percent > 100) return `${percent} % in all: more pigment than paint holds`
  return percent === 100 ? 'as much pigment as paint holds' : `the other ${100 - percent} % is clear binder`
}
