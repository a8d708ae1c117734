import type { Recipe, Torch } from './recipe.ts'

/** The recipe as the figure meets it after it was turned by so many degrees to its left under torches that stay. */
export const turnedRecipe = (recipe: Recipe, degrees: number): Recipe => ({
  ...recipe,
  coats: recipe.coats.map(coat =>
    coat.kind === 'mist' ? { ...coat, torches: coat.torches.map(torch => turnedTorch(torch, degrees)) } : coat,
  ),
})

function turnedTorch(torch: Torch, degrees: number): Torch {
  const angle = (-degrees * Math.PI) / 180
  const [x, y, z] = torch.aim
  return {
    ...torch,
    azimuthDegrees: torch.azimuthDegrees - degrees,
    aim: [x * Math.cos(angle) + z * Math.sin(angle), y, z * Math.cos(angle) - x * Math.sin(angle)],
  }
}
