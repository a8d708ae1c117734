import type { Part } from '../core/mesh/figure.ts'
import { CAUTIONS_SHORT } from '../core/recipe/cautions.ts'
import { mixWords, pressureWords, wholeDrops } from '../core/recipe/coat-words.ts'
import type { Coat, Paint, Recipe, Torch } from '../core/recipe/recipe.ts'
import { distanceWords, HOURS_EXPLAINED, torchWords } from '../core/recipe/torch-words.ts'

/** A recipe as one reads it at the bench. */
export interface RecipeSheet {
  readonly title: string
  readonly notes: string
  readonly paints: readonly { readonly paint: Paint; readonly about: string }[]
  readonly steps: readonly SheetStep[]
  readonly batch: readonly string[]
  readonly cautions: readonly string[]
}

export interface SheetStep {
  readonly title: string
  readonly paint: Paint | undefined
  /** Name and value, in the order one needs them. */
  readonly facts: readonly (readonly [name: string, value: string])[]
  readonly torches: readonly string[]
}

/** Common practice, no source: thin coats of water-based paint at room temperature. */
const DRYING = { mist: '5 to 10 minutes between passes once it no longer looks wet', even: '20 to 30 minutes' }

export function recipeSheet(recipe: Recipe, parts: readonly Part[]): RecipeSheet {
  const coats = recipe.coats.filter(coat => !coat.hidden)
  const used = new Set([recipe.primer.paint, ...coats.map(coat => coat.paint)])
  return {
    title: recipe.name || 'Recipe',
    notes: recipe.notes,
    paints: recipe.paints.filter(paint => used.has(paint.id)).map(paint => ({ paint, about: madeOf(paint) })),
    steps: [primerStep(recipe), ...coats.map(coat => coatStep(coat, recipe, parts))],
    batch: [
      HOURS_EXPLAINED,
      'Mix enough for the whole squad in one cup, coat by coat.',
      'One pass on every figure, then round again: the first is dry when its turn comes, and all come out the same.',
      'Spray all fronts, then all backs; never change pressure, needle or distance in between.',
    ],
    cautions: CAUTIONS_SHORT,
  }
}

function primerStep(recipe: Recipe): SheetStep {
  const paint = recipe.paints.find(p => p.id === recipe.primer.paint)
  return {
    title: `${paint?.name ?? 'Any'} primer`,
    paint,
    facts: [
      ['All over', `${number(recipe.primer.thicknessUm)} µm dry, matt`],
      ['Drying', 'as the can says, best overnight'],
    ],
    torches: [],
  }
}

function coatStep(coat: Coat, recipe: Recipe, parts: readonly Part[]): SheetStep {
  const paint = recipe.paints.find(p => p.id === coat.paint)
  const facts: (readonly [string, string])[] = [['Drops', mixWords(wholeDrops(coat.mix))]]
  if (coat.kind === 'mist') {
    const { needleMm, pressureBar } = coat.airbrush
    facts.push(['Air', pressureWords(pressureBar)])
    facts.push(['Needle', `${number(needleMm, 2)} mm`])
  } else {
    facts.push(['All over', `${number(coat.thicknessUm, 1)} µm dry`])
  }
  for (const [state, words] of [
    ['absent', 'Left off'],
    ['apart', 'Sprayed apart'],
  ] as const) {
    const names = parts.filter(part => coat.parts[part.id] === state).map(part => part.name)
    if (names.length > 0) facts.push([words, names.join(', ')])
  }
  facts.push(['Drying', DRYING[coat.kind]])
  return {
    title: coat.name || paint?.name || 'Coat',
    paint,
    facts,
    torches: coat.kind === 'mist' ? coat.torches.filter(t => !t.muted).map(torchLine) : [],
  }
}

function torchLine(torch: Torch): string {
  const passes = `${number(torch.passes, 1)} ${torch.passes === 1 ? 'pass' : 'passes'}`
  return `${torch.name}: ${passes}, ${distanceWords(torch)}, ${torchWords(torch)}`
}

/** What a paint is made of, in as few words as tell it apart. */
export function madeOf({ body }: Paint): string {
  switch (body.kind) {
    case 'pigments':
      return body.pigments.map(p => p.ci).join(' + ') || 'clear'
    case 'quick':
      return `${COVERING_WORDS[body.covering]} · a guess`
    case 'spectral':
      return 'from your swatches'
  }
}

const COVERING_WORDS = { 'see-through': 'see-through', half: 'covers half', covers: 'covers' }

/** The same page as plain text. */
export function sheetText(sheet: RecipeSheet): string {
  const lines = [sheet.title, '='.repeat(sheet.title.length), '']
  if (sheet.notes) lines.push(sheet.notes, '')
  lines.push('Paints')
  for (const { paint, about } of sheet.paints) lines.push(`- ${paint.name} (${about})`)
  sheet.steps.forEach((step, index) => {
    lines.push('', `${index + 1}. ${step.title}${step.paint ? ` (${step.paint.name})` : ''}`)
    for (const [name, value] of step.facts) lines.push(`   ${name}: ${value}`)
    for (const torch of step.torches) lines.push(`   - ${torch}`)
  })
  lines.push('', 'A whole squad', ...sheet.batch.map(line => `- ${line}`))
  lines.push('', 'Cautions', ...sheet.cautions.map(line => `- ${line}`))
  return `${lines.join('\n')}\n`
}

const number = (value: number, digits = 0): string => value.toLocaleString('en-GB', { maximumFractionDigits: digits })
