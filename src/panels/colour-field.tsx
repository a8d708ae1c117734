import { FieldError, Input, Label, Text, TextField } from 'react-aria-components'
import { parseColour } from '../core/colour/parse-colour.ts'
import { hexOf } from '../core/colour/srgb.ts'

/** A colour to be typed (hex or Lab) or chosen, with what is to be said about it. */
export function ColourField(props: {
  readonly label: string
  readonly value: string
  readonly onChange: (text: string) => void
  readonly advice?: readonly string[]
}) {
  const { label, value, onChange, advice = [] } = props
  const colour = parseColour(value)
  const hex = colour ? hexOf(...colour) : null
  const wrong = value.trim() !== '' && !colour
  return (
    <TextField className="colour-field" value={value} onChange={onChange} isInvalid={wrong} maxLength={60}>
      <Label>{label}</Label>
      <div className="colour-entry">
        <input
          type="color"
          aria-label={`${label}: choose`}
          data-empty={hex === null || undefined}
          value={hex ?? '#808080'}
          onChange={event => onChange(event.target.value)}
        />
        <Input placeholder="#4a6b8c or Lab 42 -3 -20" spellCheck={false} autoComplete="off" />
      </div>
      <FieldError className="field-advice">Write a hex colour like #4a6b8c, or Lab like 42 -3 -20.</FieldError>
      {/* Always there: what appears later is not read with the field. */}
      <Text slot="description" className="field-advice">
        {wrong ? '' : advice.join(' ')}
      </Text>
    </TextField>
  )
}
