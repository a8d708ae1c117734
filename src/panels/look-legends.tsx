import { DIFFERENCE_BANDS } from '../core/reading/difference.ts'
import { ISOLINE_LEVELS } from '../core/reading/reading.ts'
import { useDocument } from '../ui/use-app.ts'
import { differenceGrey } from './difference-section.tsx'
import { DepositLegend } from './stage-overlays.tsx'

/** What is shown beside plain paint needs a word on the stage itself: the reading may be folded away. */
export function LookLegends() {
  const kind = useDocument(d => d.look.kind)
  if (kind === 'deposit') return <DepositLegend />
  if (kind === 'isolines')
    return (
      <section className="legend" aria-label="Lines of equal exposure">
        <h2>Lines of equal exposure</h2>
        <p className="small">{ISOLINE_LEVELS.join(' · ')}</p>
        <p className="quiet small">1 faces the torch and is bare</p>
      </section>
    )
  if (kind !== 'difference') return null
  return (
    <section className="legend" aria-label="Difference between the two sides">
      <h2>Difference</h2>
      <ul className="difference-bands small">
        {DIFFERENCE_BANDS.map(band => (
          <li key={band.bounds}>
            <span className="difference-grey" style={{ background: differenceGrey(band) }} />
            <span>{band.words}</span>
            <span className="quiet">{band.bounds}</span>
          </li>
        ))}
      </ul>
      <p className="quiet small">ΔE00</p>
    </section>
  )
}
