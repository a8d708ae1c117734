import type { Coat, CoatId, MistCoat, Recipe, Torch, TorchId } from '../core/recipe/recipe.ts'
import type { TorchSetName } from '../core/recipe/torch-sets.ts'
import { mirrorOf, plainTorch, torchSet } from '../core/recipe/torch-sets.ts'
import type { NextId } from './ids.ts'

/** A torch and the coat it belongs to, or null where the id is unknown. */
export function findTorch(recipe: Recipe, id: TorchId): { readonly coat: MistCoat; readonly torch: Torch } | null {
  for (const coat of recipe.coats) {
    if (coat.kind !== 'mist') continue
    const torch = coat.torches.find(t => t.id === id)
    if (torch) return { coat, torch }
  }
  return null
}

/** The torch that moves with this one: linked in either direction. */
export const partnerOf = (torches: readonly Torch[], torch: Torch): Torch | null =>
  torches.find(t => t.id === torch.linkedTo) ?? torches.find(t => t.linkedTo === torch.id) ?? null

/** A linked torch follows its partner: everything of where and how it sprays, mirrored; name, mute and link stay its own. */
function followed(torch: Torch, partner: Torch): Torch {
  return { ...mirrorOf(partner), id: torch.id, name: torch.name, muted: torch.muted, linkedTo: torch.linkedTo }
}

export type TorchPatch = Partial<Omit<Torch, 'id'>>

/** Changes one torch; a linked one follows. An unknown id changes nothing. */
export function patchTorch(recipe: Recipe, id: TorchId, patch: TorchPatch): Recipe {
  const found = findTorch(recipe, id)
  if (!found || !changes(found.torch, patch)) return recipe
  const { linkedTo, ...rest } = patch
  const linked = linkedTo === undefined ? recipe : linkTorches(recipe, id, linkedTo)
  return mapTorches(linked, found.coat.id, torches => {
    const before = torches.find(t => t.id === id)!
    const after: Torch = { ...before, ...rest }
    const partner = partnerOf(torches, after)
    return torches.map(t => (t.id === id ? after : t.id === partner?.id ? followed(t, after) : t))
  })
}

/** Links two torches of one coat, the second follows the first at once; null unlinks. */
export function linkTorches(recipe: Recipe, id: TorchId, to: TorchId | null): Recipe {
  const found = findTorch(recipe, id)
  if (!found || to === id || (to !== null && !found.coat.torches.some(t => t.id === to))) return recipe
  return mapTorches(recipe, found.coat.id, torches => {
    const freed = torches.map(t => {
      const frees = t.id === id || t.id === to || t.linkedTo === id || (to !== null && t.linkedTo === to)
      return frees && t.linkedTo !== null ? { ...t, linkedTo: null } : t
    })
    if (to === null) return freed
    const source = freed.find(t => t.id === id)!
    return freed.map(t =>
      t.id === id ? { ...t, linkedTo: to } : t.id === to ? { ...followed(t, source), linkedTo: id } : t,
    )
  })
}

/** A torch in front, half way up, like the coat's last one where it has any. */
export function addTorch(recipe: Recipe, coatId: CoatId, nextId: NextId): { recipe: Recipe; id: TorchId | null } {
  const coat = recipe.coats.find(c => c.id === coatId)
  if (coat?.kind !== 'mist') return { recipe, id: null }
  const model = coat.torches.at(-1) ?? torchSet('overhead', nextId)[0]
  const id = nextId('torch')
  const torch: Torch = {
    ...model,
    id,
    name: `Torch ${coat.torches.length + 1}`,
    muted: false,
    azimuthDegrees: 0,
    elevationDegrees: 30,
    linkedTo: null,
  }
  return { recipe: mapTorches(recipe, coatId, torches => [...torches, torch]), id }
}

/** A further torch, after the others and numbered as they are. */
export const addTorchLike = (
  recipe: Recipe,
  coatId: CoatId,
  torch: Omit<Torch, 'id' | 'name'>,
  nextId: NextId,
): Recipe =>
  mapTorches(recipe, coatId, torches => [
    ...torches,
    { ...torch, id: nextId('torch'), name: `Torch ${torches.length + 1}` },
  ])

/** Replaces the coat's torches by a ready-made set. */
export const applyTorchSet = (recipe: Recipe, coatId: CoatId, set: TorchSetName, nextId: NextId): Recipe =>
  mapTorches(recipe, coatId, () => torchSet(set, nextId))

/** Where a torch is to stand: towards the nozzle, degrees. */
export interface TorchPlace {
  readonly name: string
  readonly azimuthDegrees: number
  readonly elevationDegrees: number
}

/** Replaces the coat's torches by ones at these places, else like its first: aimed half way up, sweeping the whole figure, not rolling. */
export const placeTorches = (recipe: Recipe, coatId: CoatId, places: readonly TorchPlace[], nextId: NextId): Recipe =>
  mapTorches(recipe, coatId, torches =>
    places.map(place => ({ ...plainTorch(torches[0]), ...place, id: nextId('torch') })),
  )

/** The copy stands right after the torch, unlinked. */
export function duplicateTorch(recipe: Recipe, id: TorchId, nextId: NextId): { recipe: Recipe; id: TorchId | null } {
  const found = findTorch(recipe, id)
  if (!found) return { recipe, id: null }
  const copy: Torch = { ...found.torch, id: nextId('torch'), name: `${found.torch.name} copy`, linkedTo: null }
  return {
    recipe: mapTorches(recipe, found.coat.id, torches => torches.flatMap(t => (t.id === id ? [t, copy] : [t]))),
    id: copy.id,
  }
}

/** The torch that was linked to it stays where it is, unlinked. */
export function deleteTorch(recipe: Recipe, id: TorchId): Recipe {
  const found = findTorch(recipe, id)
  if (!found) return recipe
  return mapTorches(recipe, found.coat.id, torches =>
    torches.filter(t => t.id !== id).map(t => (t.linkedTo === id ? { ...t, linkedTo: null } : t)),
  )
}

/** Copies with new ids; links among them are kept. */
export function copyTorches(torches: readonly Torch[], nextId: NextId): Torch[] {
  const ids = new Map(torches.map(t => [t.id, nextId('torch')]))
  return torches.map(t => ({
    ...t,
    id: ids.get(t.id)!,
    linkedTo: t.linkedTo === null ? null : (ids.get(t.linkedTo) ?? null),
  }))
}

/** Whether a patch would change anything, so that a command without effect leaves no undo step. */
export const changes = <T extends object>(value: T, patch: Partial<T>): boolean =>
  (Object.keys(patch) as (keyof T)[]).some(
    key => patch[key] !== value[key] && JSON.stringify(patch[key]) !== JSON.stringify(value[key]),
  )

function mapTorches(recipe: Recipe, coatId: CoatId, change: (torches: readonly Torch[]) => readonly Torch[]): Recipe {
  const mapped = (coat: Coat): Coat =>
    coat.id === coatId && coat.kind === 'mist' ? { ...coat, torches: change(coat.torches) } : coat
  return { ...recipe, coats: recipe.coats.map(mapped) }
}
