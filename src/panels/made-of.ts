import type { Paint } from '../core/recipe/recipe.ts'

/** What a paint is made of, in as few words as tell it apart. */
export function madeOf({ body }: Paint): string {
  switch (body.kind) {
    case 'pigments':
      return body.pigments.map(p => p.ci).join(' + ') || 'clear'
    case 'quick':
      return `${COVERING_WORDS[body.covering]} · a guess`
    case 'metallic':
      return 'metal flakes · an approximation'
    case 'spectral':
      return body.basis || 'from swatches'
  }
}

const COVERING_WORDS = { 'see-through': 'see-through', half: 'covers half', covers: 'covers' }
