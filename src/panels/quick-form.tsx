import { ColourField } from './colour-field.tsx'
import { Segments } from './controls.tsx'
import type { PaintDraft } from './paint-draft.ts'

const COVERINGS = [
  { id: 'see-through', label: 'See-through' },
  { id: 'half', label: 'Half' },
  { id: 'covers', label: 'Covers' },
] as const

/** One colour and a word for how well it covers. */
export function QuickForm(props: {
  readonly quick: PaintDraft['quick']
  readonly onChange: (quick: PaintDraft['quick']) => void
}) {
  const { quick, onChange } = props
  return (
    <>
      <p className="quiet">
        One colour and how well it covers: <span className="guess">a guess</span> until two swatches replace it.
      </p>
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
