import { type KeyboardEvent, type RefObject, useEffect } from 'react'
import type { Camera } from '../document/document.ts'
import { type AppHandle, useAppHandle } from '../ui/use-app.ts'
import { ARROWS, between, orbited, panned, zoomed } from './camera-moves.ts'
import { type Framing, mmPerPx, rayThrough } from './framing.ts'
import { oncePerFrame } from './once-per-frame.ts'
import { framingOfPane, panesOf, placeAt, type StageView } from './stage-view.ts'

const DEGREES_PER_PX = 0.4
/** Readings follow the document's camera: tell it of a movement this often, and when it ends. */
const TELL_EVERY_MS = 120
const FLIGHT_MS = 220

/** Said to whoever reaches the stage with the keyboard. */
export const STAGE_KEYS =
  'Arrow keys turn the view, plus and minus zoom, 0 fits the figure. Shift with arrow keys moves the picture.'

/** Orbit, pan and zoom by pointer, touch, wheel and keys; flies where the document's camera is put by a command. */
export function useCameraControls(surface: RefObject<HTMLElement | null>, view: StageView) {
  const app = useAppHandle()

  useEffect(() => {
    const element = surface.current
    if (!element) return
    const teller = createTeller(app, view)
    const stopFlying = followDocument(app, view, teller)
    const stopPointers = listenToPointers(element, app, view, teller)
    return () => {
      stopFlying()
      stopPointers()
      teller.stop()
    }
  }, [surface, app, view])

  return (event: KeyboardEvent) => {
    const before = view.camera
    if (!applyKey(event, app, view)) return
    event.preventDefault()
    if (view.camera !== before) app.commands.setCamera(view.camera)
    view.invalidate()
  }
}

interface Teller {
  /** The view moved; the document hears of it soon. */
  moved(): void
  settle(): void
  /** The camera the document was last told of. */
  told(): Camera | null
  stop(): void
}

function createTeller({ commands }: AppHandle, view: StageView): Teller {
  let told: Camera | null = null
  let timer: ReturnType<typeof setTimeout> | undefined
  const tell = () => {
    timer = undefined
    if (told === view.camera) return
    told = view.camera
    commands.setCamera(view.camera)
  }
  return {
    moved() {
      view.invalidate()
      timer ??= setTimeout(tell, TELL_EVERY_MS)
    },
    settle() {
      clearTimeout(timer)
      tell()
    },
    told: () => told,
    stop: () => clearTimeout(timer),
  }
}

/** Where a command moves the camera, the view flies there; its own reports come back and are not answered. */
function followDocument({ store }: AppHandle, view: StageView, teller: Teller): () => void {
  let frame = 0
  const fly = (to: Camera) => {
    cancelAnimationFrame(frame)
    const from = view.camera
    const zoomFrom = view.zoom
    const start = performance.now()
    const step = (now: number) => {
      const share = matchMedia('(prefers-reduced-motion: reduce)').matches
        ? 1
        : Math.min(1, Math.max(0, (now - start) / FLIGHT_MS))
      const eased = share * share * (3 - 2 * share)
      view.camera = share < 1 ? between(from, to, eased) : to
      view.zoom = zoomFrom ** (1 - eased)
      view.invalidate()
      if (share < 1) frame = requestAnimationFrame(step)
    }
    step(start)
  }
  let seen = store.getState().history.present.camera
  const unsubscribe = store.subscribe(state => {
    const camera = state.history.present.camera
    if (camera === seen) return
    seen = camera
    if (camera !== view.camera && camera !== teller.told()) fly(camera)
  })
  return () => {
    unsubscribe()
    cancelAnimationFrame(frame)
  }
}

function listenToPointers(element: HTMLElement, app: AppHandle, view: StageView, teller: Teller): () => void {
  const pointers = new Map<number, { x: number; y: number }>()
  const hover = oncePerFrame((at: { x: number; y: number } | null) => reportHover(element, app, view, at))

  const onDown = (event: PointerEvent) => {
    if (event.button === 1) event.preventDefault()
    element.setPointerCapture(event.pointerId)
    pointers.set(event.pointerId, { x: event.clientX, y: event.clientY })
    hover(null)
  }

  const onMove = (event: PointerEvent) => {
    const last = pointers.get(event.pointerId)
    if (!last) {
      if (event.pointerType !== 'touch') hover({ x: event.clientX, y: event.clientY })
      return
    }
    const now = { x: event.clientX, y: event.clientY }
    const dx = now.x - last.x
    const dy = now.y - last.y
    if (pointers.size === 1) {
      const pans = event.shiftKey || (event.buttons & 6) !== 0
      if (pans) panBy(app, view, dx, dy)
      else view.camera = orbited(view.camera, -dx * DEGREES_PER_PX, dy * DEGREES_PER_PX)
    } else {
      const other = [...pointers].find(([id]) => id !== event.pointerId)?.[1] ?? last
      const spread = (p: { x: number; y: number }) => Math.max(20, Math.hypot(p.x - other.x, p.y - other.y))
      view.zoom = zoomed(view.zoom, spread(now) / spread(last))
      panBy(app, view, dx / 2, dy / 2)
    }
    pointers.set(event.pointerId, now)
    teller.moved()
  }

  const onUp = (event: PointerEvent) => {
    if (!pointers.delete(event.pointerId)) return
    if (pointers.size === 0) teller.settle()
  }

  const onWheel = (event: WheelEvent) => {
    event.preventDefault()
    const lines = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? 16 : 1
    view.zoom = zoomed(view.zoom, Math.exp(-event.deltaY * lines * (event.ctrlKey ? 0.01 : 0.0015)))
    view.invalidate()
  }

  const onLeave = () => hover(null)
  const onMenu = (event: Event) => event.preventDefault()

  element.addEventListener('pointerdown', onDown)
  element.addEventListener('pointermove', onMove)
  element.addEventListener('pointerup', onUp)
  element.addEventListener('pointercancel', onUp)
  element.addEventListener('pointerleave', onLeave)
  element.addEventListener('contextmenu', onMenu)
  // Not passive: the page must not scroll or zoom along.
  element.addEventListener('wheel', onWheel, { passive: false })
  return () => {
    hover.cancel()
    element.removeEventListener('pointerdown', onDown)
    element.removeEventListener('pointermove', onMove)
    element.removeEventListener('pointerup', onUp)
    element.removeEventListener('pointercancel', onUp)
    element.removeEventListener('pointerleave', onLeave)
    element.removeEventListener('contextmenu', onMenu)
    element.removeEventListener('wheel', onWheel)
  }
}

/** The looked-at plane stays under the pointer. */
function panBy({ store }: AppHandle, view: StageView, dx: number, dy: number): void {
  const framing = mainFraming(store.getState(), view)
  const figure = store.getState().derived.figure
  if (!framing || !figure) return
  const mm = mmPerPx(framing, framing.target, view.height)
  view.camera = panned(view.camera, framing, -dx * mm, dy * mm, figure.heightMm)
}

function mainFraming(state: ReturnType<AppHandle['store']['getState']>, view: StageView): Framing | null {
  const { figure } = state.derived
  return figure ? framingOfPane(view, figure, panesOf(state.history.present)[0]) : null
}

function reportHover(
  element: HTMLElement,
  { store, commands }: AppHandle,
  view: StageView,
  at: { x: number; y: number } | null,
): void {
  const { derived, history } = store.getState()
  if (!at || !derived.figure) {
    commands.hover(null)
    return
  }
  const rectangle = element.getBoundingClientRect()
  const place = placeAt(view, panesOf(history.present), at.x - rectangle.left, at.y - rectangle.top)
  const framing = framingOfPane(view, derived.figure, place.pane)
  commands.hover({
    side: place.u < place.pane.seam ? 'main' : 'other',
    u: place.u,
    v: place.v,
    x: at.x,
    y: at.y,
    ray: { origin: framing.eye, direction: rayThrough(framing, place.x, place.y) },
  })
}

/** @returns false for keys that mean nothing here */
function applyKey(event: KeyboardEvent, app: AppHandle, view: StageView): boolean {
  if (event.ctrlKey || event.metaKey || event.altKey) return false
  const arrow = ARROWS[event.key]
  if (arrow) {
    const [x, y] = arrow
    if (event.shiftKey) panBy(app, view, -PAN_PX * x, PAN_PX * y)
    else view.camera = orbited(view.camera, TURN_DEGREES * x, TURN_DEGREES * y)
    return true
  }
  switch (event.key) {
    case '+':
    case '=':
      view.zoom = zoomed(view.zoom, 1.2)
      return true
    case '-':
    case '_':
      view.zoom = zoomed(view.zoom, 1 / 1.2)
      return true
    case '0':
    case 'Home':
      view.zoom = 1
      return true
    default:
      return false
  }
}

const TURN_DEGREES = 5
const PAN_PX = 24
