import type { Coat, PartState } from '../core/recipe/recipe.ts'
import { useApp, useCommands } from '../ui/use-app.ts'
import { Fold, Segments } from './controls.tsx'

const STATES: readonly { readonly id: PartState; readonly label: string }[] = [
  { id: 'on', label: 'On' },
  { id: 'apart', label: 'Apart' },
  { id: 'absent', label: 'Off' },
]

/** Which parts stay on the figure while this coat goes on. */
export function PartStates({ coat }: { readonly coat: Coat }) {
  const commands = useCommands()
  const parts = useApp(s => s.derived.figure?.parts)
  if (!parts || parts.length < 2) return null
  const known = new Set(parts.map(p => p.id))
  const states = Object.entries(coat.parts).filter(([id]) => known.has(id))
  const apart = states.filter(([, state]) => state === 'apart').length
  const absent = states.filter(([, state]) => state === 'absent').length
  const aside = [apart > 0 && `${apart} sprayed apart`, absent > 0 && `${absent} left out`].filter(Boolean).join(', ')
  return (
    <Fold title="Parts" aside={aside || 'all on'}>
      <p className="quiet small">
        Sprayed apart: painted off the figure, shadowed only by itself. Left out: gets no paint and casts no shadow.
      </p>
      {parts.map(part => (
        <div className="part-row" key={part.id}>
          <span title={part.name}>{part.name}</span>
          <Segments
            label={`${part.name} while spraying`}
            choices={STATES}
            value={coat.parts[part.id] ?? 'on'}
            onChange={state => commands.setPartState(coat.id, part.id, state)}
          />
        </div>
      ))}
    </Fold>
  )
}
