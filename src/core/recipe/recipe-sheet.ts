import { preshadeEndIndex } from '../chain/preshade-end.ts'
import { paintOf } from '../film/coat-film.ts'
import { PIGMENTS } from '../film/pigment-curves.ts'
import type { Figure } from '../mesh/figure.ts'
import { buildFactorWords } from '../spray/calibrate-airbrush.ts'
import { type Caught, filmPerPassUm, paintUsed } from '../spray/film-per-pass.ts'
import { warningWords } from '../spray/spray-warning-words.ts'
import { sprayWarnings } from '../spray/spray-warnings.ts'
import { unreachable } from '../unreachable.ts'
import { CAUTIONS_SHORT } from './cautions.ts'
import { coatKindWords, FINISH_WORDS, mixWords, passesWords, pressureWords, wholeDrops } from './coat-words.ts'
import type {
  Coat,
  DropSizes,
  MistCoat,
  Mix,
  Paint,
  PaintCoat,
  PartState,
  Recipe,
  TorchId,
  VarnishCoat,
} from './recipe.ts'
import { distanceWords, HOURS_EXPLAINED, torchWords } from './torch-words.ts'

export interface RecipeSheetInput {
  readonly recipe: Recipe
  readonly figure: SheetFigure | null
  /** Figures to paint, 1 or more. */
  readonly squadSize: number
  /** Names of the views whose pictures stand on the page, as they are shown. */
  readonly views: readonly string[]
}

export interface SheetFigure extends Pick<Figure, 'heightMm' | 'box'> {
  readonly title: string
  /** With them, parts off are called by name; without, by id. */
  readonly parts?: readonly { readonly id: string; readonly name: string }[]
  /** With it, what lands is told. */
  readonly caught?: Readonly<Record<TorchId, Caught>>
}

/** A recipe on one page: plain data, words ready to print. Whatever is null or empty has nothing to say. */
export interface RecipeSheet {
  readonly title: string
  /** 'Sentinel, 32 mm high'. */
  readonly figure: string | null
  readonly squadSize: number
  readonly primer: {
    readonly paint: string
    readonly pigments: readonly string[]
    readonly thickness: string
    readonly drying: string
  }
  /** In the order they go on; hidden ones are left out. */
  readonly coats: readonly SheetCoat[]
  /** All sprayed coats; null without a figure. Even coats are brushed or dipped: their use is not known. */
  readonly use: SheetUse | null
  /** How to work through a squad. */
  readonly batch: string
  /** How to read the hours, where a torch names one. */
  readonly hours: string | null
  readonly views: readonly string[]
  readonly notes: string
  readonly cautions: readonly string[]
  /** What here is an estimate. */
  readonly provenance: string
}

export interface SheetCoat {
  readonly id: string
  /** 1 for the first over the primer. */
  readonly number: number
  readonly name: string
  /** 'sprayed', 'all over'. */
  readonly kind: string
  readonly endsPreshade: boolean
  readonly paint: string
  /** 'titanium white (PW6)'. */
  readonly pigments: readonly string[]
  /** Whole drops; null for varnish, which is thinned as its label says. */
  readonly drops: Mix | null
  readonly mix: string
  /** The same in millilitres. */
  readonly mixMl: string | null
  /** '25 psi (1.72 bar)'. */
  readonly pressure: string | null
  /** '0.4 mm'. */
  readonly needle: string | null
  /** '100 mm', '80 to 120 mm'. */
  readonly distance: string | null
  readonly passes: string | null
  readonly torches: readonly SheetTorch[]
  readonly partsOff: readonly string[]
  readonly partsApart: readonly string[]
  readonly build: string
  readonly drying: string
  readonly use: SheetUse | null
  /** What this paint in particular must not be used for. */
  readonly warning: string | null
  /** What is likely to go wrong as it is set, and what to ask first. */
  readonly heed: readonly string[]
}

export interface SheetTorch {
  readonly name: string
  readonly words: string
  readonly distance: string
  readonly passes: number
  /** Dry µm on a bare place that faces the torch at its aim point, all passes. */
  readonly buildUm: number
}

/** What leaves the nozzle. */
export interface SheetUse {
  readonly perFigure: UsedMl
  /** `perFigure` times the squad's size. */
  readonly squad: UsedMl
  /** 'of what leaves the nozzle, 14 % lands on the figure'; null while that is not known. */
  readonly landing: string | null
}

export interface UsedMl {
  readonly mixMl: number
  readonly paintMl: number
  readonly thinnerMl: number
  readonly mediumMl: number
  /** Trigger open. */
  readonly seconds: number
  /** Of the mix, what lands on the figure; null while not known. */
  readonly landsMl: number | null
}

/** Common practice, no source; warm dry air is quicker. Between passes 5 to 60 s are usual. */
const DRYING = {
  primer: 'a day before anything else',
  mist: '20 s between passes, 10 min before the next coat or masking',
  even: '30 min before the next coat',
  varnish: 'an hour before the next coat, a day before it is handled',
} as const

const PROVENANCE =
  'Millilitres and drying times are estimates: settings are common practice, films are computed from them. What stays in the cup and the cleaning come on top.'

/**
 * @throws Error when a coat's or the primer's paint is not in the recipe, or a pigment's name is unknown
 */
export function recipeSheet({ recipe, figure, squadSize, views }: RecipeSheetInput): RecipeSheet {
  const squad = Number.isFinite(squadSize) ? Math.max(1, Math.round(squadSize)) : 1
  const endsPreshade = preshadeEndIndex(recipe)
  const coats = recipe.coats
    .flatMap((coat, index) => (coat.hidden ? [] : [{ coat, ends: index === endsPreshade }]))
    .map(({ coat, ends }, i) => sheetCoat(coat, i + 1, ends, recipe, figure, squad))
  const primer = paintOf(recipe, recipe.primer.paint)
  const turned = coats.some(coat => coat.torches.some(torch => torch.words.includes('turned to')))
  return {
    title: recipe.name.trim() || 'Recipe',
    figure: figure ? `${figure.title}, ${rounded(figure.heightMm)} mm high` : null,
    squadSize: squad,
    primer: {
      paint: primer.name,
      pigments: pigmentWords(primer),
      thickness: `about ${rounded(recipe.primer.thicknessUm)} µm, so that it covers`,
      drying: DRYING.primer,
    },
    coats,
    use: figure
      ? totalUse(
          coats.map(coat => coat.use?.perFigure ?? NOTHING_USED),
          squad,
        )
      : null,
    batch:
      squad > 1
        ? 'One pass on every figure, then round again, 20 s at least between two passes on the same figure.'
        : 'One pass, let it dry, then the next; with more figures, one pass on every figure, then round again.',
    hours: turned ? HOURS_EXPLAINED : null,
    views,
    notes: recipe.notes.trim(),
    cautions: CAUTIONS_SHORT,
    provenance: `${buildFactorWords(recipe)} ${PROVENANCE}`,
  }
}

function sheetCoat(
  coat: Coat,
  number: number,
  endsPreshade: boolean,
  recipe: Recipe,
  figure: SheetFigure | null,
  squad: number,
): SheetCoat {
  const about = {
    id: coat.id,
    number,
    name: coat.name,
    kind: coatKindWords(coat),
    endsPreshade,
    partsOff: partsThatAre('absent', coat, figure),
    partsApart: partsThatAre('apart', coat, figure),
    drying: DRYING[coat.kind],
  }
  if (coat.kind === 'varnish') return { ...about, ...varnishWords(coat) }
  const paint = paintOf(recipe, coat.paint)
  const drops = wholeDrops(coat.mix)
  const all = {
    ...about,
    paint: paint.name,
    pigments: pigmentWords(paint),
    drops,
    mix: mixWords(drops),
    mixMl: usedWords(mixMl(drops, recipe.dropMl)),
    warning: warningOf(coat, paint),
    heed: sprayWarnings(recipe, coat, figure).map(warningWords),
  }
  switch (coat.kind) {
    case 'even':
      return {
        ...all,
        pressure: null,
        needle: null,
        distance: null,
        passes: null,
        torches: [],
        build: `about ${rounded(coat.thicknessUm)} µm, all over`,
        use: null,
      }
    case 'mist': {
      const torches = sprayingTorches(coat)
      const sheetTorches = torches.map(torch => ({
        name: torch.name,
        words: torchWords(torch),
        distance: distanceWords(torch),
        passes: torch.passes,
        buildUm: torch.passes * filmPerPassUm(torch, coat.airbrush, coat.mix, paint.volumeSolids, recipe.dropMl),
      }))
      return {
        ...all,
        pressure: pressureWords(coat.airbrush.pressureBar),
        needle: `${rounded(coat.airbrush.needleMm)} mm`,
        distance: rangeWords(
          torches.map(torch => Math.round(torch.distanceMm)),
          'mm',
        ),
        passes: passesWords(coat),
        torches: sheetTorches,
        build: buildWords(sheetTorches.map(torch => torch.buildUm)),
        use: figure
          ? totalUse(
              torches.map(torch =>
                paintUsed(torch, figure, coat.airbrush, coat.mix, recipe.dropMl, figure.caught?.[torch.id]),
              ),
              squad,
            )
          : null,
      }
    }
    default:
      return unreachable(coat)
  }
}

function varnishWords({ finish }: VarnishCoat) {
  return {
    paint: `${FINISH_WORDS[finish].name} varnish`,
    pigments: [],
    drops: null,
    mix: 'as its label says',
    mixMl: null,
    pressure: null,
    needle: null,
    distance: null,
    passes: null,
    torches: [],
    build: 'thin and closed, all over',
    use: null,
    heed: [],
    warning: 'Never spray clear coats of two parts at home: their hardener is isocyanate.',
  }
}

const sprayingTorches = (coat: MistCoat) => coat.torches.filter(torch => !torch.muted && torch.passes > 0)

function partsThatAre(state: PartState, coat: Coat, figure: SheetFigure | null): string[] {
  const named = Object.entries(coat.parts).filter(([, is]) => is === state)
  const parts = figure?.parts
  if (!parts) return named.map(([id]) => id)
  // States of parts that this figure does not have say nothing here.
  return named.flatMap(([id]) => parts.find(part => part.id === id)?.name ?? [])
}

function pigmentWords({ body }: Paint): string[] {
  switch (body.kind) {
    case 'pigments':
      return body.pigments
        .filter(({ amount }) => amount > 0)
        .map(({ ci }) => `${pigmentName(ci)} (${ci.split(' ')[0]})`)
    case 'quick':
      return [`one colour, ${body.hex}: a guess until two swatches replace it`]
    case 'metallic':
      return [`metal flakes, shown as ${body.hex}: an approximation`]
    case 'spectral':
      return [`a colour found from swatches: ${body.basis}`]
    default:
      return unreachable(body)
  }
}

function pigmentName(ci: string): string {
  const pigment = PIGMENTS.find(p => p.ci === ci)
  if (!pigment) throw new Error(`no pigment is called ${ci}`)
  return pigment.name
}

function warningOf(coat: PaintCoat, { body }: Paint): string | null {
  const cobalt = body.kind === 'pigments' && body.pigments.some(({ ci }) => pigmentName(ci).includes('cobalt'))
  return cobalt && coat.kind === 'mist'
    ? 'Contains a cobalt pigment, which should not be sprayed: choose another.'
    : null
}

const NOTHING_USED: UsedMl = { mixMl: 0, paintMl: 0, thinnerMl: 0, mediumMl: 0, seconds: 0, landsMl: 0 }

function totalUse(used: readonly UsedMl[], squad: number): SheetUse {
  const sum = (of: Exclude<keyof UsedMl, 'landsMl'>) => used.reduce((total, u) => total + u[of], 0)
  const lands = used.every(u => u.landsMl !== null) ? used.reduce((total, u) => total + (u.landsMl ?? 0), 0) : null
  const times = (n: number): UsedMl => ({
    mixMl: n * sum('mixMl'),
    paintMl: n * sum('paintMl'),
    thinnerMl: n * sum('thinnerMl'),
    mediumMl: n * sum('mediumMl'),
    seconds: n * sum('seconds'),
    landsMl: lands === null ? null : n * lands,
  })
  const landing = lands === null || sum('mixMl') === 0 ? null : landingWords(lands / sum('mixMl'))
  return { perFigure: times(1), squad: times(squad), landing }
}

const landingWords = (share: number): string =>
  `of what leaves the nozzle, ${share < 0.01 ? 'less than 1' : Math.round(100 * share)} % lands on the figure`

function buildWords(um: readonly number[]): string {
  if (um.length === 0) return 'nothing is sprayed'
  const [least, most] = [rounded(Math.min(...um)), rounded(Math.max(...um))]
  const range = least === most ? `${most}` : `${least} to ${most}`
  return `about ${range} µm where the surface faces a torch (estimate)`
}

function rangeWords(values: readonly number[], unit: string): string | null {
  if (values.length === 0) return null
  const [least, most] = [Math.min(...values), Math.max(...values)]
  return least === most ? `${most} ${unit}` : `${least} to ${most} ${unit}`
}

/** Two significant digits, whole from 10 up: no estimate here is worth more. */
const rounded = (value: number): number => (value >= 10 ? Math.round(value) : Number(value.toPrecision(2)))

/** '1.4 mL', 'less than 0.01 mL'. */
export const mlWords = (ml: number): string => (ml > 0 && ml < 0.01 ? 'less than 0.01 mL' : `${rounded(ml)} mL`)

/** What the drops of a mix hold. */
export const mixMl = (mix: Mix, dropMl: DropSizes): Pick<UsedMl, 'paintMl' | 'thinnerMl' | 'mediumMl'> => ({
  paintMl: mix.paintDrops * dropMl.paint,
  thinnerMl: mix.thinnerDrops * dropMl.thinner,
  mediumMl: mix.mediumDrops * dropMl.medium,
})

/** '0.33 mL paint + 1.3 mL thinner'. */
export function usedWords({
  paintMl,
  thinnerMl,
  mediumMl,
}: Pick<UsedMl, 'paintMl' | 'thinnerMl' | 'mediumMl'>): string {
  const words = [`${mlWords(paintMl)} paint`]
  if (thinnerMl > 0) words.push(`${mlWords(thinnerMl)} thinner`)
  if (mediumMl > 0) words.push(`${mlWords(mediumMl)} medium`)
  return words.join(' + ')
}

const COLUMNS = 80

/** The sheet as plain text to copy, no line longer than 80 characters. */
export function recipeSheetText(sheet: RecipeSheet): string {
  const lines = [
    ...wrapped(sheet.title.toUpperCase()),
    ...(sheet.figure ? wrapped(sheet.figure) : []),
    ...(sheet.squadSize > 1 ? wrapped(`For ${sheet.squadSize} figures`) : []),
    '',
    ...wrapped(`Primer: ${withPigments(sheet.primer)}, ${sheet.primer.thickness}`),
    ...wrapped(`Dry ${sheet.primer.drying}.`, '  '),
    ...sheet.coats.flatMap(coat => ['', ...coatLines(coat, sheet.squadSize)]),
    '',
    ...(sheet.use ? [...linesOfUse('All sprayed coats', sheet.use, sheet.squadSize, ''), ''] : []),
    ...wrapped(`Batch order: ${sheet.batch}`),
    ...(sheet.hours ? wrapped(sheet.hours) : []),
    ...(sheet.notes ? ['', 'Notes', ...sheet.notes.split('\n').flatMap(line => wrapped(line, '  '))] : []),
    '',
    'Before you spray',
    ...sheet.cautions.flatMap(caution => wrapped(caution, '  ', '- ')),
    '',
    ...wrapped(sheet.provenance),
  ]
  return `${lines.join('\n')}\n`
}

function coatLines(coat: SheetCoat, squadSize: number): string[] {
  const brush = [coat.pressure, coat.needle && `needle ${coat.needle}`, coat.distance && `from ${coat.distance}`]
  const lines = [
    ...wrapped(`${coat.number}. ${coat.name} (${coat.kind}${coat.endsPreshade ? '; ends the pre-shade' : ''})`),
    ...wrapped(`Paint: ${withPigments(coat)}`, '   '),
    ...wrapped(`Drops: ${coat.mix}${coat.mixMl ? ` (${coat.mixMl})` : ''}`, '   '),
  ]
  const set = brush.filter(Boolean).join(', ')
  if (set) lines.push(...wrapped(`Airbrush: ${set}`, '   '))
  if (coat.passes) lines.push(...wrapped(`Passes: ${coat.passes}`, '   '))
  for (const torch of coat.torches) {
    lines.push(...wrapped(`${torch.name}, ${torch.passes}×, ${torch.distance}: ${torch.words}`, '     ', '- '))
  }
  if (coat.partsOff.length > 0) lines.push(...wrapped(`Parts off: ${coat.partsOff.join(', ')}`, '   '))
  if (coat.partsApart.length > 0) lines.push(...wrapped(`Sprayed apart: ${coat.partsApart.join(', ')}`, '   '))
  lines.push(...wrapped(`Build: ${coat.build}`, '   '), ...wrapped(`Dry: ${coat.drying}`, '   '))
  if (coat.use) lines.push(...linesOfUse('Use', coat.use, squadSize, '   '))
  for (const sentence of coat.heed) lines.push(...wrapped(`! ${sentence}`, '   '))
  if (coat.warning) lines.push(...wrapped(`! ${coat.warning}`, '   '))
  return lines
}

function linesOfUse(what: string, use: SheetUse, squadSize: number, indent: string): string[] {
  const squad = squadSize > 1 ? `; for ${squadSize} figures ${usedWords(use.squad)}` : ''
  const landing = use.landing ? `; ${use.landing}` : ''
  return wrapped(`${what}: ${usedWords(use.perFigure)} a figure${squad}${landing}`, indent)
}

const withPigments = ({ paint, pigments }: Pick<SheetCoat, 'paint' | 'pigments'>): string =>
  pigments.length > 0 ? `${paint} of ${pigments.join(' + ')}` : paint

/** Breaks at spaces; words longer than a line are cut. The lead stands before the first line, as wide a gap before the rest. */
function wrapped(text: string, indent = '', lead = ''): string[] {
  const room = COLUMNS - indent.length - lead.length
  const lines: string[] = []
  let line = ''
  for (const word of text.split(/\s+/).filter(Boolean)) {
    if (line && line.length + 1 + word.length > room) {
      lines.push(line)
      line = word
    } else line = line ? `${line} ${word}` : word
    while (line.length > room) {
      lines.push(line.slice(0, room))
      line = line.slice(room)
    }
  }
  if (line) lines.push(line)
  return lines.map((l, i) => `${indent}${i === 0 ? lead : ' '.repeat(lead.length)}${l}`)
}
