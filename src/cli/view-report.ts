import type { FigureLook } from '../core/chain/look.ts'
import type { Figure } from '../core/mesh/figure.ts'
import { rasterView } from '../core/reading/raster-view.ts'
import { type ExposureThresholds, readView } from '../core/reading/read-view.ts'
import type { ViewReading } from '../core/reading/reading.ts'
import type { NamedView } from '../document/document.ts'
import { NAMED_VIEWS } from '../document/named-views.ts'

/** 5th and 95th percentile of L* over what is seen, and their difference. */
export interface ValueRange {
  readonly from: number
  readonly to: number
  readonly contrast: number
}

/** A view's line of the report; null where nothing is seen. */
export interface ViewReport {
  readonly preshade: ValueRange | null
  readonly result: ValueRange
  readonly contrastLeft: number | null
  readonly light: number
  readonly mid: number
  readonly dark: number
}

export function reportViews(
  figure: Figure,
  look: FigureLook,
  thresholds: ExposureThresholds,
): { readonly [V in NamedView]: ViewReport | null } {
  const report = (view: NamedView): ViewReport | null => {
    const raster = rasterView(figure, NAMED_VIEWS[view])
    const result = readView(raster, figure, look, thresholds)
    if (!result) return null
    const { preshadeRgb, directExposure } = look
    const preshade =
      preshadeRgb && readView(raster, figure, { linearRgb: preshadeRgb, preshadeRgb: null, directExposure }, thresholds)
    const { contrastLeft, light, mid, dark } = result
    return { preshade: preshade && rangeOf(preshade), result: rangeOf(result), contrastLeft, light, mid, dark }
  }
  return {
    table: report('table'),
    hand: report('hand'),
    shelf: report('shelf'),
    underneath: report('underneath'),
    front: report('front'),
    back: report('back'),
    left: report('left'),
    right: report('right'),
  }
}

const rangeOf = ({ valueFrom, valueTo, contrast }: ViewReading): ValueRange => ({
  from: valueFrom,
  to: valueTo,
  contrast,
})
