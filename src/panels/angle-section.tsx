import { useEffect, useMemo, useState } from 'react'
import { Button } from 'react-aria-components'
import { APART_DEGREES, BEST_COUNT } from '../app/advice.ts'
import type { AngleAdvice } from '../app/app-state.ts'
import { angleAdviceKey } from '../core/advice/advice-of.ts'
import { ANGLE_BOUNDS, ANGLE_TERMS, type AngleReading, type AngleTerm, termScore } from '../core/advice/angle-score.ts'
import { bestApart, type Direction, DOME, nearestOf, showsFront } from '../core/advice/dome.ts'
import type { Camera } from '../document/document.ts'
import { useStageHandle } from '../ui/stage-handle.ts'
import { useApp, useAppHandle, useCommands, useDocument } from '../ui/use-app.ts'
import { Choose } from './controls.tsx'
import { directionWords, turnedDegrees } from './direction-words.ts'
import { DomePlot } from './dome-plot.tsx'
import { percent } from './reading-panel.tsx'
import { ScanRow } from './scan-row.tsx'
import { TermTable } from './term-table.tsx'

const TOP_DEGREES = 75
/** Of the thumbnails; twice their size on a common screen. */
const PICTURE = { width: 176, height: 220 }

const NONE: readonly number[] = []
const share = (value: number) => `${percent(value)} %`
const bounds = (term: AngleTerm, say: (value: number) => string) =>
  `Scores nothing at ${say(ANGLE_BOUNDS[term].none)}, all at ${say(ANGLE_BOUNDS[term].full)}.`

const TERMS: {
  readonly [T in AngleTerm]: { readonly name: string; readonly why: string; say(value: number): string }
} = {
  visible: { name: 'Surface seen', why: 'Share of the whole surface that can be seen.', say: share },
  size: {
    name: 'Size',
    why: 'How much of the picture the figure fills, against its mean from all sides.',
    say: value => `${value.toFixed(2)} ×`,
  },
  outline: {
    name: 'Outline',
    why: 'Length of the outline, against a disc of mean size: arms and weapons that stand clear lengthen it.',
    say: value => `${value.toFixed(1)} ×`,
  },
  saliency: {
    name: 'Detail seen',
    why: 'Share of the figure’s detail that can be seen: places that bend unlike what is around them (mesh saliency).',
    say: share,
  },
  evenness: {
    name: 'Evenness',
    why: 'How unlike its area each part of the surface is shown (Kullback-Leibler divergence): fewer bits are better.',
    say: value => `${value.toFixed(2)} bit`,
  },
  values: {
    name: 'Values',
    why: 'Contrast of the pre-shade seen from there: from its darkest to its lightest twentieth.',
    say: value => String(Math.round(value)),
  },
}

const COLOURED_BY = [
  { id: 'score', label: 'All together' },
  ...ANGLE_TERMS.map(id => ({ id, label: TERMS[id].name })),
] as const
type ColouredBy = 'score' | AngleTerm

/** From where the figure reads best, for its front and for its back. Advice: nothing moves but the camera, when asked. */
export function AngleSection() {
  const commands = useCommands()
  const advice = useApp(s => s.derived.angleAdvice)
  const painted = useApp(s => s.derived.sides.main !== null)
  return (
    <>
      {!advice && (
        <p className="quiet">Looks at the figure from 384 directions and says what reads well from where, and why.</p>
      )}
      <ScanRow
        what="angles"
        label={advice ? 'Look again' : 'Look from all around'}
        again={advice !== null}
        isDisabled={!painted}
        onStart={() => void commands.scanAngles()}
      />
      {advice && <Answers advice={advice} />}
    </>
  )
}

function Answers({ advice }: { readonly advice: AngleAdvice }) {
  const { readings } = advice
  const fly = useFlight()
  const camera = useDocument(d => d.camera)
  const recipe = useDocument(d => d.recipe)
  const figureId = useApp(s => s.derived.figure?.id ?? '')
  const stale = useMemo(() => angleAdviceKey(figureId, recipe) !== advice.key, [figureId, recipe, advice])
  const [colouredBy, setColouredBy] = useState<ColouredBy>('score')
  const [pointed, setPointed] = useState<number | null>(null)
  const values = useMemo(() => readings.map(r => gainOf(r, colouredBy)), [readings, colouredBy])
  const { front, back } = useMemo(() => bestOf(readings), [readings])
  const offered = useMemo(() => DOME.filter(d => d.elevationDegrees <= TOP_DEGREES), [])
  const cursor = pointed ?? nearestOf(offered, camera)
  const reading = readings[cursor]
  const range = rangeOf(readings, colouredBy)
  return (
    <div className="advice-answers" data-stale={stale || undefined}>
      {stale && <p className="stale-note">Found before the figure or its pre-shade changed.</p>}
      <Choose label="Shown" choices={COLOURED_BY} value={colouredBy} onChange={setColouredBy} />
      <DomePlot
        label={`How well the figure reads from around: ${COLOURED_BY.find(c => c.id === colouredBy)!.label.toLowerCase()}`}
        topDegrees={TOP_DEGREES}
        values={values}
        best={[...front, ...back]}
        eye={camera}
        cursor={cursor}
        onCursor={setPointed}
        onChoose={index => fly(DOME[index])}
        wordsOf={index => sayOf(readings[index], colouredBy)}
      />
      {range && (
        <div className="dome-scale" aria-hidden="true">
          {range[0]}
          <i />
          {range[1]}
        </div>
      )}
      <p className="direction-now">{directionWords(DOME[cursor])}</p>
      {reading && <Terms reading={reading} />}
      <BestViews title="Front" indices={front} firstRank={1} advice={advice} onFly={fly} />
      <BestViews title="Back" indices={back} firstRank={front.length + 1} advice={advice} onFly={fly} />
    </div>
  )
}

function Terms({ reading }: { readonly reading: AngleReading }) {
  const rows = ANGLE_TERMS.map(term => {
    const { name, why, say } = TERMS[term]
    const value = reading.terms[term]
    return {
      name,
      why: `${why} ${bounds(term, say)}`,
      value: value === null ? '–' : say(value),
      score: termScore(term, value),
    }
  })
  const total = {
    name: 'All together',
    why: 'Mean of the scores above. They weigh the same; nobody has tuned them.',
    value: String(Math.round(100 * reading.score)),
    score: reading.score,
  }
  return <TermTable rows={rows} total={total} />
}

function BestViews(props: {
  readonly title: string
  readonly indices: readonly number[]
  readonly firstRank: number
  readonly advice: AngleAdvice
  readonly onFly: (to: Direction) => void
}) {
  const { title, indices, firstRank, advice, onFly } = props
  const pictures = usePictures(advice.complete ? indices : NONE)
  return (
    <section className="best-side" aria-label={`Best from the ${title.toLowerCase()}`}>
      <h4>{title}</h4>
      <div className="best-views">
        {indices.map((index, i) => {
          const score = Math.round(100 * advice.readings[index]!.score)
          return (
            <Button
              key={index}
              className="best-view"
              aria-label={`Go to ${directionWords(DOME[index])}, score ${score}`}
              onPress={() => onFly(DOME[index])}
            >
              <span className="rank" aria-hidden="true">
                {firstRank + i}
              </span>
              {pictures[index] ? <img src={pictures[index]} alt="" /> : <span className="no-picture" />}
              <span className="score">{score}</span>
            </Button>
          )
        })}
      </div>
    </section>
  )
}

/** Pictures of what the stage shows from these directions, by index; made one after another. */
function usePictures(indices: readonly number[]): Readonly<Record<number, string>> {
  const stage = useStageHandle()
  const { store } = useAppHandle()
  const [pictures, setPictures] = useState<Readonly<Record<number, string>>>({})
  useEffect(() => {
    let left = false
    const made: string[] = []
    const draw = async () => {
      for (const index of indices) {
        if (left || !stage.pictures) return
        const camera = seenFrom(store.getState().history.present.camera, DOME[index])
        const address = URL.createObjectURL(await stage.pictures.pictureOf(camera, PICTURE))
        made.push(address)
        if (!left) setPictures(before => ({ ...before, [index]: address }))
      }
    }
    // Where nothing can be drawn the numbers stand alone.
    draw().catch(() => {})
    return () => {
      left = true
      setPictures({})
      for (const address of made) URL.revokeObjectURL(address)
    }
  }, [stage, store, indices])
  return pictures
}

const seenFrom = (camera: Camera, { azimuthDegrees, elevationDegrees }: Direction): Camera => ({
  ...camera,
  view: 'free',
  target: [0, 0.5, 0],
  azimuthDegrees: turnedDegrees(azimuthDegrees),
  elevationDegrees,
})

function useFlight(): (to: Direction) => void {
  const { commands, store } = useAppHandle()
  return to => commands.setCamera(seenFrom(store.getState().history.present.camera, to))
}

function bestOf(readings: AngleAdvice['readings']): { readonly front: number[]; readonly back: number[] } {
  const among = (isFront: boolean) =>
    bestApart(
      DOME,
      readings.map((reading, i) =>
        reading && DOME[i].elevationDegrees <= TOP_DEGREES && showsFront(DOME[i]) === isFront ? reading.score : null,
      ),
      BEST_COUNT,
      APART_DEGREES,
    )
  return { front: among(true), back: among(false) }
}

/** Larger is better. */
function gainOf(reading: AngleReading | null, by: ColouredBy): number | null {
  if (!reading) return null
  if (by === 'score') return reading.score
  const value = reading.terms[by]
  if (value === null) return null
  return ANGLE_BOUNDS[by].full > ANGLE_BOUNDS[by].none ? value : -value
}

function sayOf(reading: AngleReading | null, by: ColouredBy): string {
  if (!reading) return 'not looked at yet'
  if (by === 'score') return `score ${Math.round(100 * reading.score)}`
  const value = reading.terms[by]
  return value === null ? 'nothing to measure' : `${TERMS[by].name.toLowerCase()} ${TERMS[by].say(value)}`
}

/** What the darkest and the lightest cell stand for, in words; null where nothing was measured. */
function rangeOf(readings: AngleAdvice['readings'], by: ColouredBy): readonly [string, string] | null {
  const values = readings.flatMap((r, i) => (DOME[i].elevationDegrees > TOP_DEGREES ? [] : (gainOf(r, by) ?? [])))
  if (values.length === 0) return null
  const say = (value: number) => (by === 'score' ? String(Math.round(100 * value)) : TERMS[by].say(Math.abs(value)))
  return [say(Math.min(...values)), say(Math.max(...values))]
}
