import type { Figure } from '../core/mesh/figure.ts'
import { firstHit, partOf } from './first-hit.ts'
import { placeholderLayers, placeholderLook, placeholderReading } from './placeholder-chain.ts'
import type { FieldKey, SideName } from './protocol.ts'
import type { Handlers } from './serve-compute.ts'

export function paintHandlers(): Handlers<'paint'> {
  let figure: Figure | null = null
  const fields = new Map<FieldKey, Float32Array>()
  const sides = new Map<SideName, Float32Array>()

  const kept = (figureId: string): Figure => {
    if (figure?.id !== figureId) throw new Error(`figure ${figureId} is not the one kept here`)
    return figure
  }

  return {
    keepFigure({ figure: next }) {
      figure = next
      fields.clear()
      sides.clear()
      return { bytes: next.positions.byteLength + next.normals.byteLength + next.triangles.byteLength }
    },

    keepField({ figureId, key, shares }) {
      kept(figureId)
      const [sum, ...others] = shares
      for (const share of others) for (let v = 0; v < sum.length; v++) sum[v] += share[v]
      fields.set(key, sum)
      return { bytes: sum.byteLength }
    },

    dropFields({ keys }) {
      for (const key of keys) fields.delete(key)
      return { dropped: keys.length }
    },

    paint({ figureId, side, recipe }) {
      const { linearRgb, depositMaxUm } = placeholderLook(kept(figureId), recipe, key => fields.get(key) ?? null)
      sides.set(side, linearRgb.slice())
      return { linearRgb, depositMaxUm }
    },

    read({ figureId, sides: asked }) {
      kept(figureId)
      const of = (side: SideName) => {
        const colours = asked.includes(side) ? sides.get(side) : undefined
        return colours ? placeholderReading(colours) : null
      }
      return { main: of('main'), other: of('other'), meanDeltaE: null }
    },

    layersAt({ figureId, side, origin, direction }) {
      const now = kept(figureId)
      const hit = firstHit(now, origin, direction)
      if (!hit || !sides.has(side)) return null
      return { partId: partOf(now, hit.triangle).id, layers: placeholderLayers() }
    },

    exportGlb() {
      throw new Error('not yet')
    },
  }
}
