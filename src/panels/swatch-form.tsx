import { useState } from 'react'
import { Button } from 'react-aria-components'
import { ColourField } from './colour-field.tsx'
import { FilmThickness } from './film-thickness.tsx'
import type { SwatchName, SwatchTexts } from './paint-draft.ts'
import { PhotoPicker } from './photo-picker.tsx'
import type { Advice, AdvisedField } from './swatch-advice.ts'

const FIELDS: readonly { readonly name: SwatchName; readonly label: string; readonly advised: AdvisedField | null }[] =
  [
    { name: 'overBlack', label: 'Paint on black card', advised: 'overBlack' },
    { name: 'overWhite', label: 'Paint on white card', advised: 'overWhite' },
    { name: 'blackCard', label: 'Bare black card', advised: null },
    { name: 'whiteCard', label: 'Bare white card', advised: 'cards' },
  ]

/** The same film on a black and on a white card: its colours, typed or picked from a photo. */
export function SwatchForm(props: {
  readonly swatches: SwatchTexts
  readonly advice: readonly Advice[]
  readonly onChange: (swatches: SwatchTexts) => void
}) {
  const { swatches, advice, onChange } = props
  const [picking, setPicking] = useState(false)
  const adviceAt = (field: AdvisedField | null) => advice.filter(a => a.field === field).map(a => a.sentence)
  if (picking)
    return (
      <PhotoPicker
        onPicked={picked => {
          onChange({ ...swatches, ...picked })
          setPicking(false)
        }}
        onCancel={() => setPicking(false)}
      />
    )
  return (
    <>
      <p className="quiet">
        Paint one even film across black and white card, thin enough that the cards show. Its two colours tell what it
        covers and what it lets through.
      </p>
      <div className="swatch-fields">
        {FIELDS.map(({ name, label, advised }) => (
          <ColourField
            key={name}
            label={label}
            value={swatches[name]}
            advice={adviceAt(advised)}
            onChange={text => onChange({ ...swatches, [name]: text })}
          />
        ))}
      </div>
      <Button className="button photo-button" onPress={() => setPicking(true)}>
        Pick them from a photo
      </Button>
      <FilmThickness
        thicknessUm={swatches.thicknessUm}
        advice={adviceAt('film')}
        onChange={thicknessUm => onChange({ ...swatches, thicknessUm })}
      />
    </>
  )
}
