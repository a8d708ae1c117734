import { ColourField } from './colour-field.tsx'
import { Segments } from './controls.tsx'
import type { PaintDraft } from './paint-draft.ts'

const COVERINGS = [
  { id: 'see-through', label: 'See-through' },
  { id: 'half', label: 'Half' },
  { id: 'covers', label: 'Covers' },
  { id: 'metal', label: 'Metal' },
] as const

/** One colour and a word for how well it covers. */
export function QuickForm(props: {
  readonly quick: PaintDraft['quick']
  readonly onChange: (quick: PaintDraft['quick']) => void
}) {
  const { quick, onChange } = props
  return (
    <>
      {quick.covering === 'metal' ? (
        <p className="quiet">
          Metal flakes: <span className="guess">an approximation</span>, one colour that covers, with a highlight of
          that colour under the lamp. Bright face-on and dark aslant it does not turn.
        </p>
      ) : (
        <p className="quiet">
          One colour and how well it covers: <span className="guess">a guess</span> until two swatches replace it.
        </p>
      )}
      <ColourField
        label="Its colour, painted thickly"
        value={quick.hex}
        onChange={hex => onChange({ ...quick, hex })}
      />
      <Segments
        label="How well it covers"
        choices={COVERINGS}
        value={quick.covering}
        onChange={covering => onChange({ ...quick, covering })}
      />
    </>
  )
}
