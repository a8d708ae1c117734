import { type CSSProperties, type KeyboardEvent, type PointerEvent, useRef, useState } from 'react'
import { type Row, roomFor, rowUnder } from './reorder-rows.ts'

interface Item {
  readonly id: string
  readonly name: string
}

interface Held {
  readonly id: string
  readonly startY: number
  readonly movedBy: number
  /** As the items stood when the drag began, top of the page first. */
  readonly rows: readonly Row[]
}

const GAP_PX = 3

/**
 * Reordering by a grip: drag with pointer or finger, or arrow keys while the grip has the focus. Items stand on the
 * page in reverse: index 0 is at the bottom.
 */
export function useReorder(items: readonly Item[], move: (id: string, toIndex: number) => void) {
  const elements = useRef(new Map<string, HTMLElement>())
  const [held, setHeld] = useState<Held | null>(null)
  const [announcement, announce] = useState('')

  const indexOf = (id: string) => items.findIndex(item => item.id === id)
  const nameOf = (id: string) => items[indexOf(id)]?.name || 'coat'

  function moved(id: string, toIndex: number): void {
    const to = Math.min(items.length - 1, Math.max(0, toIndex))
    if (to === indexOf(id)) return
    move(id, to)
    announce(`${nameOf(id)} is now coat ${to + 1} of ${items.length}, counted from the primer`)
  }

  return {
    held: held?.id ?? null,
    announcement,
    itemRef: (id: string) => (element: HTMLElement | null) => {
      if (element) elements.current.set(id, element)
      else elements.current.delete(id)
    },
    styleOf(id: string): CSSProperties {
      if (!held) return {}
      if (held.id === id) return { translate: `0 ${held.movedBy}px`, zIndex: 2, position: 'relative' }
      const room = roomFor(held.rows, held.id, held.movedBy, id, GAP_PX)
      return { translate: `0 ${room}px`, transition: 'translate 160ms ease-out' }
    },
    gripProps: (id: string) => ({
      onPointerDown(event: PointerEvent<HTMLElement>) {
        if (event.button !== 0) return
        event.currentTarget.setPointerCapture(event.pointerId)
        const rows = [...items].reverse().flatMap(item => {
          const box = elements.current.get(item.id)?.getBoundingClientRect()
          return box ? [{ id: item.id, middle: box.top + box.height / 2, height: box.height }] : []
        })
        setHeld({ id, startY: event.clientY, movedBy: 0, rows })
      },
      onPointerMove(event: PointerEvent<HTMLElement>) {
        if (held?.id === id) setHeld({ ...held, movedBy: event.clientY - held.startY })
      },
      onPointerUp() {
        if (held?.id !== id) return
        setHeld(null)
        moved(id, items.length - 1 - rowUnder(held.rows, id, held.movedBy))
      },
      onPointerCancel: () => setHeld(null),
      onKeyDown(event: KeyboardEvent) {
        const step = event.key === 'ArrowUp' ? 1 : event.key === 'ArrowDown' ? -1 : 0
        if (step === 0) return
        event.preventDefault()
        moved(id, indexOf(id) + step)
      },
    }),
  }
}
