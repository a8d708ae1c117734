import { useDeferredValue, useMemo } from 'react'
import type { PaintTask } from '../app/app-state.ts'
import { PRIMER } from '../app/app-state.ts'
import { type ThicknessStrip, thicknessStrip } from '../core/chain/thickness-strip.ts'
import type { Paint, PaintCoat, Recipe } from '../core/recipe/recipe.ts'
import { useDocument } from '../ui/use-app.ts'
import { StripFigure, StripNumbers } from './thickness-strip.tsx'

/** The draft where it will be used: over black, over what lies under it, over white, and what it lets through. */
export function PaintPreview({ paint, onto }: { readonly paint: Paint | null; readonly onto: PaintTask['onto'] }) {
  const recipe = useDocument(d => d.recipe)
  const settled = useDeferredValue(paint)
  const strip = useMemo(() => settled && stripWith(settled, onto, recipe), [settled, onto, recipe])
  if (!strip) return <p className="quiet small">The paint shows here as soon as its colours are told.</p>
  return (
    <>
      <StripFigure strip={strip} large />
      <StripNumbers strip={strip} sprayed={recipe.coats.some(c => c.id === onto && c.kind === 'mist')} />
    </>
  )
}

/** A coat that has no torch yet is shown as this much. */
const UNPLANNED_UM = 5

function stripWith(paint: Paint, onto: PaintTask['onto'], recipe: Recipe): ThicknessStrip {
  const own: Recipe = { ...recipe, paints: [...recipe.paints.filter(p => p.id !== paint.id), paint] }
  const coat = recipe.coats.find(c => c.id === onto)
  if (!coat || coat.kind === 'varnish')
    return thicknessStrip(evenCoat(paint, recipe.primer.thicknessUm), { ...own, coats: [] })
  const strip = thicknessStrip({ ...coat, paint: paint.id }, own)
  return strip.plannedUm > 0 ? strip : thicknessStrip({ ...evenCoat(paint, UNPLANNED_UM), id: coat.id }, own)
}

const evenCoat = (paint: Paint, thicknessUm: number): PaintCoat => ({
  id: PRIMER,
  kind: 'even',
  name: '',
  hidden: false,
  paint: paint.id,
  mix: { paintDrops: 1, thinnerDrops: 0, mediumDrops: 0 },
  parts: {},
  thicknessUm,
})
