import { type KeyboardEvent, type PointerEvent, useEffect, useRef } from 'react'
import type { Figure } from '../core/mesh/figure.ts'
import { useApp, useAppHandle } from '../ui/use-app.ts'
import { ARROWS, clamp } from './camera-moves.ts'
import { mmPerPx, rayThrough } from './framing.ts'
import { framingOfPane, type Pane, placeIn, type StageView } from './stage-view.ts'

/** Arrow keys move the brush by so many CSS px; with Shift finely. */
const STEP_PX = 16
const FINE_PX = 4

const KEYS = 'Arrow keys move the brush, with Shift finely. Space paints where it stands.'

/** While a guess is painted: takes pointer and keys for the brush, and shows how large it is. */
export function GuessBrush(props: { readonly figure: Figure; readonly pane: Pane; readonly view: StageView }) {
  const guessing = useApp(s => s.session.guess !== null)
  return guessing ? <Brush {...props} /> : null
}

function Brush({ figure, pane, view }: { readonly figure: Figure; readonly pane: Pane; readonly view: StageView }) {
  const { commands, store } = useAppHandle()
  const brushes = useApp(s => s.session.guess?.score === null && s.session.guess.tool !== 'turn')
  const brushMm = useApp(s => s.session.guess?.brushMm ?? 1)
  const surface = useRef<HTMLDivElement>(null)
  const ring = useRef<HTMLSpanElement>(null)
  const at = useRef({ x: view.width / 2, y: view.height / 2 })
  const down = useRef(false)

  // A fresh guess on every figure that comes to stand here.
  useEffect(() => {
    if (store.getState().session.guess?.score === null && figure.id) void commands.brushGuess([])
  }, [commands, store, figure.id])

  const framing = () => framingOfPane(view, figure, pane)
  const place = (x: number, y: number) => {
    at.current = { x: clamp(x, 0, view.width), y: clamp(y, 0, view.height) }
    if (!ring.current) return
    const now = framing()
    const radius = brushMm / mmPerPx(now, now.target, view.height)
    ring.current.style.translate = `${at.current.x}px ${at.current.y}px`
    ring.current.style.setProperty('--radius', `${radius}px`)
  }
  // biome-ignore lint/correctness/useExhaustiveDependencies: the ring's size follows the brush
  useEffect(() => place(at.current.x, at.current.y), [brushMm, brushes])

  const paint = () => {
    const now = framing()
    const { x, y } = placeIn(view, pane, at.current.x, at.current.y)
    void commands.brushGuess([{ origin: now.eye, direction: rayThrough(now, x, y) }])
  }
  const follow = (event: PointerEvent) => {
    const box = surface.current!.getBoundingClientRect()
    place(event.clientX - box.left, event.clientY - box.top)
  }
  const onKeyDown = (event: KeyboardEvent) => {
    const arrow = ARROWS[event.key]
    if (arrow) {
      const step = event.shiftKey ? FINE_PX : STEP_PX
      place(at.current.x + arrow[0] * step, at.current.y - arrow[1] * step)
    } else if (event.key === ' ') paint()
    else return
    event.preventDefault()
  }

  if (!brushes) return null
  return (
    <div
      ref={surface}
      className="stage-brush"
      role="application"
      // biome-ignore lint/a11y/noNoninteractiveTabindex: the brush is moved with the keyboard
      tabIndex={0}
      aria-label="Brush"
      aria-description={KEYS}
      onKeyDown={onKeyDown}
      onPointerDown={event => {
        event.currentTarget.setPointerCapture(event.pointerId)
        down.current = true
        follow(event)
        paint()
      }}
      onPointerMove={event => {
        follow(event)
        if (down.current) paint()
      }}
      onPointerUp={() => {
        down.current = false
      }}
      onPointerCancel={() => {
        down.current = false
      }}
    >
      <span ref={ring} className="stage-brush-ring" />
    </div>
  )
}
