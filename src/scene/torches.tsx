import { useFrame } from '@react-three/fiber'
import { useEffect, useLayoutEffect, useMemo } from 'react'
import { Group } from 'three'
import type { Figure } from '../core/mesh/figure.ts'
import type { Torch } from '../core/recipe/recipe.ts'
import { GUIDES_LAYER } from './draw-panes.ts'
import { SprayBeam } from './spray-beam.ts'
import { framingOfPane, type Pane, type StageView } from './stage-view.ts'
import { ThinLines } from './thin-lines.ts'
import { clockSegments, gizmoOf, torchSegments } from './torch-gizmo.ts'

/** Beams and thin lines of the open coat's torches. */
export function Torches(props: {
  readonly torches: readonly Torch[]
  readonly selected: string | null
  readonly figure: Figure
  readonly pane: Pane
  readonly view: StageView
}) {
  const { torches, selected, figure, pane, view } = props
  const lines = useMemo(() => new ThinLines(), [])
  const beams = useMemo(() => Array.from({ length: torches.length }, () => new SprayBeam()), [torches.length])
  const group = useMemo(() => {
    const made = new Group()
    made.add(lines, ...beams)
    made.traverse(object => object.layers.set(GUIDES_LAYER))
    return made
  }, [lines, beams])

  useEffect(() => () => lines.dispose(), [lines])
  useEffect(
    () => () => {
      for (const beam of beams) beam.dispose()
    },
    [beams],
  )
  // biome-ignore lint/correctness/useExhaustiveDependencies: what is drawn in the next frame depends on all of these
  useLayoutEffect(() => view.invalidate(), [torches, selected, figure, pane, view])

  // Handles keep their size on screen, so their lines change with the camera: a few hundred numbers a frame.
  useFrame(() => {
    const framing = framingOfPane(view, figure, pane)
    const segments = clockSegments(figure)
    torches.forEach((torch, i) => {
      const gizmo = gizmoOf(torch, figure, framing, view.height)
      segments.push(...torchSegments(torch, gizmo, framing, torch.id === selected))
      beams[i].show(torch, gizmo, framing, torch.id === selected)
    })
    lines.show(segments)
  })

  return <primitive object={group} />
}
