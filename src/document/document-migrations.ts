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
export const DOCUMENT_MIGRATIONS: readonly Migration[] = []

/** The same for recipes saved alone. */
export const RECIPE_MIGRATIONS: readonly Migration[] = []
