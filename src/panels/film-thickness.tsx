import { Segments, Stepper } from './controls.tsx'
import { ONE_COAT_UM } from './paint-draft.ts'

const CHOICES = [
  { id: 'one', label: 'One brush coat' },
  { id: 'known', label: 'I know it' },
] as const

/** How thick the film of the swatches dried, where somebody knows. */
export function FilmThickness(props: {
  readonly thicknessUm: number | null
  readonly advice: readonly string[]
  readonly onChange: (thicknessUm: number | null) => void
}) {
  const { thicknessUm, advice, onChange } = props
  return (
    <div className="film-thickness">
      <div className="film-thickness-row">
        <span className="label quiet">How thick it dried</span>
        <Segments
          label="How thick it dried"
          choices={CHOICES}
          value={thicknessUm === null ? 'one' : 'known'}
          onChange={choice => onChange(choice === 'one' ? null : ONE_COAT_UM)}
        />
        {thicknessUm !== null && (
          <Stepper
            label="Dry film"
            showLabel={false}
            value={thicknessUm}
            min={0.1}
            max={500}
            step={0.1}
            digits={1}
            unit="µm"
            onChange={onChange}
          />
        )}
      </div>
      <p className="field-advice" role="status">
        {advice.join(' ')}
      </p>
    </div>
  )
}
