import type { Recipe, Torch } from '../core/recipe/recipe.ts'
import type { TorchSetName } from '../core/recipe/torch-sets.ts'
import { WHITE_PRESHADE } from '../core/spray/airbrush-settings.ts'

export const mirrorOf = (torch: Torch): Torch => ({
  ...torch,
  azimuthDegrees: torch.azimuthDegrees + 180,
  aim: [-torch.aim[0], torch.aim[1], -torch.aim[2]],
})

export function torchSet(name: TorchSetName, nextId: (prefix: string) => string): Torch[] {
  const torch = (label: string, azimuthDegrees: number, elevationDegrees: number, rollDegrees: number): Torch => ({
    id: nextId('torch'),
    name: label,
    muted: false,
    aim: [0, 0.5, 0],
    azimuthDegrees,
    elevationDegrees,
    distanceMm: 100,
    spread: 0.075,
    rollDegrees,
    sweep: { kind: 'figure' },
    passes: 3,
    linkedTo: null,
  })
  if (name === 'overhead') return [torch('Above', 0, 90, 0)]
  const front = torch('Front', 0, 35, 45)
  const back = torch('Back', 180, 35, 45)
  return [
    { ...front, linkedTo: back.id },
    { ...back, linkedTo: front.id },
  ]
}

export function demoRecipe(): Recipe {
  let n = 0
  const pigment = (id: string, name: string, ci: string) => ({
    id,
    name,
    volumeSolids: 0.3,
    dropletUm: 8,
    body: { kind: 'pigments' as const, pigments: [{ ci, amount: 0.2 }] },
  })
  return {
    name: 'Demo',
    primer: { paint: 'paint_1', thicknessUm: 20 },
    coats: [
      {
        id: 'coat_1',
        name: 'Pre-shade',
        kind: 'mist',
        hidden: false,
        paint: 'paint_2',
        mix: WHITE_PRESHADE.mix,
        parts: {},
        torches: torchSet('front-and-back', prefix => `${prefix}_${++n}`),
        airbrush: WHITE_PRESHADE.airbrush,
      },
      {
        id: 'coat_2',
        name: 'Blue',
        kind: 'even',
        hidden: false,
        paint: 'paint_3',
        mix: { paintDrops: 1, thinnerDrops: 3, mediumDrops: 0 },
        parts: {},
        thicknessUm: 6,
      },
    ],
    preshadeEnd: null,
    paints: [
      pigment('paint_1', 'Black', 'PBk7'),
      pigment('paint_2', 'White', 'PW6'),
      pigment('paint_3', 'Ultramarine', 'PB29'),
    ],
    notes: '',
  }
}
