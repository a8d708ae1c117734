export interface Migration {
  /** What changed in the file, in the past tense. */
  readonly name: string
  /** Old shape in, new shape out. Pure, and knows nothing of the current types. A throw means a damaged file. */
  readonly up: (old: never) => unknown
}

/**
 * Entry i takes version i + 1 to version i + 2. Append only: what was released is never edited. For each there is a
 * frozen tests/fixtures/document-v{i + 1}.json that the build of that time wrote.
 */
export const DOCUMENT_MIGRATIONS: readonly Migration[] = [
  {
    name: 'named areas, lamps, beam shapes, drop sizes, a measured airbrush and what swatches were read',
    up: documentTo2,
  },
]

/** The same for recipes saved alone. */
export const RECIPE_MIGRATIONS: readonly Migration[] = [
  { name: 'beam shapes, drop sizes, a measured airbrush and what swatches were read', up: recipeTo2 },
]

type Old = Readonly<Record<string, unknown>>

function documentTo2(old: Old): unknown {
  const compare = old.compare as Old
  return {
    ...old,
    recipe: recipeTo2(old.recipe as Old),
    compare: compare.kind === 'recipe' ? { ...compare, recipe: recipeTo2(compare.recipe as Old) } : compare,
    illuminant: 'D65',
    panels: { names: {}, meantDark: [] },
  }
}

function recipeTo2(old: Old): unknown {
  const coats = (old.coats as Old[]).map(coat =>
    coat.kind === 'mist'
      ? { ...coat, torches: (coat.torches as Old[]).map(torch => ({ ...torch, pattern: 'gaussian' })) }
      : coat,
  )
  const paints = (old.paints as Old[]).map(paint => {
    const body = paint.body as Old
    return body.kind === 'spectral' ? { ...paint, body: { ...body, swatches: null } } : paint
  })
  return { ...old, coats, paints, dropMl: { paint: 0.04, thinner: 0.04, medium: 0.04 }, calibration: null }
}
