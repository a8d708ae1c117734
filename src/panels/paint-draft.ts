import type { CgatsSample } from '../app/read-spectra.ts'
import { BANDS } from '../core/colour/bands.ts'
import { luminanceOfLStar } from '../core/colour/lab.ts'
import { colourText, parseColour } from '../core/colour/parse-colour.ts'
import { hexOf, type LinearRgb } from '../core/colour/srgb.ts'
import { opticsOfSwatches, type SwatchAnswer, swatchesOfColours, type TwoSwatches } from '../core/film/two-swatches.ts'
import type { Paint, PaintBody, SwatchColours } from '../core/recipe/recipe.ts'

/** What is being made in the paint editor: every way of saying what a paint is keeps what was entered in it. */
export interface PaintDraft {
  readonly name: string
  readonly volumeSolids: number
  readonly dropletUm: number
  readonly way: PaintWay
  readonly pigments: Extract<PaintBody, { kind: 'pigments' }>['pigments']
  readonly quick: {
    readonly hex: string
    readonly covering: Extract<PaintBody, { kind: 'quick' }>['covering'] | 'metal'
  }
  readonly swatches: SwatchTexts
  readonly measured: MeasuredSwatches
}

export type PaintWay = 'pigments' | 'quick' | 'swatches' | 'measured'

export type SwatchName = 'overBlack' | 'overWhite' | 'blackCard' | 'whiteCard'

/** As typed: hex or Lab. */
export type SwatchTexts = Readonly<Record<SwatchName, string>> & Pick<SwatchColours, 'thicknessUm'>

/** Spectra of a file, or K and S that were found from some before. */
export type MeasuredSwatches = Readonly<Record<SwatchName, CgatsSample | null>> & {
  readonly thicknessUm: number | null
  readonly kept: Extract<PaintBody, { kind: 'spectral' }> | null
  /** Everything in the file. */
  readonly samples: readonly CgatsSample[]
}

/** Dry film that a brush leaves in one coat; from memory, 15 to 30. What nobody measured is taken as this. */
export const ONE_COAT_UM = 20

/** Usual cards, luminance: matt black of value 28, white of value 95. */
const USUAL_CARDS = { blackCard: luminanceOfLStar(28), whiteCard: luminanceOfLStar(95) } as const
const greyText = (y: number) => hexOf(y, y, y)

export function draftOf(paint: Paint | null, usual: Paint): PaintDraft {
  const body = paint?.body
  const { swatches = null } = body?.kind === 'spectral' ? body : {}
  return {
    name: paint?.name ?? '',
    volumeSolids: paint?.volumeSolids ?? usual.volumeSolids,
    dropletUm: paint?.dropletUm ?? usual.dropletUm,
    way: wayOf(body),
    pigments: body?.kind === 'pigments' ? body.pigments : [{ ci: 'PW6', amount: 0.5 }],
    quick:
      body?.kind === 'quick'
        ? body
        : body?.kind === 'metallic'
          ? { hex: body.hex, covering: 'metal' }
          : { hex: '#5b7fa6', covering: 'half' },
    swatches: swatches
      ? {
          overBlack: colourText(swatches.overBlack),
          overWhite: colourText(swatches.overWhite),
          blackCard: colourText(swatches.blackCard),
          whiteCard: colourText(swatches.whiteCard),
          thicknessUm: swatches.thicknessUm,
        }
      : {
          overBlack: '',
          overWhite: '',
          blackCard: greyText(USUAL_CARDS.blackCard),
          whiteCard: greyText(USUAL_CARDS.whiteCard),
          thicknessUm: null,
        },
    measured: {
      overBlack: null,
      overWhite: null,
      blackCard: null,
      whiteCard: null,
      thicknessUm: null,
      kept: body?.kind === 'spectral' && !swatches ? body : null,
      samples: [],
    },
  }
}

function wayOf(body: PaintBody | undefined): PaintWay {
  if (!body || body.kind === 'metallic') return 'quick'
  if (body.kind === 'spectral') return body.swatches ? 'swatches' : 'measured'
  return body.kind
}

/** What was entered so far means this paint; null where something is missing. */
export interface DraftAnswer {
  readonly body: PaintBody | null
  /** What the two swatches tell, and with which readings. */
  readonly swatches: { readonly read: TwoSwatches; readonly answer: SwatchAnswer } | null
}

export function answerOf(draft: PaintDraft): DraftAnswer {
  switch (draft.way) {
    case 'pigments':
      return { body: { kind: 'pigments', pigments: draft.pigments }, swatches: null }
    case 'quick': {
      const colour = parseColour(draft.quick.hex)
      const { covering } = draft.quick
      if (!colour) return { body: null, swatches: null }
      const hex = hexOf(...colour)
      return {
        body: covering === 'metal' ? { kind: 'metallic', hex } : { kind: 'quick', hex, covering },
        swatches: null,
      }
    }
    case 'swatches': {
      const colours = coloursOf(draft.swatches)
      return colours
        ? spectralAnswer(swatchesOfColours(colours), 'two swatches', colours)
        : { body: null, swatches: null }
    }
    case 'measured': {
      const read = readingsOf(draft.measured)
      return read ? spectralAnswer(read, 'measured', null) : { body: draft.measured.kept, swatches: null }
    }
  }
}

function spectralAnswer(read: TwoSwatches, from: string, swatches: SwatchColours | null): DraftAnswer {
  const answer = opticsOfSwatches(read)
  // Without a thickness K and S count per film.
  const perUm = (values: Float64Array) => Array.from(values, v => (read.thicknessUm === null ? v / ONE_COAT_UM : v))
  const film = read.thicknessUm === null ? 'one coat' : `${Number(read.thicknessUm.toFixed(1))} µm`
  return {
    body: {
      kind: 'spectral',
      absorption: perUm(answer.optics.absorption),
      scattering: perUm(answer.optics.scattering),
      basis: `${from}, ${film}${answer.usable ? '' : ' · a guess'}`,
      swatches,
    },
    swatches: { read, answer },
  }
}

function coloursOf(texts: SwatchTexts): SwatchColours | null {
  const colours: Partial<Record<SwatchName, LinearRgb>> = {}
  for (const name of ['overBlack', 'overWhite', 'blackCard', 'whiteCard'] as const) {
    const colour = parseColour(texts[name])
    if (!colour) return null
    colours[name] = colour
  }
  return { ...(colours as Record<SwatchName, LinearRgb>), thicknessUm: texts.thicknessUm }
}

/** Of spectra: about what a meter errs by, and what upsampled colours do. */
const NOISE = { spectrum: 0.003, colour: 0.01 }

function readingsOf(measured: MeasuredSwatches): TwoSwatches | null {
  const { overBlack, overWhite, blackCard, whiteCard, thicknessUm } = measured
  if (!overBlack || !overWhite) return null
  const card = (name: keyof typeof USUAL_CARDS) =>
    measured[name]?.reflectance ?? Array.from({ length: BANDS }, () => USUAL_CARDS[name])
  const all = [overBlack, overWhite, blackCard, whiteCard]
  return {
    overBlack: overBlack.reflectance,
    overWhite: overWhite.reflectance,
    blackCard: card('blackCard'),
    whiteCard: card('whiteCard'),
    thicknessUm,
    noise: all.some(patch => patch?.basis === 'colour') ? NOISE.colour : NOISE.spectrum,
  }
}
