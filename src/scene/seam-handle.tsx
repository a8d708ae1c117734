import { type KeyboardEvent, type PointerEvent, useRef } from 'react'
import type { Compare } from '../document/document.ts'
import { ON_STAGE } from '../ui/paced-store.ts'
import { useCommands } from '../ui/use-app.ts'
import { clamp } from './camera-moves.ts'
import { oncePerFrame } from './once-per-frame.ts'

type Seamed = Exclude<Compare, { kind: 'off' }> & {
  readonly arrangement: { readonly kind: 'seam'; readonly at: number }
}

export const isSeamed = (compare: Compare): compare is Seamed =>
  compare.kind !== 'off' && compare.arrangement.kind === 'seam'

const GESTURE = `${ON_STAGE}seam`

/** The movable line between the recipe (left) and what it is compared with (right). */
export function SeamHandle({ compare }: { readonly compare: Seamed }) {
  const commands = useCommands()
  const held = useRef<ReturnType<typeof oncePerFrame<number>> | null>(null)
  const at = compare.arrangement.at
  const move = (to: number) =>
    commands.setCompare(
      { ...compare, arrangement: { kind: 'seam', at: Math.round(1e4 * clamp(to, 0, 1)) / 1e4 } },
      GESTURE,
    )
  const shareUnder = (event: PointerEvent<HTMLElement>) => {
    const stage = event.currentTarget.parentElement!.getBoundingClientRect()
    return (event.clientX - stage.left) / stage.width
  }
  const end = () => {
    if (!held.current) return
    held.current.flush()
    held.current = null
    commands.endGesture()
  }

  const onKeyDown = (event: KeyboardEvent) => {
    const step = event.shiftKey ? 0.01 : 0.05
    const to = {
      ArrowLeft: at - step,
      ArrowDown: at - step,
      ArrowRight: at + step,
      ArrowUp: at + step,
      Home: 0,
      End: 1,
    }[event.key]
    if (to === undefined) return
    event.preventDefault()
    event.stopPropagation()
    move(to)
  }

  return (
    <div
      role="slider"
      tabIndex={0}
      className="stage-seam"
      style={{ left: `${100 * at}%` }}
      aria-label="Seam"
      aria-orientation="horizontal"
      aria-valuemin={0}
      aria-valuemax={100}
      aria-valuenow={Math.round(100 * at)}
      aria-valuetext={`${Math.round(100 * at)} % of the picture shows the recipe`}
      onPointerDown={event => {
        if (event.button !== 0) return
        event.currentTarget.setPointerCapture(event.pointerId)
        commands.hover(null)
        const grip = shareUnder(event) - at
        held.current = oncePerFrame(to => move(to - grip))
      }}
      onPointerMove={event => held.current?.(shareUnder(event))}
      onPointerUp={end}
      onPointerCancel={end}
      onLostPointerCapture={end}
      onKeyDown={onKeyDown}
      onKeyUp={() => commands.endGesture()}
    >
      <span className="stage-seam-grip" aria-hidden="true" />
    </div>
  )
}
