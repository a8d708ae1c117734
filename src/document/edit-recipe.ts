import type {
  Coat,
  CoatId,
  Finish,
  Paint,
  PaintCoat,
  PaintId,
  PartId,
  PartState,
  Primer,
  Recipe,
} from '../core/recipe/recipe.ts'
import { torchSet } from '../core/recipe/torch-sets.ts'
import { AIRBRUSH_DEFAULTS, WHITE_PRESHADE } from '../core/spray/airbrush-settings.ts'
import { changes, copyTorches } from './edit-torches.ts'
import type { NextId } from './ids.ts'

export const EVEN_COAT_UM = 15

/**
 * A new coat on top. A sprayed one starts with the torches of the sprayed coat below it, the airbrush and the mix of the
 * nearest coat below; the first one is sprayed from front and back. Varnish goes on the whole figure.
 */
export function addCoat(
  recipe: Recipe,
  kind: Coat['kind'],
  paint: PaintId | undefined,
  nextId: NextId,
): { recipe: Recipe; id: CoatId } {
  const id = nextId('coat')
  if (kind === 'varnish') {
    const varnish: Coat = { kind, id, name: 'Varnish', hidden: false, parts: {}, finish: 'satin' }
    return { recipe: { ...recipe, coats: [...recipe.coats, varnish] }, id }
  }
  const below = recipe.coats.findLast((c): c is PaintCoat => c.kind !== 'varnish')
  const sprayedBelow = recipe.coats.findLast(c => c.kind === 'mist')
  const chosen = recipe.paints.find(p => p.id === paint) ?? recipe.paints.find(p => p.id === below?.paint)
  const used = chosen ?? recipe.paints[0]
  const base = {
    id,
    name: used?.name ?? '',
    hidden: false,
    paint: used?.id ?? recipe.primer.paint,
    mix: below?.mix ?? WHITE_PRESHADE.mix,
    parts: below?.parts ?? {},
  }
  const coat: Coat =
    kind === 'even'
      ? { ...base, kind, thicknessUm: EVEN_COAT_UM }
      : {
          ...base,
          kind,
          torches: sprayedBelow ? copyTorches(sprayedBelow.torches, nextId) : torchSet('front-and-back', nextId),
          airbrush: sprayedBelow?.airbrush ?? AIRBRUSH_DEFAULTS,
        }
  return { recipe: { ...recipe, coats: [...recipe.coats, coat] }, id }
}

/** The copy lies right on the coat. */
export function duplicateCoat(recipe: Recipe, id: CoatId, nextId: NextId): { recipe: Recipe; id: CoatId | null } {
  const index = recipe.coats.findIndex(c => c.id === id)
  if (index < 0) return { recipe, id: null }
  const original = recipe.coats[index]
  const copyId = nextId('coat')
  const named = { id: copyId, name: `${original.name} copy` }
  const copy: Coat =
    original.kind === 'mist'
      ? { ...original, ...named, torches: copyTorches(original.torches, nextId) }
      : { ...original, ...named }
  return { recipe: { ...recipe, coats: recipe.coats.toSpliced(index + 1, 0, copy) }, id: copyId }
}

/** Where the deleted coat ended the pre-shade, the coat below it does; with none below, the default rule decides. */
export function deleteCoat(recipe: Recipe, id: CoatId): Recipe {
  const index = recipe.coats.findIndex(c => c.id === id)
  if (index < 0) return recipe
  const preshadeEnd = recipe.preshadeEnd === id ? (recipe.coats[index - 1]?.id ?? null) : recipe.preshadeEnd
  return { ...recipe, preshadeEnd, coats: recipe.coats.toSpliced(index, 1) }
}

/** @param toIndex place among the coats afterwards, 0 at the bottom; clamped */
export function moveCoat(recipe: Recipe, id: CoatId, toIndex: number): Recipe {
  const from = recipe.coats.findIndex(c => c.id === id)
  if (from < 0 || !Number.isFinite(toIndex)) return recipe
  const to = Math.min(recipe.coats.length - 1, Math.max(0, Math.round(toIndex)))
  if (to === from) return recipe
  return { ...recipe, coats: recipe.coats.toSpliced(from, 1).toSpliced(to, 0, recipe.coats[from]) }
}

/** Changes a coat; one that comes back the same leaves the recipe the same. An unknown id changes nothing. */
export function changeCoat(recipe: Recipe, id: CoatId, change: (coat: Coat) => Coat): Recipe {
  const index = recipe.coats.findIndex(c => c.id === id)
  if (index < 0) return recipe
  const coat = change(recipe.coats[index])
  return coat === recipe.coats[index] ? recipe : { ...recipe, coats: recipe.coats.with(index, coat) }
}

/** The patched value, or the very same one where nothing changes. */
export const patched = <T extends object>(value: T, patch: Partial<T>): T =>
  changes(value, patch) ? { ...value, ...patch } : value

/** @param passes of every torch of the coat */
export const setPasses = (recipe: Recipe, id: CoatId, passes: number): Recipe =>
  changeCoat(recipe, id, coat =>
    coat.kind === 'mist' && coat.torches.some(t => t.passes !== passes)
      ? { ...coat, torches: coat.torches.map(t => ({ ...t, passes })) }
      : coat,
  )

/** 'on' is what a part is when nothing is said. */
export const setPartState = (recipe: Recipe, id: CoatId, part: PartId, state: PartState): Recipe =>
  changeCoat(recipe, id, coat => {
    if ((coat.parts[part] ?? 'on') === state) return coat
    const { [part]: _, ...others } = coat.parts
    return { ...coat, parts: state === 'on' ? others : { ...others, [part]: state } }
  })

export const setFinish = (recipe: Recipe, id: CoatId, finish: Finish): Recipe =>
  changeCoat(recipe, id, coat => (coat.kind === 'varnish' ? patched(coat, { finish }) : coat))

export function setPrimer(recipe: Recipe, patch: Partial<Primer>): Recipe {
  if (patch.paint !== undefined && !recipe.paints.some(p => p.id === patch.paint)) return recipe
  const primer = patched(recipe.primer, patch)
  return primer === recipe.primer ? recipe : { ...recipe, primer }
}

/** A paint with this id is replaced. */
export function addPaint(recipe: Recipe, paint: Paint): Recipe {
  const index = recipe.paints.findIndex(p => p.id === paint.id)
  if (recipe.paints[index] === paint) return recipe
  return { ...recipe, paints: index < 0 ? [...recipe.paints, paint] : recipe.paints.with(index, paint) }
}

export function setPreshadeEnd(recipe: Recipe, id: CoatId | null): Recipe {
  if (id === recipe.preshadeEnd || (id !== null && !recipe.coats.some(c => c.id === id))) return recipe
  return { ...recipe, preshadeEnd: id }
}
