import type { Direction } from '../core/advice/dome.ts'
import { measureLight, seenWeights } from '../core/advice/light-measures.ts'
import { createViewMeter, SCAN_PIXELS, type ScanFields, type ViewMeter } from '../core/advice/view-measures.ts'
import type { Figure } from '../core/mesh/figure.ts'
import { rasterView } from '../core/reading/raster-view.ts'
import type { PartId, PartState } from '../core/recipe/recipe.ts'
import type { BakeKernel } from '../core/spray/bake-exposure.ts'
import type { DepthKernel } from '../core/spray/depth-kernel.ts'
import { partsKey } from '../core/spray/torch-field-key.ts'
import { directionFrom } from '../core/vec3.ts'
import { greyPicture } from './grey-picture.ts'
import type { GreyPicture, LightScan } from './protocol.ts'
import type { Handlers } from './serve-compute.ts'

/** A figure as a bake worker keeps it. */
export interface KeptFigure {
  readonly figure: Figure
  readonly depth: DepthKernel
  readonly kernel: BakeKernel
}

const PICTURE_PIXELS = 256
/** From afar, as scans look. */
const PICTURE_DISTANCE_MM = 2000

/** @param keptOf the figure with this id, or throws */
export function scanHandlers(
  keptOf: (figureId: string) => KeptFigure,
): Pick<Handlers<'bake'>, 'keepScanFields' | 'scanAngles' | 'scanLights' | 'lightPictures'> {
  let meter: { readonly figureId: string; readonly meter: ViewMeter } | null = null
  let seen: { readonly key: string; readonly weights: readonly Float32Array[] } | null = null

  const exposureOf = ({ kernel }: KeptFigure, light: Direction, partStates: Readonly<Record<PartId, PartState>>) => {
    const toward = directionFrom(light.azimuthDegrees, light.elevationDegrees)
    return kernel.bake(partStates, [{ kind: 'parallel', toward, weight: 1 }], { bufferSize: SCAN_PIXELS })
  }

  const weightsOf = ({ figureId, partStates, views }: LightScan): readonly Float32Array[] => {
    const key = JSON.stringify([partsKey(figureId, partStates), views])
    const { figure, kernel } = keptOf(figureId)
    if (seen?.key !== key) seen = { key, weights: views.map(view => seenWeights(figure, kernel, view, partStates)) }
    return seen.weights
  }

  return {
    keepScanFields({ figureId, fields }) {
      const { figure, depth, kernel } = keptOf(figureId)
      meter = { figureId, meter: createViewMeter(figure, fields, depth, kernel) }
      return { bytes: bytesOf(fields) }
    },

    async scanAngles({ figureId, directions, pixels }, { breathe }) {
      keptOf(figureId)
      if (meter?.figureId !== figureId) throw new Error(`no fields to scan figure ${figureId} with`)
      const measures = []
      for (const direction of directions) {
        measures.push(meter.meter.measure(direction, pixels))
        await breathe(measures.length / directions.length)
      }
      return { measures }
    },

    async scanLights(scan, { breathe }) {
      const kept = keptOf(scan.figureId)
      const weights = weightsOf(scan)
      const measures = []
      for (const light of scan.lights) {
        const exposure = exposureOf(kept, light, scan.partStates)
        measures.push(weights.map(seenFrom => measureLight(exposure, seenFrom)))
        await breathe(measures.length / scan.lights.length)
      }
      return { measures }
    },

    async lightPictures({ figureId, partStates, views: [view], lights }, { breathe }) {
      const kept = keptOf(figureId)
      const pictures: GreyPicture[] = []
      const raster = rasterView(kept.figure, { ...view, distanceMm: PICTURE_DISTANCE_MM, target: [0, 0.5, 0] }, 512)
      for (const light of lights) {
        pictures.push(greyPicture(kept.figure, raster, exposureOf(kept, light, partStates), PICTURE_PIXELS))
        await breathe(pictures.length / lights.length)
      }
      return { pictures }
    },
  }
}

const bytesOf = ({ saliency, preshadeLStar }: ScanFields): number =>
  (saliency?.byteLength ?? 0) + (preshadeLStar?.byteLength ?? 0)
