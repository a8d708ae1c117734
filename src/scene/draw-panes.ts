import { Matrix4, type PerspectiveCamera, type Scene, Vector3, type WebGLRenderer } from 'three'
import { type FigureMaterial, SHOW_MAIN, SHOW_OTHER } from './figure-material.ts'
import type { Framing } from './framing.ts'

/** Neutral mid grey around the figure, sRGB bytes: colours are judged against it (in the spirit of ISO 3664). */
export const SURROUND = 0x77
const FIGURE_LAYER = 0
/** Whatever is not the figure, on a layer that pictures leave out. */
export const GUIDES_LAYER = 1

/** A piece of a pane, as shares of it from left and top; may reach beyond it. */
export interface Piece {
  readonly left: number
  readonly right: number
  readonly top: number
  readonly bottom: number
}

const WHOLE: Piece = { left: 0, right: 1, top: 0, bottom: 1 }

/** Points a camera as a framing says, at the whole pane or a piece of it. */
export function aimCamera(camera: PerspectiveCamera, framing: Framing, withGuides: boolean, piece = WHOLE): void {
  const basis = new Matrix4().makeBasis(
    new Vector3(...framing.right),
    new Vector3(...framing.up),
    new Vector3(...framing.back),
  )
  camera.quaternion.setFromRotationMatrix(basis)
  camera.position.set(...framing.eye)
  // Depth is finest near the eye: keep the near plane as far out as the eye's distance allows.
  camera.near = Math.max(0.5, framing.distanceMm / 50)
  camera.far = framing.distanceMm * 4 + 1000
  const { tanHalfHeight, aspect, shiftUp } = framing
  const across = (share: number) => camera.near * tanHalfHeight * aspect * (2 * share - 1)
  const down = (share: number) => camera.near * (shiftUp + tanHalfHeight * (1 - 2 * share))
  camera.projectionMatrix.makePerspective(
    across(piece.left),
    across(piece.right),
    down(piece.top),
    down(piece.bottom),
    camera.near,
    camera.far,
  )
  camera.projectionMatrixInverse.copy(camera.projectionMatrix).invert()
  camera.layers.set(FIGURE_LAYER)
  if (withGuides) camera.layers.enable(GUIDES_LAYER)
  camera.updateMatrixWorld()
}

export interface DrawnPane {
  readonly framing: Framing
  /** Whole pixels of the target, from its left; the pane is as high as the target. */
  readonly leftPx: number
  readonly widthPx: number
  /** Share of the pane left of which main is shown. */
  readonly seam: number
  readonly withGuides: boolean
}

/** The seam in drawing-buffer pixels; a side that is shown alone must not lose a column to rounding. */
export const seamPxOf = (pane: Pick<DrawnPane, 'leftPx' | 'widthPx' | 'seam'>): number =>
  pane.seam >= 1 ? SHOW_MAIN : pane.seam <= 0 ? SHOW_OTHER : pane.leftPx + pane.seam * pane.widthPx

/** Draws panes side by side onto the canvas. `pxRatio` is drawing-buffer pixels per CSS pixel. */
export function drawPanes(
  renderer: WebGLRenderer,
  scene: Scene,
  camera: PerspectiveCamera,
  material: FigureMaterial,
  panes: readonly DrawnPane[],
  heightPx: number,
  pxRatio: number,
): void {
  renderer.setScissorTest(true)
  for (const pane of panes) {
    const rectangle = [pane.leftPx / pxRatio, 0, pane.widthPx / pxRatio, heightPx / pxRatio] as const
    renderer.setViewport(...rectangle)
    renderer.setScissor(...rectangle)
    aimCamera(camera, pane.framing, pane.withGuides)
    material.uniforms.seamPx.value = seamPxOf(pane)
    material.uniformsNeedUpdate = true
    renderer.render(scene, camera)
  }
  renderer.setScissorTest(false)
}
