import { type KeyboardEvent, memo, type PointerEvent, useMemo } from 'react'
import { type Direction, DOME, type DomeDirection, nearestOf, neighbourOf, RING_DEGREES } from '../core/advice/dome.ts'
import { luminanceOfLStar } from '../core/colour/lab.ts'
import { directionWords } from './direction-words.ts'
import './dome-plot.css'

const RADIUS = 100
/** L* of the least and of the greatest value. */
const DARKEST = 14
const LIGHTEST = 94

/**
 * A dome of directions laid flat, seen from above with the figure's front towards the reader: around is around, the rim
 * is level, the middle is high. Cells are grey by value; pointer and arrow keys move over them.
 */
export function DomePlot(props: {
  readonly label: string
  /** Up to which elevation the plot goes, degrees: 75 or 90. */
  readonly topDegrees: number
  /** One a direction of `DOME`, larger is lighter; null is filled in from the nearest one known. */
  readonly values: readonly (number | null)[]
  /** Numbered from 1. */
  readonly best: readonly number[]
  /** Where the camera stands. */
  readonly eye: Direction
  /** Index into `DOME` of the cell that is pointed at. */
  readonly cursor: number
  readonly onCursor: (index: number) => void
  readonly onChoose: (index: number) => void
  /** What is said of a cell: 'score 61'. */
  readonly wordsOf: (index: number) => string
}) {
  const { label, topDegrees, values, best, eye, cursor, onCursor, onChoose, wordsOf } = props
  const cells = useMemo(() => DOME.filter(d => d.elevationDegrees <= topDegrees), [topDegrees])
  const place = placesOn(topDegrees)

  const move = (around: number, up: number) =>
    onCursor(neighbourOf(cells, Math.min(cursor, cells.length - 1), around, up))
  const onKeyDown = (event: KeyboardEvent) => {
    if (event.key === 'ArrowLeft') move(-1, 0)
    else if (event.key === 'ArrowRight') move(1, 0)
    else if (event.key === 'ArrowUp') move(0, 1)
    else if (event.key === 'ArrowDown') move(0, -1)
    else if (event.key === 'Home' && best.length > 0) onCursor(best[0])
    else if (event.key === 'Enter' || event.key === ' ') onChoose(cursor)
    else return
    event.preventDefault()
  }

  const under = (event: PointerEvent<SVGSVGElement>): number | null => {
    const box = event.currentTarget.getBoundingClientRect()
    const x = ((event.clientX - box.left) / box.width - 0.5) * 2 * EXTENT
    const y = ((event.clientY - box.top) / box.height - 0.5) * 2 * EXTENT
    const direction = place.directionAt(x, y)
    return direction && nearestOf(cells, direction)
  }

  const [eyeX, eyeY] = place.at(eye)
  return (
    <div
      className="dome"
      role="application"
      aria-label={`${label}. Arrow keys move around and up, Home goes to the best, Enter takes it.`}
      // biome-ignore lint/a11y/noNoninteractiveTabindex: arrow keys move over it
      tabIndex={0}
      onKeyDown={onKeyDown}
    >
      <svg
        viewBox={`${-EXTENT} ${-EXTENT} ${2 * EXTENT} ${2 * EXTENT}`}
        aria-hidden="true"
        onPointerMove={event => {
          const index = under(event)
          if (index !== null && index !== cursor) onCursor(index)
        }}
        onPointerUp={event => {
          const index = under(event)
          if (index !== null) onChoose(index)
        }}
      >
        <Cells topDegrees={topDegrees} values={values} />
        <text y={RADIUS + 13}>front</text>
        <text y={-RADIUS - 6}>back</text>
        <path className="dome-cursor" d={place.cell(DOME[cursor])} />
        {best.map((index, i) => {
          const [x, y] = place.at(DOME[index])
          return (
            <g key={index} className="dome-best" transform={`translate(${x} ${y})`}>
              <circle r={7} />
              <text y={3.4}>{i + 1}</text>
            </g>
          )
        })}
        {place.shows(eye) && (
          <g className="dome-eye" transform={`translate(${eyeX} ${eyeY})`}>
            <circle r={4.5} />
            <circle r={1.4} />
          </g>
        )}
      </svg>
      <p className="visually-hidden" aria-live="polite">
        {`${directionWords(DOME[cursor])}: ${wordsOf(cursor)}`}
      </p>
    </div>
  )
}

const EXTENT = RADIUS + 18

const Cells = memo(function Cells({
  topDegrees,
  values,
}: {
  readonly topDegrees: number
  readonly values: readonly (number | null)[]
}) {
  const place = placesOn(topDegrees)
  const known = DOME.flatMap((direction, i) => (values[i] === null ? [] : { ...direction, value: values[i] }))
  const shown = known.filter(d => d.elevationDegrees <= topDegrees)
  if (shown.length === 0) return <circle r={RADIUS} className="dome-empty" />
  const least = Math.min(...shown.map(d => d.value))
  const most = Math.max(...shown.map(d => d.value))
  return (
    <g className="dome-cells">
      {DOME.map((direction, i) => {
        if (direction.elevationDegrees > topDegrees) return null
        const value = values[i] ?? shown[nearestOf(shown, direction)].value
        const share = most > least ? (value - least) / (most - least) : 0.5
        return (
          <path
            key={`${direction.ring} ${direction.azimuthDegrees}`}
            d={place.cell(direction)}
            fill={greyOf(share)}
            stroke={greyOf(share)}
          />
        )
      })}
    </g>
  )
})

/** Even in L*. */
function greyOf(share: number): string {
  const y = luminanceOfLStar(DARKEST + share * (LIGHTEST - DARKEST)).toFixed(4)
  return `color(srgb-linear ${y} ${y} ${y})`
}

/** Where directions lie on the plot: azimuth 0 below, 90 (the figure's left) to the right. */
function placesOn(topDegrees: number) {
  const half = RING_DEGREES / 2
  const rim = topDegrees === 90 ? 90 : topDegrees + half
  const radius = (elevation: number) => (RADIUS * Math.max(0, rim - elevation)) / (rim + half)
  const point = (azimuth: number, r: number): readonly [number, number] => {
    const a = (azimuth * Math.PI) / 180
    return [r * Math.sin(a), r * Math.cos(a)]
  }
  const text = ([x, y]: readonly [number, number]) => `${x.toFixed(2)} ${y.toFixed(2)}`
  return {
    shows: ({ elevationDegrees }: Direction) => elevationDegrees >= -half && elevationDegrees <= rim,
    at: ({ azimuthDegrees, elevationDegrees }: Direction) => point(azimuthDegrees, radius(elevationDegrees)),
    cell({ azimuthDegrees, elevationDegrees, widthDegrees }: DomeDirection): string {
      const outer = radius(elevationDegrees - half)
      const inner = radius(elevationDegrees + half)
      if (widthDegrees === 360)
        return `M0 ${-outer}A${outer} ${outer} 0 1 0 0 ${outer}A${outer} ${outer} 0 1 0 0 ${-outer}Z`
      const from = azimuthDegrees - widthDegrees / 2
      const to = azimuthDegrees + widthDegrees / 2
      return `M${text(point(from, outer))}A${outer} ${outer} 0 0 0 ${text(point(to, outer))}L${text(point(to, inner))}A${inner} ${inner} 0 0 1 ${text(point(from, inner))}Z`
    },
    /** null outside the plot. */
    directionAt(x: number, y: number): Direction | null {
      const r = Math.hypot(x, y)
      if (r > RADIUS) return null
      return { azimuthDegrees: (Math.atan2(x, y) * 180) / Math.PI, elevationDegrees: rim - (r / RADIUS) * (rim + half) }
    },
  }
}
