import { useState } from 'react'
import { Input, Label, TextField } from 'react-aria-components'

/** A name that is taken over when it is finished, so that typing it is one step of undo. */
export function NameField(props: {
  readonly label: string
  readonly value: string
  readonly onChange: (name: string) => void
  readonly className?: string
  readonly showLabel?: boolean
}) {
  const { label, value, onChange, className = '', showLabel = true } = props
  const [draft, setDraft] = useState<string | null>(null)
  const finish = () => {
    if (draft !== null && draft.trim() !== value) onChange(draft.trim())
    setDraft(null)
  }
  return (
    <TextField
      className={`field ${className}`}
      aria-label={label}
      value={draft ?? value}
      maxLength={200}
      onChange={setDraft}
      onBlur={finish}
      onKeyDown={event => {
        if (event.key === 'Enter') finish()
        else if (event.key === 'Escape' && draft !== null) setDraft(null)
        else event.continuePropagation()
      }}
    >
      {showLabel && <Label>{label}</Label>}
      <Input className="plain-input" />
    </TextField>
  )
}
