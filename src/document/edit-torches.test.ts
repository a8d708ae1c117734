import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { MistCoat, Recipe, Torch } from '../core/recipe/recipe.ts'
import { defaultDocument } from './default-document.ts'
import { recipeSchema } from './document-schema.ts'
import { addCoat, deleteCoat, duplicateCoat, moveCoat, setPartState, setPasses, setPreshadeEnd } from './edit-recipe.ts'
import {
  addTorch,
  applyTorchSet,
  deleteTorch,
  duplicateTorch,
  findTorch,
  linkTorches,
  partnerOf,
  patchTorch,
} from './edit-torches.ts'
import { nextIdAfter } from './ids.ts'

const demo = defaultDocument().recipe
const sprayed = (recipe: Recipe) => recipe.coats.filter((c): c is MistCoat => c.kind === 'mist')
const coatId = sprayed(demo)[0].id
/** One sprayed coat with a linked pair. */
const paired = applyTorchSet(demo, coatId, 'front-and-back', nextIdAfter(demo))
const torchesOf = (recipe: Recipe, id = coatId): readonly Torch[] => sprayed(recipe).find(c => c.id === id)!.torches
const [front, back] = torchesOf(paired)
const turnsApart = (a: Torch, b: Torch) => (((b.azimuthDegrees - a.azimuthDegrees) % 360) + 360) % 360

describe('linked torches', () => {
  test('front and back come linked, half a turn apart', () => {
    expect(partnerOf(torchesOf(paired), front)?.id).toBe(back.id)
    expect(partnerOf(torchesOf(paired), back)?.id).toBe(front.id)
    expect(turnsApart(front, back)).toBeCloseTo(180, 9)
  })

  test.each([
    ['the first', front.id, back.id],
    ['the second', back.id, front.id],
  ])('moving %s moves the other', (_, moved, other) => {
    const patch = {
      azimuthDegrees: 17,
      elevationDegrees: 61,
      distanceMm: 93,
      spread: 0.061,
      rollDegrees: 12,
      passes: 5,
    }
    const torches = torchesOf(patchTorch(paired, moved, patch))
    const a = torches.find(t => t.id === moved)!
    const b = torches.find(t => t.id === other)!
    expect(a).toMatchObject(patch)
    expect(turnsApart(a, b)).toBeCloseTo(180, 9)
    const { azimuthDegrees: _a, ...same } = patch
    expect(b).toMatchObject(same)
  })

  test('name and mute stay their own', () => {
    const torches = torchesOf(patchTorch(paired, front.id, { name: 'mine', muted: true }))
    expect(torches.find(t => t.id === back.id)).toMatchObject({ name: back.name, muted: false })
  })

  test('unlinked from either end, neither follows the other', () => {
    for (const end of [front.id, back.id]) {
      const apart = linkTorches(paired, end, null)
      const torches = torchesOf(patchTorch(apart, front.id, { elevationDegrees: 77 }))
      expect(torches.map(t => t.linkedTo)).toEqual([null, null])
      expect(torches.find(t => t.id === back.id)!.elevationDegrees).toBe(back.elevationDegrees)
    }
  })

  test('linking pulls the second to the first, and frees the one it was linked to', () => {
    const { recipe, id } = addTorch(paired, coatId, nextIdAfter(paired))
    const turned = patchTorch(recipe, id!, { azimuthDegrees: 40, elevationDegrees: 20 })
    const linked = torchesOf(linkTorches(turned, id!, front.id))
    const third = linked.find(t => t.id === id)!
    const first = linked.find(t => t.id === front.id)!
    expect(turnsApart(third, first)).toBeCloseTo(180, 9)
    expect(first.elevationDegrees).toBe(20)
    expect(linked.find(t => t.id === back.id)).toMatchObject({
      linkedTo: null,
      elevationDegrees: back.elevationDegrees,
    })
  })

  test('deleting one unlinks the other', () => {
    expect(torchesOf(deleteTorch(paired, front.id))).toMatchObject([{ id: back.id, linkedTo: null }])
  })
})

describe('coats', () => {
  test('a new sprayed coat starts with the torches of the sprayed coat below it, under new ids', () => {
    const moved = patchTorch(paired, front.id, { azimuthDegrees: 29 })
    const { recipe, id } = addCoat(moved, 'mist', undefined, nextIdAfter(moved))
    const placed = (t: Torch) => ({ ...t, id: '', linkedTo: '' })
    const below = torchesOf(moved, sprayed(moved).at(-1)!.id)
    const added = torchesOf(recipe, id)
    expect(added.map(placed)).toEqual(below.map(placed))
    expect(new Set([...added, ...below].map(t => t.id)).size).toBe(2 * below.length)
  })

  test('a copy keeps its own links', () => {
    const { recipe, id } = duplicateCoat(paired, coatId, nextIdAfter(paired))
    const [a, b] = torchesOf(recipe, id!)
    expect([a.linkedTo, b.linkedTo]).toEqual([b.id, a.id])
    expect(recipe.coats.findIndex(c => c.id === id)).toBe(recipe.coats.findIndex(c => c.id === coatId) + 1)
  })

  test('the pre-shade ends at the coat below when its last coat is deleted', () => {
    const { recipe, id } = duplicateCoat(paired, coatId, nextIdAfter(paired))
    expect(deleteCoat(setPreshadeEnd(recipe, id!), id!).preshadeEnd).toBe(coatId)
  })

  test('a part that is on again is no longer listed', () => {
    const off = setPartState(demo, coatId, 'helmet', 'apart')
    expect(off.coats.find(c => c.id === coatId)!.parts).toEqual({ helmet: 'apart' })
    expect(setPartState(off, coatId, 'helmet', 'on').coats.find(c => c.id === coatId)!.parts).toEqual({})
  })

  test('passes go to every torch', () => {
    expect(torchesOf(setPasses(paired, coatId, 7)).map(t => t.passes)).toEqual([7, 7])
  })
})

test('whatever is edited, the recipe stays one that opens again: no id is used twice, none dangles', () => {
  const pick = <T>(list: readonly T[], at: number): T | undefined => list[at % Math.max(1, list.length)]
  const edits: readonly ((r: Recipe, i: number, j: number) => Recipe)[] = [
    r => addCoat(r, 'mist', undefined, nextIdAfter(r)).recipe,
    r => addCoat(r, 'even', r.paints.at(-1)!.id, nextIdAfter(r)).recipe,
    (r, i) => duplicateCoat(r, pick(r.coats, i)?.id ?? '', nextIdAfter(r)).recipe,
    (r, i) => deleteCoat(r, pick(r.coats, i)?.id ?? ''),
    (r, i, j) => moveCoat(r, pick(r.coats, i)?.id ?? '', j),
    (r, i) => setPreshadeEnd(r, pick(r.coats, i)?.id ?? null),
    (r, i) => addTorch(r, pick(r.coats, i)?.id ?? '', nextIdAfter(r)).recipe,
    (r, i, j) => duplicateTorch(r, anyTorch(r, i, j)?.id ?? '', nextIdAfter(r)).recipe,
    (r, i, j) => deleteTorch(r, anyTorch(r, i, j)?.id ?? ''),
    (r, i, j) => linkTorches(r, anyTorch(r, i, j)?.id ?? '', anyTorch(r, i, j + 1)?.id ?? null),
    (r, i, j) =>
      patchTorch(r, anyTorch(r, i, j)?.id ?? '', {
        azimuthDegrees: 10 * i,
        linkedTo: anyTorch(r, i, j + 1)?.id ?? null,
      }),
    (r, i) => applyTorchSet(r, pick(r.coats, i)?.id ?? '', 'ring', nextIdAfter(r)),
  ]
  const anyTorch = (r: Recipe, i: number, j: number) => pick(pick(sprayed(r), i)?.torches ?? [], j)
  fc.assert(
    fc.property(fc.array(fc.tuple(fc.nat(edits.length - 1), fc.nat(6), fc.nat(6)), { maxLength: 25 }), steps => {
      const end = steps.reduce((r, [which, i, j]) => edits[which](r, i, j), demo)
      const { error } = recipeSchema.safeParse(end)
      expect(error?.issues ?? []).toEqual([])
      for (const { torches } of sprayed(end))
        for (const t of torches) if (t.linkedTo) expect(findTorch(end, t.linkedTo)?.torch.linkedTo).toBe(t.id)
    }),
    { seed: 2613, numRuns: 300 },
  )
})
