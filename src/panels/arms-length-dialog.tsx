import { useEffect, useRef, useState } from 'react'
import { Button } from 'react-aria-components'
import type { Side } from '../app/app-state.ts'
import type { ArmsLengthView } from '../core/reading/arms-length.ts'
import { arcMinuteMm } from '../core/reading/arms-length.ts'
import { useApp, useCommands, useDocument } from '../ui/use-app.ts'
import { Frame } from './cautions-dialog.tsx'
import { Drag, Explained } from './controls.tsx'
import { SideChoice } from './side-choice.tsx'
import './arms-length-dialog.css'

const USUAL_CM = 70
/** A browser's own idea of a millimetre: 96 CSS px an inch. Most screens are finer or coarser. */
const BROWSER_PX_PER_MM = 96 / 25.4
/** ISO/IEC 7810, ID-1. */
const CARD_MM = { width: 85.6, height: 53.98 }
/** How large the enlarged picture may get, CSS px. */
const ENLARGED_PX = 380

/** What is left of the contrast when the figure is looked at from where it is played with. */
export function ArmsLengthDialog() {
  const commands = useCommands()
  const [distanceCm, setDistanceCm] = useState(USUAL_CM)
  const [side, setSide] = useState<Side>('main')
  const comparing = useDocument(d => d.compare.kind !== 'off')
  const matched = useApp(s => s.preferences.screenPxPerMm)
  const [matching, setMatching] = useState(false)
  const view = useArmsLength(comparing ? side : 'main', distanceCm * 10)
  const pxPerMm = matched ?? BROWSER_PX_PER_MM
  return (
    <Frame title="At arm’s length" wide isOpen onClose={() => commands.select({ dialog: null })}>
      {matching ? (
        <MatchScreen onDone={() => setMatching(false)} />
      ) : (
        <>
          <div className="arms-length">
            <figure>
              <div className="arms-length-well">{view && <Picture view={view} pxPerMm={pxPerMm} />}</div>
              <figcaption>
                {matched === null ? 'About true size' : 'True size'}
                <Button className="button plain" onPress={() => setMatching(true)}>
                  {matched === null ? 'Match it with a bank card' : 'Match again'}
                </Button>
              </figcaption>
            </figure>
            <figure>
              <div className="arms-length-well">{view && <Picture view={view} pxPerMm={enlarged(view)} />}</div>
              <figcaption>The same, enlarged</figcaption>
            </figure>
          </div>
          <Outcome view={view} distanceCm={distanceCm} />
          <div className="arms-length-controls">
            <Drag
              label="Looked at from"
              value={distanceCm}
              min={20}
              max={300}
              step={5}
              unit="cm"
              gesture="arms-length"
              onChange={setDistanceCm}
            />
            {comparing && <SideChoice value={side} onChange={setSide} />}
          </div>
        </>
      )}
    </Frame>
  )
}

function Outcome({ view, distanceCm }: { readonly view: ArmsLengthView | null; readonly distanceCm: number }) {
  if (!view) return <p className="quiet arms-length-outcome">Looking …</p>
  const left = view.contrast > 0 ? Math.round((100 * view.contrastSeen) / view.contrast) : 100
  return (
    <p className="arms-length-outcome" aria-live="polite">
      <span className="big-number">{left} %</span>
      <span>
        of the contrast is still seen from {distanceCm} cm: {Math.round(view.contrastSeen)} of{' '}
        {Math.round(view.contrast)} steps of value.{' '}
        <Explained
          why={`An eye tells two points apart when they are a sixtieth of a degree from one another: ${arcMinuteMm(distanceCm * 10).toFixed(2)} mm at this distance. The picture is blurred by that much.`}
        >
          Details under {arcMinuteMm(distanceCm * 10).toFixed(2)} mm
        </Explained>{' '}
        run into one.
      </span>
    </p>
  )
}

/** One answer at a time, the newest wanted next; the old picture stays until then. */
function useArmsLength(side: Side, distanceMm: number): ArmsLengthView | null {
  const commands = useCommands()
  const painted = useApp(s => s.derived.sides[side])
  const [view, setView] = useState<ArmsLengthView | null>(null)
  useEffect(() => {
    let left = false
    if (painted)
      commands.armsLength(side, distanceMm).then(
        next => !left && setView(next),
        () => !left && setView(null),
      )
    return () => {
      left = true
    }
  }, [commands, painted, side, distanceMm])
  return view
}

const enlarged = (view: ArmsLengthView): number =>
  Math.min(ENLARGED_PX / (view.height * view.pixelHeightMm), ENLARGED_PX / (view.width * view.pixelWidthMm))

function Picture({ view, pxPerMm }: { readonly view: ArmsLengthView; readonly pxPerMm: number }) {
  const canvas = useRef<HTMLCanvasElement>(null)
  useEffect(() => {
    canvas.current?.getContext('2d')?.putImageData(new ImageData(view.seen, view.width, view.height), 0, 0)
  }, [view])
  return (
    <canvas
      ref={canvas}
      width={view.width}
      height={view.height}
      role="img"
      aria-label="The figure as an eye sees it from there"
      style={{
        width: `${view.width * view.pixelWidthMm * pxPerMm}px`,
        height: `${view.height * view.pixelHeightMm * pxPerMm}px`,
      }}
    />
  )
}

function MatchScreen({ onDone }: { readonly onDone: () => void }) {
  const commands = useCommands()
  const kept = useApp(s => s.preferences.screenPxPerMm)
  const [pxPerMm, setPxPerMm] = useState(kept ?? BROWSER_PX_PER_MM)
  const done = () => {
    commands.setPreferences({ screenPxPerMm: pxPerMm })
    onDone()
  }
  return (
    <div className="match-screen">
      <p>
        Lay a bank card on the outline and drag until it is as large as the card: all of them have the same size. This
        screen remembers it.
      </p>
      <div
        className="match-card"
        style={{ width: `${CARD_MM.width * pxPerMm}px`, height: `${CARD_MM.height * pxPerMm}px` }}
      />
      <Drag
        label="Width of the outline"
        value={Math.round(CARD_MM.width * pxPerMm)}
        min={150}
        max={900}
        unit="px"
        gesture="match-screen"
        onChange={px => setPxPerMm(px / CARD_MM.width)}
      />
      <div className="arms-length-controls">
        <Button className="button primary" onPress={done}>
          It fits
        </Button>
        <Button className="button plain" onPress={onDone}>
          Leave it
        </Button>
      </div>
    </div>
  )
}
