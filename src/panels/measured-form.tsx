import { useRef, useState } from 'react'
import { Button } from 'react-aria-components'
import { problemText } from '../app/problem-text.ts'
import type { Problem } from '../core/problem.ts'
import { useCommands } from '../ui/use-app.ts'
import { Choose } from './controls.tsx'
import { FilmThickness } from './film-thickness.tsx'
import type { MeasuredSwatches, SwatchName } from './paint-draft.ts'
import type { Advice, AdvisedField } from './swatch-advice.ts'

const ROWS: readonly { readonly name: SwatchName; readonly label: string; readonly advised: AdvisedField | null }[] = [
  { name: 'overBlack', label: 'Paint on black card', advised: 'overBlack' },
  { name: 'overWhite', label: 'Paint on white card', advised: 'overWhite' },
  { name: 'blackCard', label: 'Bare black card', advised: null },
  { name: 'whiteCard', label: 'Bare white card', advised: 'cards' },
]

const USUAL = 'usual'

/** Spectra from a meter: which patch of its file is which. */
export function MeasuredForm(props: {
  readonly measured: MeasuredSwatches
  readonly advice: readonly Advice[]
  readonly onChange: (measured: MeasuredSwatches) => void
}) {
  const { measured, advice, onChange } = props
  const commands = useCommands()
  const picker = useRef<HTMLInputElement>(null)
  const [reading, setReading] = useState(false)
  const [problem, setProblem] = useState<Problem | null>(null)
  const adviceAt = (field: AdvisedField | null) => advice.filter(a => a.field === field).map(a => a.sentence)

  const read = async (file: File) => {
    setReading(true)
    setProblem(null)
    const found = await commands.readSpectra(file)
    setReading(false)
    if (!found.ok) return setProblem(found.problem)
    onChange({ ...measured, samples: found.value, overBlack: null, overWhite: null, blackCard: null, whiteCard: null })
  }

  const { samples } = measured
  const patches = samples.map((sample, i) => ({ id: String(i), label: sample.name }))
  return (
    <>
      <p className="quiet">
        A text file as colour meters export it (CGATS), with the same film read on black and on white card.
        {measured.kept && ' This paint came from one; another file replaces it.'}
      </p>
      <div className="film-thickness-row">
        <Button className="button" isDisabled={reading} onPress={() => picker.current?.click()}>
          {reading ? 'Reading …' : samples.length > 0 ? 'Another file' : 'Open a file'}
        </Button>
        {samples.length > 0 && (
          <span className="quiet small">
            {samples.length} {samples.length === 1 ? 'patch' : 'patches'}
            {samples.some(s => s.basis === 'colour') && ', colours without spectra: an estimate'}
          </span>
        )}
      </div>
      <input
        ref={picker}
        type="file"
        hidden
        accept=".txt,.cgats,.cie,.it8,text/plain"
        data-testid="open-spectra"
        onChange={event => {
          const [file] = event.target.files ?? []
          event.target.value = ''
          if (file) void read(file)
        }}
      />
      {problem && (
        <p className="field-advice" role="alert">
          {problemText(problem).title}. {problemText(problem).advice}
        </p>
      )}
      {samples.length > 0 && (
        <div className="swatch-fields">
          {ROWS.map(({ name, label, advised }) => {
            const isCard = name === 'blackCard' || name === 'whiteCard'
            const chosen = measured[name]
            const index = chosen ? samples.indexOf(chosen) : -1
            return (
              <div key={name}>
                <Choose
                  label={label}
                  choices={isCard ? [{ id: USUAL, label: 'a usual card' }, ...patches] : patches}
                  value={index >= 0 ? String(index) : isCard ? USUAL : null}
                  placeholder="choose a patch"
                  onChange={id => onChange({ ...measured, [name]: id === USUAL ? null : samples[Number(id)] })}
                />
                <p className="field-advice" role="status">
                  {adviceAt(advised).join(' ')}
                </p>
              </div>
            )
          })}
        </div>
      )}
      {samples.length > 0 && (
        <FilmThickness
          thicknessUm={measured.thicknessUm}
          advice={adviceAt('film')}
          onChange={thicknessUm => onChange({ ...measured, thicknessUm })}
        />
      )}
    </>
  )
}
