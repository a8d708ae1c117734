import { type KeyboardEvent, type PointerEvent, type RefObject, useEffect, useLayoutEffect, useRef } from 'react'
import type { Commands } from '../app/commands.ts'
import type { Figure } from '../core/mesh/figure.ts'
import type { Torch } from '../core/recipe/recipe.ts'
import { AIRBRUSH_SETTINGS } from '../core/spray/airbrush-settings.ts'
import { anglesOf, scale } from '../core/vec3.ts'
import { ON_STAGE } from '../ui/paced-store.ts'
import { useCommands } from '../ui/use-app.ts'
import { ARROWS, clamp, wrapDegrees } from './camera-moves.ts'
import { directionOnSphere, pointAtDepthOf, project } from './framing.ts'
import { oncePerFrame } from './once-per-frame.ts'
import { framingOfPane, type Pane, placeIn, pxOf, type StageView } from './stage-view.ts'
import { gizmoOf } from './torch-gizmo.ts'

interface Props {
  readonly torches: readonly Torch[]
  readonly selected: string | null
  readonly figure: Figure
  readonly pane: Pane
  readonly view: StageView
}

/** Half a badge, CSS px. */
const RADIUS_PX = 14
const DISTANCE_RANGE = [AIRBRUSH_SETTINGS.distanceMm.min / 2, AIRBRUSH_SETTINGS.distanceMm.max * 3] as const
const round = (x: number) => Math.round(x * 10) / 10

/** Numbered handles of the open coat's torches, and the aim point of the selected one: buttons that follow the picture. */
export function TorchBadges(props: Props) {
  const { torches, selected, view } = props
  const overlay = useRef<HTMLFieldSetElement>(null)
  const latest = useRef(props)
  latest.current = props

  useEffect(() => {
    const place = () => {
      if (overlay.current) placeBadges(overlay.current, latest.current)
    }
    view.afterFrame.add(place)
    return () => {
      view.afterFrame.delete(place)
    }
  }, [view])
  // A new badge has its place before it is first painted.
  useLayoutEffect(() => {
    if (overlay.current) placeBadges(overlay.current, props)
  })

  const aimed = torches.find(t => t.id === selected)
  return (
    <fieldset ref={overlay} className="stage-torches" aria-label="Torches">
      {torches.map((torch, i) => (
        <Badge key={torch.id} torch={torch} number={i + 1} isSelected={torch.id === selected} latest={latest} />
      ))}
      {aimed && <AimHandle torch={aimed} number={torches.indexOf(aimed) + 1} latest={latest} />}
    </fieldset>
  )
}

function Badge(props: {
  readonly torch: Torch
  readonly number: number
  readonly isSelected: boolean
  readonly latest: RefObject<Props>
}) {
  const { torch, number, isSelected, latest } = props
  const commands = useCommands()
  const drag = useDrag(commands, event => startNozzleDrag(event, torch, latest.current, commands))
  const words = [
    `Torch ${number}, ${torch.name}`,
    `${Math.round(wrapDegrees(torch.azimuthDegrees))}° around, ${Math.round(torch.elevationDegrees)}° up`,
    `${Math.round(torch.distanceMm)} mm away`,
    torch.muted ? 'muted' : '',
  ]
  return (
    <button
      type="button"
      className="stage-badge"
      data-torch={torch.id}
      data-muted={torch.muted || undefined}
      aria-pressed={isSelected}
      aria-label={words.filter(Boolean).join(', ')}
      aria-description="Drag, or use the arrow keys, to move the nozzle around the figure; with Shift, drag for distance or step by 1°. Plus and minus change the distance."
      onFocus={() => commands.select({ selectedTorch: torch.id })}
      {...drag}
      onKeyDown={event => moveNozzleByKey(event, torch, latest.current, commands)}
      onKeyUp={() => commands.endGesture()}
    >
      <span className="stage-badge-tip" aria-hidden="true" />
      <span className="stage-badge-beyond" aria-hidden="true" />
      <span className="stage-badge-number">{number}</span>
    </button>
  )
}

function AimHandle(props: { readonly torch: Torch; readonly number: number; readonly latest: RefObject<Props> }) {
  const { torch, number, latest } = props
  const commands = useCommands()
  const drag = useDrag(commands, event => startAimDrag(event, torch, latest.current, commands))
  return (
    <button
      type="button"
      className="stage-aim"
      data-aim={torch.id}
      aria-label={`Aim point of torch ${number}`}
      aria-description="Drag, or use the arrow keys, to move what the torch aims at; with Shift in small steps."
      {...drag}
      onKeyDown={event => moveAimByKey(event, torch, latest.current, commands)}
      onKeyUp={() => commands.endGesture()}
    />
  )
}

/** One pointer at a time, captured until it lets go. `start` gives what a move does. */
function useDrag(commands: Commands, start: (event: PointerEvent<HTMLElement>) => (event: PointerEvent) => void) {
  const held = useRef<ReturnType<typeof oncePerFrame<PointerEvent>> | null>(null)
  const end = () => {
    if (!held.current) return
    held.current.flush()
    held.current = null
    commands.endGesture()
  }
  return {
    onPointerDown(event: PointerEvent<HTMLElement>) {
      if (event.button !== 0 || held.current) return
      event.currentTarget.setPointerCapture(event.pointerId)
      event.currentTarget.focus({ preventScroll: true })
      commands.hover(null)
      held.current = oncePerFrame(start(event))
    },
    onPointerMove: (event: PointerEvent) => held.current?.(event),
    onPointerUp: end,
    onPointerCancel: end,
    onLostPointerCapture: end,
  }
}

function stageOrigin(element: Element): DOMRect {
  return element.closest('.stage-torches')!.getBoundingClientRect()
}

/** The handle stays under the pointer, on the sphere it was picked up from; with Shift it slides along the axis. */
function startNozzleDrag(event: PointerEvent<HTMLElement>, torch: Torch, props: Props, commands: Commands) {
  const { figure, pane, view } = props
  const origin = stageOrigin(event.currentTarget)
  const framing = framingOfPane(view, figure, pane)
  const gizmo = gizmoOf(torch, figure, framing, view.height)
  const at = pxOf(view, pane, project(framing, gizmo.handle))
  const aimAt = pxOf(view, pane, project(framing, gizmo.aim))
  const start = { x: event.clientX, y: event.clientY }
  const grip = { x: start.x - origin.left - at.x, y: start.y - origin.top - at.y }
  const gesture = `${ON_STAGE}nozzle ${torch.id}`
  if (event.shiftKey) {
    const outward = { x: at.x - aimAt.x, y: at.y - aimAt.y }
    const reach = Math.hypot(outward.x, outward.y)
    // Seen along its axis, away is up.
    const way = reach > 24 ? { x: outward.x / reach, y: outward.y / reach } : { x: 0, y: -1 }
    return (moved: PointerEvent) => {
      const px = (moved.clientX - start.x) * way.x + (moved.clientY - start.y) * way.y
      const distanceMm = Math.round(clamp(torch.distanceMm * Math.exp(px / 160), ...DISTANCE_RANGE))
      commands.setTorch(torch.id, { distanceMm }, gesture)
    }
  }
  let isMoving = false
  return (moved: PointerEvent) => {
    // A click selects; a hand that trembles while clicking moves nothing.
    if (!isMoving && Math.hypot(moved.clientX - start.x, moved.clientY - start.y) < 3) return
    isMoving = true
    const place = placeIn(view, pane, moved.clientX - origin.left - grip.x, moved.clientY - origin.top - grip.y)
    const direction = directionOnSphere(framing, place.x, place.y, gizmo.aim, gizmo.handleMm, gizmo.side)
    const { azimuthDegrees, elevationDegrees } = anglesOf(direction)
    commands.setTorch(
      torch.id,
      { azimuthDegrees: round(azimuthDegrees), elevationDegrees: round(elevationDegrees) },
      gesture,
    )
  }
}

/** Over the plane through the aim point that faces the viewer. */
function startAimDrag(event: PointerEvent<HTMLElement>, torch: Torch, props: Props, commands: Commands) {
  const { figure, pane, view } = props
  const origin = stageOrigin(event.currentTarget)
  const framing = framingOfPane(view, figure, pane)
  const aim = scale(torch.aim, figure.heightMm)
  const at = pxOf(view, pane, project(framing, aim))
  const grip = { x: event.clientX - origin.left - at.x, y: event.clientY - origin.top - at.y }
  return (moved: PointerEvent) => {
    const place = placeIn(view, pane, moved.clientX - origin.left - grip.x, moved.clientY - origin.top - grip.y)
    const point = pointAtDepthOf(framing, place.x, place.y, aim)
    commands.setTorch(torch.id, { aim: aimShares(point, figure) }, `${ON_STAGE}aim ${torch.id}`)
  }
}

function aimShares(point: readonly number[], { heightMm }: Figure): [number, number, number] {
  const share = (mm: number, low: number, high: number) => clamp(Math.round((mm / heightMm) * 1000) / 1000, low, high)
  return [share(point[0], -1.5, 1.5), share(point[1], -0.5, 1.5), share(point[2], -1.5, 1.5)]
}

function moveNozzleByKey(event: KeyboardEvent, torch: Torch, { view }: Props, commands: Commands): void {
  const step = event.shiftKey ? 1 : 5
  // Right on screen is a growing azimuth on the near side and a falling one behind the figure.
  const facing = Math.cos(((torch.azimuthDegrees - view.camera.azimuthDegrees) * Math.PI) / 180) >= 0 ? 1 : -1
  const move = (patch: Partial<Torch>) => {
    event.preventDefault()
    event.stopPropagation()
    commands.setTorch(torch.id, patch, `${ON_STAGE}nozzle ${torch.id}`)
  }
  if (event.ctrlKey || event.metaKey || event.altKey) return
  const arrow = ARROWS[event.key]
  const away = { '+': 5, '=': 5, '-': -5, _: -5 }[event.key]
  if (arrow?.[0]) move({ azimuthDegrees: round(wrapDegrees(torch.azimuthDegrees + arrow[0] * step * facing)) })
  else if (arrow) move({ elevationDegrees: round(clamp(torch.elevationDegrees + arrow[1] * step, -90, 90)) })
  else if (away) move({ distanceMm: Math.round(clamp(torch.distanceMm + away, ...DISTANCE_RANGE)) })
}

function moveAimByKey(event: KeyboardEvent, torch: Torch, props: Props, commands: Commands): void {
  const { figure, pane, view } = props
  const step = (event.shiftKey ? 0.005 : 0.025) * figure.heightMm
  const way = ARROWS[event.key]
  if (!way || event.ctrlKey || event.metaKey || event.altKey) return
  event.preventDefault()
  event.stopPropagation()
  const { right, up } = framingOfPane(view, figure, pane)
  const aim = scale(torch.aim, figure.heightMm)
  const point = aim.map((mm, i) => mm + step * (way[0] * right[i] + way[1] * up[i]))
  commands.setTorch(torch.id, { aim: aimShares(point, figure) }, `${ON_STAGE}aim ${torch.id}`)
}

/** Puts every badge where its handle is seen, moved aside where two would lie on each other, within the stage. */
function placeBadges(overlay: HTMLElement, { torches, figure, pane, view }: Props): void {
  const framing = framingOfPane(view, figure, pane)
  const shown = torches.map(torch => {
    const gizmo = gizmoOf(torch, figure, framing, view.height)
    const seen = project(framing, gizmo.handle)
    return {
      torch,
      gizmo,
      depth: seen.depth,
      at: pxOf(view, pane, seen),
      aimAt: pxOf(view, pane, project(framing, gizmo.aim)),
    }
  })
  const inset = RADIUS_PX + 6
  const left = pane.left * view.width + inset
  const right = (pane.left + pane.width) * view.width - inset
  const taken: { x: number; y: number }[] = []
  for (const { torch, gizmo, at, aimAt } of shown.sort((a, b) => a.depth - b.depth)) {
    const place = { x: clamp(at.x, left, right), y: clamp(at.y, inset, view.height - inset) }
    for (const other of taken) {
      if (Math.hypot(place.x - other.x, place.y - other.y) < 2 * RADIUS_PX + 2) place.x = other.x + 2 * RADIUS_PX + 4
    }
    taken.push(place)
    const badge = overlay.querySelector<HTMLElement>(`[data-torch="${CSS.escape(torch.id)}"]`)
    if (!badge) continue
    const reach = Math.hypot(aimAt.x - place.x, aimAt.y - place.y)
    badge.style.transform = `translate(${place.x}px, ${place.y}px)`
    badge.style.setProperty('--to-aim', `${Math.atan2(aimAt.y - place.y, aimAt.x - place.x)}rad`)
    badge.style.zIndex = gizmo.side === 'near' ? '2' : '1'
    badge.dataset.side = gizmo.side
    badge.toggleAttribute('data-beyond', gizmo.isBeyond && reach > 40)
    badge.toggleAttribute('data-end-on', reach < 40)
    const aim = overlay.querySelector<HTMLElement>(`[data-aim="${CSS.escape(torch.id)}"]`)
    if (aim) aim.style.transform = `translate(${aimAt.x}px, ${aimAt.y}px)`
  }
}
