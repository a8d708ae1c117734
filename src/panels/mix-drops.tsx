import type { Mix } from '../core/recipe/recipe.ts'
import { Stepper } from './controls.tsx'

const SHOWN = 12

const ROWS = [
  { key: 'paintDrops', label: 'Paint' },
  { key: 'thinnerDrops', label: 'Thinner' },
  { key: 'mediumDrops', label: 'Medium' },
] as const

/** Drops as they fall into the cup: paint in its colour, thinner empty, clear medium milky. */
export function MixDrops(props: {
  readonly mix: Mix
  readonly hex: string
  readonly onChange: (patch: Partial<Mix>) => void
}) {
  const fill = { paintDrops: props.hex, thinnerDrops: 'none', mediumDrops: '#9c9c9c' }
  return (
    <div className="group">
      {ROWS.map(({ key, label }) => (
        <div className="drop-row" key={key}>
          <span className="drop-label" aria-hidden="true">
            {label}
          </span>
          <span className="drops" aria-hidden="true">
            {Array.from({ length: Math.min(SHOWN, Math.ceil(props.mix[key])) }, (_, i) => (
              <svg className="drop" viewBox="0 0 12 16" key={i} aria-hidden="true">
                <path d="M6 1.2C7.6 4 11 7 11 10.4a5 5 0 0 1-10 0C1 7 4.4 4 6 1.2Z" fill={fill[key]} />
              </svg>
            ))}
            {props.mix[key] > SHOWN && <span className="more-drops">…</span>}
          </span>
          <Stepper
            label={`${label} drops`}
            showLabel={false}
            value={props.mix[key]}
            min={key === 'paintDrops' ? 1 : 0}
            max={60}
            onChange={drops => props.onChange({ [key]: drops })}
          />
        </div>
      ))}
    </div>
  )
}
