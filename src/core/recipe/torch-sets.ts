import type { Torch } from './recipe.ts'

/** Ready-made sets of torches, each sweeping the whole figure. */
export type TorchSetName = 'overhead' | 'front-and-back' | 'three-quarter' | 'ring'

interface Place {
  readonly name: string
  readonly azimuthDegrees: number
  readonly elevationDegrees: number
  readonly rollDegrees: number
}

const PLACES: { readonly [Name in TorchSetName]: readonly Place[] } = {
  overhead: [{ name: 'Overhead', azimuthDegrees: 0, elevationDegrees: 90, rollDegrees: 0 }],
  // With the roll a flank gets tan 22.5° = 0.41 of the front; without it, nothing.
  'front-and-back': [
    { name: 'Front', azimuthDegrees: 0, elevationDegrees: 45, rollDegrees: 45 },
    { name: 'Back', azimuthDegrees: 180, elevationDegrees: 45, rollDegrees: 45 },
  ],
  'three-quarter': [
    { name: 'Front left', azimuthDegrees: 40, elevationDegrees: 50, rollDegrees: 15 },
    { name: 'Back right', azimuthDegrees: 220, elevationDegrees: 50, rollDegrees: 15 },
  ],
  ring: [0, 72, 144, 216, 288].map((azimuthDegrees, i) => ({
    name: `Ring ${i + 1}`,
    azimuthDegrees,
    elevationDegrees: 40,
    rollDegrees: 0,
  })),
}

/** Sets of two stand opposite one another and stay linked: what one does, the other mirrors. */
export function torchSet(name: TorchSetName, nextId: (prefix: string) => string): Torch[] {
  const torches = PLACES[name].map(place => ({ ...TORCH_DEFAULTS, ...place, id: nextId('torch') }))
  if (torches.length !== 2) return torches
  return [
    { ...torches[0], linkedTo: torches[1].id },
    { ...torches[1], linkedTo: torches[0].id },
  ]
}

/** A torch half way up the figure, 100 mm away. Distance and spread: common practice, from memory. */
export const TORCH_DEFAULTS: Omit<Torch, 'id'> = {
  name: 'Torch',
  muted: false,
  aim: [0, 0.5, 0],
  azimuthDegrees: 0,
  elevationDegrees: 45,
  distanceMm: 100,
  pattern: 'gaussian',
  spread: 0.075,
  rollDegrees: 0,
  sweep: { kind: 'figure' },
  passes: 4,
  linkedTo: null,
}

/** The same torch from the opposite side of the figure. Id, name and links are the caller's. */
export const mirrorOf = (torch: Torch): Torch => ({
  ...torch,
  azimuthDegrees: (((torch.azimuthDegrees + 180) % 360) + 360) % 360,
  aim: [-torch.aim[0], torch.aim[1], -torch.aim[2]],
})

/** A torch that sweeps the whole figure from one place, without roll, for a coat whose first torch is `like`. */
export function plainTorch(like: Torch | undefined): Omit<Torch, 'id'> {
  const { aim, sweep, rollDegrees, linkedTo, muted } = TORCH_DEFAULTS
  return { ...(like ?? TORCH_DEFAULTS), aim, sweep, rollDegrees, linkedTo, muted }
}
