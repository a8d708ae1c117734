import {
  Color,
  LinearSRGBColorSpace,
  PerspectiveCamera,
  type Scene,
  type WebGLRenderer,
  WebGLRenderTarget,
} from 'three'
import { ProblemError } from '../core/problem.ts'
import { NAMED_VIEWS } from '../document/named-views.ts'
import type { PictureSize, StagePictures } from '../ui/stage-handle.ts'
import type { AppHandle } from '../ui/use-app.ts'
import { aimCamera, SURROUND, seamPxOf } from './draw-panes.ts'
import type { FigureMaterial } from './figure-material.ts'
import { outlineOf } from './figure-outline.ts'
import { type Framing, framingOf } from './framing.ts'
import { panesOf, type StageView } from './stage-view.ts'

/** Drawn in squares of this side: any size of picture fits any graphics card. */
const TILE_PX = 1024

interface Drawing {
  readonly renderer: WebGLRenderer
  readonly scene: Scene
  readonly material: FigureMaterial
}

interface PicturePane {
  readonly framing: Framing
  readonly leftPx: number
  readonly widthPx: number
  readonly seam: number
}

export function createStagePictures(drawing: Drawing, view: StageView, { store }: AppHandle): StagePictures {
  const figure = () => {
    const { figure } = store.getState().derived
    if (!figure || drawing.renderer.getContext().isContextLost())
      throw new ProblemError({ code: 'graphics/unavailable' })
    return figure
  }
  return {
    async exportPng(size, withBackground) {
      const shown = figure()
      const panes = panesOf(store.getState().history.present).map(pane => {
        const leftPx = Math.round(pane.left * size.width)
        const widthPx = Math.round((pane.left + pane.width) * size.width) - leftPx
        const framing = framingOf(view.camera, outlineOf(shown), widthPx / size.height, view.zoom)
        return { framing, leftPx, widthPx, seam: pane.seam }
      })
      return encodePng(drawPicture(drawing, panes, size, withBackground))
    },
    async pictureOf(named, size, side = 'main') {
      const camera = typeof named === 'string' ? NAMED_VIEWS[named] : named
      const framing = framingOf(camera, outlineOf(figure()), size.width / size.height, 1)
      return encodePng(
        drawPicture(drawing, [{ framing, leftPx: 0, widthPx: size.width, seam: side === 'main' ? 1 : 0 }], size, false),
      )
    },
  }
}

/** Draws into memory of the graphics card, four samples a pixel, and reads it back; the stage is left as it was. */
function drawPicture(
  drawing: Drawing,
  panes: readonly PicturePane[],
  size: PictureSize,
  withBackground: boolean,
): ImageData {
  const { renderer, scene, material } = drawing
  const image = new ImageData(size.width, size.height)
  const target = new WebGLRenderTarget(TILE_PX, TILE_PX, { samples: 4 })
  const camera = new PerspectiveCamera()
  const clearColor = renderer.getClearColor(new Color())
  const clearAlpha = renderer.getClearAlpha()
  const { seamPx, displayP3, markOutside } = material.uniforms
  const before = [seamPx.value, displayP3.value, markOutside.value] as const
  const tile = new Uint8Array(4 * TILE_PX * TILE_PX)
  try {
    renderer.setClearColor(new Color().setRGB(0, 0, 0, LinearSRGBColorSpace), 0)
    for (const pane of panes) {
      for (let y = 0; y < size.height; y += TILE_PX) {
        for (let x = 0; x < pane.widthPx; x += TILE_PX) {
          aimCamera(camera, pane.framing, false, {
            left: x / pane.widthPx,
            right: (x + TILE_PX) / pane.widthPx,
            top: y / size.height,
            bottom: (y + TILE_PX) / size.height,
          })
          material.uniforms.seamPx.value = seamPxOf({ leftPx: -x, widthPx: pane.widthPx, seam: pane.seam })
          material.uniformsNeedUpdate = true
          // Every time: reading back leaves the resolved copy bound, and what is drawn into that is lost.
          renderer.setRenderTarget(target)
          // A file is sRGB, and shows paint alone.
          displayP3.value = markOutside.value = false
          renderer.render(scene, camera)
          renderer.readRenderTargetPixels(target, 0, 0, TILE_PX, TILE_PX, tile)
          copyTile(tile, image, pane.leftPx + x, y, Math.min(TILE_PX, pane.widthPx - x), withBackground)
        }
      }
    }
  } finally {
    renderer.setRenderTarget(null)
    renderer.setClearColor(clearColor, clearAlpha)
    ;[seamPx.value, displayP3.value, markOutside.value] = before
    target.dispose()
  }
  return image
}

/** Bottom row first becomes top row first; edges, averaged with nothing, become colour and opacity, or lie on the surround. */
function copyTile(
  tile: Uint8Array,
  image: ImageData,
  left: number,
  top: number,
  width: number,
  withBackground: boolean,
) {
  const height = Math.min(TILE_PX, image.height - top)
  for (let y = 0; y < height; y++) {
    let from = 4 * (TILE_PX - 1 - y) * TILE_PX
    let to = 4 * ((top + y) * image.width + left)
    for (let x = 0; x < width; x++, from += 4, to += 4) {
      const alpha = tile[from + 3]
      for (let c = 0; c < 3; c++) {
        const covered = tile[from + c]
        if (withBackground) image.data[to + c] = covered + (SURROUND * (255 - alpha)) / 255
        else image.data[to + c] = alpha === 0 ? 0 : (covered * 255) / alpha
      }
      image.data[to + 3] = withBackground ? 255 : alpha
    }
  }
}

async function encodePng(image: ImageData): Promise<Blob> {
  const canvas = document.createElement('canvas')
  canvas.width = image.width
  canvas.height = image.height
  const context = canvas.getContext('2d', { colorSpace: 'srgb' })
  if (!context) throw new ProblemError({ code: 'graphics/unavailable' })
  context.putImageData(image, 0, 0)
  return new Promise((resolve, reject) => {
    canvas.toBlob(
      blob => (blob ? resolve(blob) : reject(new ProblemError({ code: 'graphics/unavailable' }))),
      'image/png',
    )
  })
}
