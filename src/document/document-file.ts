import type { z } from 'zod'
import { fail, ok, type Result } from '../core/problem.ts'
import type { Recipe } from '../core/recipe/recipe.ts'
import type { GreycoatDocument } from './document.ts'
import { DOCUMENT_MIGRATIONS, type Migration, RECIPE_MIGRATIONS } from './document-migrations.ts'
import { documentSchema, recipeSchema } from './document-schema.ts'

export const DOCUMENT_FORMAT = 'greycoat-document'
export const RECIPE_FORMAT = 'greycoat-recipe'
export const DOCUMENT_VERSION = 1 + DOCUMENT_MIGRATIONS.length
export const RECIPE_VERSION = 1 + RECIPE_MIGRATIONS.length

/** Characters of text a saved file may have: a full document has a few ten thousand. */
const TEXT_LIMIT = 20_000_000

export const saveDocument = (document: GreycoatDocument): string =>
  `${JSON.stringify({ format: DOCUMENT_FORMAT, version: DOCUMENT_VERSION, document }, null, 2)}\n`

export const saveRecipe = (recipe: Recipe): string =>
  `${JSON.stringify({ format: RECIPE_FORMAT, version: RECIPE_VERSION, recipe }, null, 2)}\n`

/** Text from outside → a document to trust, or why not. Never throws, repairs nothing silently. */
export function openDocument(
  text: string,
  fileName: string,
  migrations: readonly Migration[] = DOCUMENT_MIGRATIONS,
): Result<GreycoatDocument> {
  const file = envelopeOf(text, fileName, [DOCUMENT_FORMAT])
  return file.ok ? bodyOf(file.value, fileName, 'document', migrations, documentSchema) : file
}

/** A recipe saved alone; of a whole document its recipe. */
export function openRecipe(
  text: string,
  fileName: string,
  migrations: readonly Migration[] = RECIPE_MIGRATIONS,
): Result<Recipe> {
  const file = envelopeOf(text, fileName, [RECIPE_FORMAT, DOCUMENT_FORMAT])
  if (!file.ok) return file
  if (file.value.format === RECIPE_FORMAT) return bodyOf(file.value, fileName, 'recipe', migrations, recipeSchema)
  const document = openDocument(text, fileName)
  return document.ok ? ok(document.value.recipe) : document
}

export type Saved =
  | { readonly kind: 'document'; readonly document: GreycoatDocument }
  | { readonly kind: 'recipe'; readonly recipe: Recipe }

/** Whichever of the two the file is. */
export function openSaved(text: string, fileName: string): Result<Saved> {
  const file = envelopeOf(text, fileName, [RECIPE_FORMAT, DOCUMENT_FORMAT])
  if (!file.ok) return file
  if (file.value.format === DOCUMENT_FORMAT) {
    const document = openDocument(text, fileName)
    return document.ok ? ok({ kind: 'document', document: document.value }) : document
  }
  const recipe = openRecipe(text, fileName)
  return recipe.ok ? ok({ kind: 'recipe', recipe: recipe.value }) : recipe
}

export interface Envelope {
  readonly format: string
  readonly version: unknown
  readonly content: Readonly<Record<string, unknown>>
}

export function envelopeOf(text: string, fileName: string, formats: readonly string[]): Result<Envelope> {
  if (text.length > TEXT_LIMIT)
    return fail({ code: 'file/too-large', fileName, found: text.length, limit: TEXT_LIMIT, what: 'bytes' })
  let content: unknown
  try {
    // Some editors put a byte-order mark in front.
    content = JSON.parse(text.replace(/^\uFEFF/, ''))
  } catch {
    return fail({ code: 'document/not-ours', fileName, detail: 'it is not JSON' })
  }
  if (typeof content !== 'object' || content === null || Array.isArray(content))
    return fail({ code: 'document/not-ours', fileName, detail: 'it holds no object' })
  const { format, version } = content as Record<string, unknown>
  if (typeof format !== 'string' || !formats.includes(format))
    return fail({ code: 'document/not-ours', fileName, detail: `its format is not ${formats.join(' or ')}` })
  return ok({ format, version, content: content as Record<string, unknown> })
}

export function bodyOf<T>(
  { version, content }: Envelope,
  fileName: string,
  key: 'document' | 'recipe' | 'task',
  migrations: readonly Migration[],
  schema: z.ZodType<T>,
): Result<T> {
  const supported = 1 + migrations.length
  const invalid = (path: string, detail: string) => fail({ code: 'document/invalid', fileName, path, detail })
  if (typeof version !== 'number' || !Number.isInteger(version) || version < 1)
    return invalid('version', 'expected a whole number from 1')
  if (version > supported) return fail({ code: 'document/newer', fileName, found: version, supported })

  let body = content[key]
  for (const migration of migrations.slice(version - 1)) {
    try {
      body = migration.up(body as never)
    } catch {
      return invalid(key, `cannot be brought up from version ${version}`)
    }
  }
  try {
    const checked = schema.safeParse(body)
    if (checked.success) return ok(checked.data)
    const [issue] = checked.error.issues
    return invalid([key, ...issue.path].map(String).join('.'), issue.message)
  } catch (thrown) {
    // Nesting deep enough to exhaust the stack.
    return invalid(key, thrown instanceof Error ? thrown.message : String(thrown))
  }
}
