import { lazy, type ReactNode, Suspense } from 'react'
import { Button } from 'react-aria-components'
import type { ViewReading } from '../core/reading/reading.ts'
import type { Camera } from '../document/document.ts'
import { useApp, useCommands, useDocument } from '../ui/use-app.ts'
import { AreasSection } from './areas-section.tsx'
import { shownReading } from './contrast-left.ts'
import { Explained, Fold, IconButton, Stepper } from './controls.tsx'
import { DifferenceSection } from './difference-section.tsx'
import { Histogram } from './histogram.tsx'
import { ReadingSection } from './reading-section.tsx'
import { VIEW_NAMES } from './views-bar.tsx'
import './reading-panel.css'

// Fetched when first opened.
const AngleSection = lazy(() => import('./angle-section.tsx').then(m => ({ default: m.AngleSection })))
const LightSection = lazy(() => import('./light-section.tsx').then(m => ({ default: m.LightSection })))

/** What can be measured of the look from where it is seen. */
export function ReadingPanel({ onFold }: { readonly onFold: () => void }) {
  const camera = useDocument(d => d.camera)
  const recipe = useDocument(d => d.recipe)
  const read = useApp(s => s.derived.readings.main)
  const main = read && shownReading(read, recipe)
  return (
    <aside className="reading" aria-labelledby="reading-heading">
      <div className="panel-head">
        <div>
          <h2 id="reading-heading">Reading</h2>
          <p>{seenFrom(camera)}</p>
        </div>
        <IconButton icon="right" label="Fold the reading away" onPress={onFold} />
      </div>
      <div className="reading-scroll">
        {main ? <Reading reading={main} /> : <p className="quiet">It stands here as soon as the figure is painted.</p>}
        <DifferenceSection />
        <AreasSection />
        <ReadingSection id="best-angle" title="Best angle">
          <Suspense>
            <AngleSection />
          </Suspense>
        </ReadingSection>
        <ReadingSection id="best-light" title="Best light">
          <Suspense>
            <LightSection />
          </Suspense>
        </ReadingSection>
      </div>
    </aside>
  )
}

function Reading({ reading }: { readonly reading: ViewReading }) {
  return (
    <>
      <section className="reading-group" aria-label="Values">
        <Histogram before={reading.preshadeHistogram} after={reading.histogram} />
        <Row
          name="Values"
          why="Value is how light a colour looks, from 0 for black to 100 for white. Stated from the darkest twentieth to the lightest twentieth of what is seen."
        >
          {values(reading)}
        </Row>
        <Row name="Contrast" why="Lightest value minus darkest value: how plainly the shapes read.">
          {Math.round(reading.contrast)}
        </Row>
        {reading.contrastLeft !== null && (
          <Row
            name="Contrast left"
            why="Contrast of the painted figure over the contrast of its pre-shade: what the coats on top have let through."
          >
            {percent(reading.contrastLeft)} %
          </Row>
        )}
        <ArmsLengthButton />
      </section>
      <Shares reading={reading} />
    </>
  )
}

function ArmsLengthButton() {
  const commands = useCommands()
  return (
    <Button className="button arms-length-button" onPress={() => commands.select({ dialog: 'arms-length' })}>
      See it at arm’s length
    </Button>
  )
}

function Shares({ reading }: { readonly reading: ViewReading }) {
  const commands = useCommands()
  const thresholds = useDocument(d => d.thresholds)
  const shares = [
    {
      key: 'light',
      name: 'light',
      share: reading.light,
      why: `Share of what is seen from here that the pre-shade’s torches reach well: exposure above ${thresholds.light}, where 1 is a bare surface facing the torch.`,
    },
    {
      key: 'mid',
      name: 'mid',
      share: reading.mid,
      why: `Share that the torches reach at a slant or in part: exposure from ${thresholds.dark} to ${thresholds.light}.`,
    },
    {
      key: 'dark',
      name: 'dark',
      share: reading.dark,
      why: `Share that hardly any spray reaches: exposure below ${thresholds.dark}.`,
    },
  ]
  return (
    <section className="reading-group" aria-label="Light, mid and dark">
      <div className="shares-bar" aria-hidden="true">
        {shares.map(s => (
          <span key={s.key} className={`share-${s.key}`} style={{ flexGrow: Math.max(0.001, s.share) }} />
        ))}
      </div>
      <div className="shares">
        {shares.map(s => (
          <div key={s.key} className="share">
            <span className="big-number">{percent(s.share)}</span>
            <Explained why={s.why}>{s.name}</Explained>
          </div>
        ))}
      </div>
      <p className="quiet small">per cent of what is seen from here</p>
      <Fold title="What counts as light and dark" level={3}>
        <Stepper
          label="Light above"
          value={thresholds.light}
          min={0}
          max={1}
          step={0.05}
          digits={2}
          onChange={light => commands.setThresholds({ light })}
        />
        <Stepper
          label="Dark below"
          value={thresholds.dark}
          min={0}
          max={1}
          step={0.05}
          digits={2}
          onChange={dark => commands.setThresholds({ dark })}
        />
      </Fold>
    </section>
  )
}

function Row(props: { readonly name: string; readonly why: string; readonly children: ReactNode }) {
  return (
    <div className="reading-row">
      <Explained why={props.why}>{props.name}</Explained>
      <span className="reading-number">{props.children}</span>
    </div>
  )
}

/** 'in hand, 10° above'. */
function seenFrom(camera: Camera): string {
  const above = Math.round(camera.elevationDegrees)
  const place = camera.view === 'free' ? 'from' : `${VIEW_NAMES[camera.view].toLowerCase()},`
  return `${place} ${above === 0 ? 'level' : above > 0 ? `${above}° above` : `${-above}° below`}`
}

export const percent = (share: number): number => Math.round(share * 100)

export const values = (reading: ViewReading): string =>
  `${Math.round(reading.valueFrom)} to ${Math.round(reading.valueTo)}`
