import { type ReactNode, useEffect, useRef, useState } from 'react'
import { problemText } from '../app/problem-text.ts'
import { graphicsKind } from '../scene/graphics-kind.ts'
import { GuessBrush } from '../scene/guess-brush.tsx'
import { isSeamed, SeamHandle } from '../scene/seam-handle.tsx'
import { StageCanvas } from '../scene/stage-canvas.tsx'
import { createStageView, panesOf, type StageView } from '../scene/stage-view.ts'
import { TorchBadges } from '../scene/torch-badges.tsx'
import { STAGE_KEYS, useCameraControls } from '../scene/use-camera-controls.ts'
import { useOpenTorches } from '../scene/use-open-torches.ts'
import { useApp, useAppHandle, useDocument } from '../ui/use-app.ts'
import './stage.css'

/** The figure on its grey surround, with torches and seam. Children lie over it: they decide themselves what they take of the pointer. */
export function Stage({ children }: { readonly children?: ReactNode }) {
  const { store } = useAppHandle()
  const [view] = useState(() => createStageView(store.getState().history.present.camera))
  const [hasGraphics, setHasGraphics] = useState(() => graphicsKind().webgl2)
  // Without any context at the start there is no canvas that could get one back.
  const [canDraw] = useState(hasGraphics)

  return (
    <section className="stage" aria-label="Stage">
      <Surface view={view}>{canDraw && <StageCanvas view={view} onGraphics={setHasGraphics} />}</Surface>
      {hasGraphics && <Overlays view={view} />}
      {!hasGraphics && <NoGraphics />}
      {children}
    </section>
  )
}

/** Takes pointer and keys for the camera. */
function Surface({ view, children }: { readonly view: StageView; readonly children: ReactNode }) {
  const surface = useRef<HTMLDivElement>(null)
  const onKeyDown = useCameraControls(surface, view)
  return (
    <div
      ref={surface}
      className="stage-surface"
      role="application"
      // biome-ignore lint/a11y/noNoninteractiveTabindex: the picture is turned with the keyboard
      tabIndex={0}
      aria-label="Figure"
      aria-description={STAGE_KEYS}
      onKeyDown={onKeyDown}
    >
      {children}
    </div>
  )
}

function Overlays({ view }: { readonly view: StageView }) {
  const figure = useApp(state => state.derived.figure)
  const compare = useDocument(document => document.compare)
  const look = useDocument(document => document.look)
  const onePicture = look.kind === 'difference'
  const { torches, selected } = useOpenTorches()
  // Badges come and go with the coat: the lines under them must too.
  useEffect(() => view.invalidate())
  return (
    <>
      {!onePicture && compare.kind !== 'off' && compare.arrangement.kind === 'side-by-side' && (
        <div className="stage-divider" />
      )}
      {figure && <GuessBrush figure={figure} pane={panesOf({ compare, look })[0]} view={view} />}
      {figure && torches.length > 0 && (
        <TorchBadges
          torches={torches}
          selected={selected}
          figure={figure}
          pane={panesOf({ compare, look })[0]}
          view={view}
        />
      )}
      {!onePicture && isSeamed(compare) && <SeamHandle compare={compare} />}
    </>
  )
}

function NoGraphics() {
  const { title, advice } = problemText({ code: 'graphics/unavailable' })
  return (
    <div className="stage-problem" role="alert">
      <strong>{title}</strong>
      <p>{advice}</p>
    </div>
  )
}
