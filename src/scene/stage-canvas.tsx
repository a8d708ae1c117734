import { Canvas, useFrame, useThree } from '@react-three/fiber'
import { useEffect, useLayoutEffect, useMemo } from 'react'
import { Color, PerspectiveCamera, SRGBColorSpace, Vector2 } from 'three'
import type { AppState, PaintedSide } from '../app/app-state.ts'
import type { Lamp } from '../document/document.ts'
import { screenGamut } from '../ui/screen-gamut.ts'
import { useStageHandle } from '../ui/stage-handle.ts'
import { useApp, useAppHandle, useDocument } from '../ui/use-app.ts'
import { AreaMark } from './area-mark.tsx'
import { drawPanes, SURROUND } from './draw-panes.ts'
import { createFigureMaterial } from './figure-material.ts'
import { FigureMesh } from './figure-mesh.tsx'
import { useGpuColours } from './gpu/use-gpu-colours.ts'
import { graphicsKind } from './graphics-kind.ts'
import { createStagePictures } from './picture.ts'
import { framingOfPane, type Pane, panesOf, type StageView } from './stage-view.ts'
import { Torches } from './torches.tsx'
import { useOpenTorches } from './use-open-torches.ts'

const GREY = new Color().setRGB(SURROUND / 255, SURROUND / 255, SURROUND / 255, SRGBColorSpace)

/** The picture itself. Draws when something changed, never otherwise. */
export function StageCanvas(props: { readonly view: StageView; readonly onGraphics: (areThere: boolean) => void }) {
  const { software } = graphicsKind()
  return (
    <Canvas
      frameloop="demand"
      flat
      dpr={software ? 1 : [1, 2]}
      gl={{ antialias: !software, alpha: false, powerPreference: 'high-performance' }}
      style={{ position: 'absolute', inset: 0 }}
    >
      <StageScene {...props} />
    </Canvas>
  )
}

function StageScene({
  view,
  onGraphics,
}: {
  readonly view: StageView
  readonly onGraphics: (areThere: boolean) => void
}) {
  const renderer = useThree(state => state.gl)
  const scene = useThree(state => state.scene)
  const size = useThree(state => state.size)
  const invalidate = useThree(state => state.invalidate)
  const app = useAppHandle()
  const handle = useStageHandle()
  const figure = useApp(state => state.derived.figure)
  const fewTriangles = useApp(state => state.derived.fewTriangles)
  const held = useApp(state => state.session.gesture !== null)
  const main = useApp(shownMain)
  const guessing = useApp(isGuessShown)
  const other = useApp(state => state.derived.sides.other)
  const panels = useApp(state => state.derived.panels)
  const markedArea = useApp(state => state.session.pointedArea ?? state.session.openArea?.id ?? null)
  const compare = useDocument(document => document.compare)
  const look = useDocument(document => document.look)
  const lamp = useDocument(document => document.lamp)
  const markOutside = useApp(state => state.preferences.markOutside)
  const headLamp = useHeadLamp()
  const panes = useMemo(() => panesOf({ compare, look }), [compare, look])
  const { torches, selected } = useOpenTorches()
  const colours = useGpuColours(renderer, invalidate)
  const fromTexels = colours !== null
  const material = useMemo(() => createFigureMaterial(fromTexels), [fromTexels])
  const camera = useMemo(() => new PerspectiveCamera(), [])
  useEffect(() => () => material.dispose(), [material])

  useLayoutEffect(() => {
    view.width = Math.max(1, size.width)
    view.height = Math.max(1, size.height)
    view.invalidate = invalidate
    invalidate()
  }, [view, size, invalidate])
  // biome-ignore lint/correctness/useExhaustiveDependencies: a new arrangement asks for a frame
  useLayoutEffect(() => invalidate(), [panes, markOutside, invalidate])

  useEffect(() => {
    const pictures = createStagePictures({ renderer, scene, material }, view, app)
    handle.pictures = pictures
    return () => {
      if (handle.pictures === pictures) handle.pictures = null
    }
  }, [handle, renderer, scene, material, view, app])

  useEffect(() => {
    const canvas = renderer.domElement
    const onLost = (event: Event) => {
      // Without this the browser never offers a new context.
      event.preventDefault()
      onGraphics(false)
    }
    const onRestored = () => {
      onGraphics(true)
      invalidate()
    }
    canvas.addEventListener('webglcontextlost', onLost)
    canvas.addEventListener('webglcontextrestored', onRestored)
    return () => {
      canvas.removeEventListener('webglcontextlost', onLost)
      canvas.removeEventListener('webglcontextrestored', onRestored)
    }
  }, [renderer, onGraphics, invalidate])

  // Priority 1: this draws, the library does not.
  useFrame(() => {
    const buffer = renderer.getDrawingBufferSize(new Vector2())
    const ratio = renderer.getPixelRatio()
    // Every time: a context that was lost and came back has forgotten it.
    renderer.setClearColor(GREY, 1)
    const context = renderer.getContext() as WebGL2RenderingContext
    // Greys are alike in both: only the figure has colours to convert.
    if ('drawingBufferColorSpace' in context) context.drawingBufferColorSpace = screenGamut()
    material.uniforms.displayP3.value = context.drawingBufferColorSpace === 'display-p3'
    material.uniforms.markOutside.value = markOutside && look.kind === 'painted'
    if (figure) {
      colours?.follow(material)
      const drawn = panes.map((pane, i) => drawnPane(pane, buffer.x, framingOfPane(view, figure, pane), i === 0))
      drawPanes(renderer, scene, camera, material, drawn, buffer.y, ratio)
    } else {
      renderer.setViewport(0, 0, buffer.x / ratio, buffer.y / ratio)
      renderer.render(scene, camera)
    }
    for (const follow of view.afterFrame) follow()
  }, 1)

  if (!figure) return null
  return (
    <>
      <FigureMesh
        figure={figure}
        fewTriangles={fewTriangles}
        coarse={held && !fromTexels}
        main={main}
        other={other}
        lamp={guessing ? headLamp : lamp}
        isolines={look.kind === 'isolines'}
        material={material}
        fromTexels={fromTexels}
      />
      {panels?.figureId === figure.id && markedArea !== null && (
        <AreaMark figure={figure} panels={panels} areaId={markedArea} />
      )}
      {torches.length > 0 && (
        <Torches torches={torches} selected={selected} figure={figure} pane={panes[0]} view={view} />
      )}
    </>
  )
}

const isGuessShown = ({ session, derived }: AppState): boolean =>
  session.guess?.shows === 'guess' && derived.guess !== null

/** A guess stands in the place of the recipe while it is painted and judged. */
const shownMain = (state: AppState): PaintedSide | null =>
  isGuessShown(state) ? state.derived.guess : state.derived.sides.main

/** Light from the eye: it shows the shape of what is painted on and gives nothing away about the torch. */
function useHeadLamp(): Lamp {
  const azimuthDegrees = useDocument(document => document.camera.azimuthDegrees)
  const elevationDegrees = useDocument(document => document.camera.elevationDegrees)
  return useMemo(() => ({ kind: 'lamp', azimuthDegrees, elevationDegrees }), [azimuthDegrees, elevationDegrees])
}

function drawnPane(pane: Pane, bufferWidthPx: number, framing: ReturnType<typeof framingOfPane>, withGuides: boolean) {
  const leftPx = Math.round(pane.left * bufferWidthPx)
  const widthPx = Math.round((pane.left + pane.width) * bufferWidthPx) - leftPx
  return { framing, leftPx, widthPx, seam: pane.seam, withGuides }
}
