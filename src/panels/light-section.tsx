import { useEffect, useMemo, useRef, useState } from 'react'
import { Button, ToggleButton } from 'react-aria-components'
import type { LightAdvice, LightSide } from '../app/app-state.ts'
import { preshadeMist } from '../core/advice/advice-of.ts'
import { type Direction, DOME, degreesBetween, nearestOf } from '../core/advice/dome.ts'
import type { LightPreset, LightReading } from '../core/advice/light-measures.ts'
import { mistValues, valuesLit } from '../core/advice/mist-values.ts'
import type { MistCoat } from '../core/recipe/recipe.ts'
import { plainTorch } from '../core/recipe/torch-sets.ts'
import { partsKey } from '../core/spray/torch-field-key.ts'
import { useApp, useCommands, useDocument } from '../ui/use-app.ts'
import { Segments } from './controls.tsx'
import { directionWords, turnedDegrees } from './direction-words.ts'
import { DomePlot } from './dome-plot.tsx'
import { percent } from './reading-panel.tsx'
import { ScanRow } from './scan-row.tsx'
import { TermTable } from './term-table.tsx'

const PRESETS: { readonly [P in LightPreset]: string } = {
  overhead: 'Straight above',
  key: '25° above the eye',
  'key-left': '… and a little left',
  rim: 'Rim, from behind',
}

/** From where to spray for how the figure is looked at. Advice: torches change only when it is asked to make them. */
export function LightSection() {
  const commands = useCommands()
  const advice = useApp(s => s.derived.lightAdvice)
  const coat = useDocument(d => preshadeMist(d.recipe))
  const figure = useApp(s => s.derived.figure !== null)
  return (
    <>
      {!coat && <p className="quiet">There is no sprayed pre-shade to place torches for.</p>}
      {coat && !advice && (
        <p className="quiet">
          Tries spray from all around, for where you look from now and for the opposite side, and says which leaves the
          most greys and the fewest holes.
        </p>
      )}
      {coat && (
        <ScanRow
          what="lights"
          label={advice ? 'Try again from here' : 'Try from all around'}
          again={advice !== null}
          isDisabled={!figure}
          onStart={() => void commands.scanLights()}
        />
      )}
      {coat && advice && <Answers key={advice.key + advice.sides[0].view.azimuthDegrees} advice={advice} />}
    </>
  )
}

type SideId = 'here' | 'opposite'
const SIDES = [
  { id: 'here', label: 'This side' },
  { id: 'opposite', label: 'Opposite' },
] as const

function Answers({ advice }: { readonly advice: LightAdvice }) {
  const commands = useCommands()
  const coat = useDocument(d => preshadeMist(d.recipe))
  const figureId = useApp(s => s.derived.figure?.id ?? '')
  const stale = !coat || partsKey(figureId, coat.parts) !== advice.key
  const [sideId, setSideId] = useState<SideId>('here')
  const shown = sideId === 'here' ? 0 : 1
  const side = advice.sides[shown]
  const [chosen, setChosen] = useState<readonly Direction[]>(() => advice.sides.map(s => DOME[s.best[0].index]))
  const [pointed, setPointed] = useState<number | null>(null)
  const choose = (direction: Direction) => {
    setChosen(before => before.with(shown, direction))
    setPointed(null)
  }
  const values = useMemo(() => side.readings.map(r => r.score), [side])
  const preset = side.presets.find(p => sameDirection(p.direction, chosen[shown]))
  const cursor = pointed ?? nearestOf(DOME, chosen[shown])
  const reading = pointed === null && preset ? preset.reading : side.readings[cursor]
  const name = (i: number) => (Math.abs(turnedDegrees(advice.sides[i].view.azimuthDegrees)) <= 90 ? 'Front' : 'Back')
  return (
    <div className="advice-answers" data-stale={stale || undefined}>
      {stale && <p className="stale-note">Found before the figure, or what is left off it, changed.</p>}
      <Segments
        label="Looked at from"
        choices={SIDES}
        value={sideId}
        onChange={id => {
          setSideId(id)
          setPointed(null)
        }}
      />
      <p className="quiet small">Seen from: {directionWords(side.view)}.</p>
      <DomePlot
        label="How well spray from around lights what is seen"
        topDegrees={90}
        values={values}
        best={side.best.map(b => b.index)}
        eye={side.view}
        cursor={cursor}
        onCursor={setPointed}
        onChoose={index => choose(DOME[index])}
        wordsOf={index => `score ${percent(side.readings[index].score)}`}
      />
      <div className="dome-scale" aria-hidden="true">
        {percent(Math.min(...values))}
        <i />
        {percent(Math.max(...values))}
      </div>
      <p className="direction-now">Sprayed from: {directionWords(pointed === null ? chosen[shown] : DOME[cursor])}</p>
      <Terms reading={reading} />
      {coat && <AfterPasses coat={coat} reading={reading} view={side.view} />}
      <section className="best-side" aria-label="Best">
        <h4>Best</h4>
        <div className="best-views">
          {side.best.map(({ index, picture }, i) => (
            <ToggleButton
              key={index}
              className="best-view"
              aria-label={`Spray from ${directionWords(DOME[index])}, score ${percent(side.readings[index].score)}`}
              isSelected={sameDirection(DOME[index], chosen[shown])}
              onChange={() => choose(DOME[index])}
            >
              <span className="rank" aria-hidden="true">
                {i + 1}
              </span>
              <Picture picture={picture} />
              <span className="score">{percent(side.readings[index].score)}</span>
            </ToggleButton>
          ))}
        </div>
      </section>
      <Presets side={side} chosen={chosen[shown]} onChoose={choose} />
      <div className="scan-row">
        <Button
          className="button primary"
          isDisabled={!coat}
          onPress={() => {
            if (!coat) return
            const places = chosen.map((direction, i) => ({
              name: name(i),
              azimuthDegrees: turnedDegrees(direction.azimuthDegrees),
              elevationDegrees: direction.elevationDegrees,
            }))
            commands.placeTorches(coat.id, places)
            commands.announce(`${coat.name}: two torches made. Undo brings yours back.`)
          }}
        >
          Make torches
        </Button>
      </div>
      {coat && (
        <p className="quiet small">
          One for each side, in the place of those of ‘{coat.name}’: {directionWords(chosen[0])}; and{' '}
          {directionWords(chosen[1])}.
        </p>
      )}
    </div>
  )
}

function Terms({ reading }: { readonly reading: LightReading }) {
  const share = (value: number) => `${percent(value)} %`
  const rows = [
    {
      name: 'Greys',
      why: 'How evenly what is seen is spread over all greys from bare to fully sprayed (entropy of 16 bins): 100 % if every grey has the same share.',
      value: share(reading.entropy),
      score: reading.entropy,
    },
    {
      name: 'Mid-tones',
      why: 'Share of what is seen that gets 0.2 to 0.8 of the full spray.',
      value: share(reading.mid),
      score: reading.mid,
    },
    {
      name: 'Left dark',
      why: 'Share of what is seen that no spray reaches. It counts against the rest.',
      value: share(reading.dark),
      score: reading.dark,
    },
  ]
  const total = {
    name: 'All together',
    why: 'Greys plus mid-tones minus what is left dark, brought to 0 to 100. They weigh the same; nobody has tuned them.',
    value: String(percent(reading.score)),
    score: reading.score,
  }
  return <TermTable rows={rows} total={total} />
}

/** What the score does not know: how many passes there will be, and what the torches of now leave. */
function AfterPasses(props: {
  readonly coat: MistCoat
  readonly reading: LightReading
  /** From where it is looked at. */
  readonly view: Direction
}) {
  const { coat, reading, view } = props
  const recipe = useDocument(d => d.recipe)
  const camera = useDocument(d => d.camera)
  const now = useApp(s => s.derived.readings.main)
  const values = useMemo(() => mistValues(recipe, coat), [recipe, coat])
  const passes = plainTorch(coat.torches[0]).passes
  const { from, to } = valuesLit(reading.bins, values)
  // Both must be seen from the same place.
  const comparable = now?.contrastLeft && degreesBetween(camera, view) < 1
  return (
    <p>
      {passes === 1 ? 'One pass leaves' : `${passes} passes leave`} values {Math.round(from)} to {Math.round(to)}: a
      contrast of {Math.round(to) - Math.round(from)}
      {comparable ? `. Your torches now leave ${Math.round(now.contrast / now.contrastLeft)}.` : '.'}
    </p>
  )
}

function Presets(props: {
  readonly side: LightSide
  readonly chosen: Direction
  readonly onChoose: (direction: Direction) => void
}) {
  return (
    <section className="best-side" aria-label="Where others put the light">
      <h4>Where others put the light</h4>
      <div className="light-presets">
        {props.side.presets.map(({ preset, direction, reading }) => (
          <ToggleButton
            key={preset}
            className="light-preset"
            isSelected={sameDirection(direction, props.chosen)}
            onChange={() => props.onChoose(direction)}
          >
            <span>{PRESETS[preset]}</span>
            <span>{percent(reading.score)}</span>
          </ToggleButton>
        ))}
      </div>
      <p className="quiet small">
        In studies shapes read best lit 20 to 30° above the line of sight. People also expect light a little from the
        left, but that is a small effect. Photographers’ rim draws the outline and leaves the rest dark: for a second
        torch.
      </p>
    </section>
  )
}

/** What the spray would leave, none in black, all in white. */
function Picture({
  picture: { width, height, grey, opacity },
}: {
  readonly picture: LightSide['best'][number]['picture']
}) {
  const canvas = useRef<HTMLCanvasElement>(null)
  useEffect(() => {
    const context = canvas.current?.getContext('2d')
    if (!context) return
    const image = context.createImageData(width, height)
    for (let i = 0; i < grey.length; i++) image.data.set([grey[i], grey[i], grey[i], opacity[i]], 4 * i)
    context.putImageData(image, 0, 0)
  }, [width, height, grey, opacity])
  return <canvas ref={canvas} width={width} height={height} />
}

const sameDirection = (a: Direction, b: Direction): boolean => degreesBetween(a, b) < 0.01
