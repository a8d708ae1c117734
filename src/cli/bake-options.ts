import { parseArgs } from 'node:util'
import type { Axis, LengthUnit } from '../core/mesh/file-mesh.ts'

export interface BakeOptions {
  /** A path, or the name of a built-in figure. */
  readonly figure: string
  /** Path of a saved recipe or document; null: the demo recipe. */
  readonly recipe: string | null
  readonly out: string
  readonly unit: LengthUnit | null
  readonly up: Axis | null
  readonly front: Axis | null
  readonly heightMm: number | null
  /** Whether the shape of the surface is written too, vertex by vertex. */
  readonly surface: boolean
}

/** What was typed cannot be done; the message is one sentence for whoever typed it. */
export class UsageError extends Error {
  constructor(sentence: string) {
    super(sentence)
    this.name = 'UsageError'
  }
}

export const HELP = `Usage: npm run bake -- FIGURE --out DIR [options]

Computes what a recipe leaves on a figure and writes it to DIR:
  figure.glb    the figure in metres, one node a part, paint in COLOR_0 (linear)
  fields.ply    every vertex in mm with exposure_<torch>, deposit_<coat> in µm and sRGB bytes
  report.json   counts, times in ms, what was repaired, how it reads from each named view, where the paint goes

FIGURE          an STL, OBJ, PLY, GLB, glTF or 3MF file, or a built-in figure: see models/figures.json

Options
  --recipe FILE   a saved recipe, or a document whose recipe is meant (default: the demo recipe)
  --out DIR       where to write; made if it is not there
  --unit UNIT     what one unit of the file is: mm, cm, m, in, ft or µm (default: a guess)
  --up AXIS       the file's axis that points up: +x -x +y -y +z -z (default: a guess)
  --front AXIS    the file's axis that the figure looks along (default: a guess)
  --height MM     height of the figure in mm; goes before --unit
  --surface       fields.ply also tells the shape at every vertex, parts together: openness (0 to 1),
                  accessibility_mm (radius of the largest ball that touches there, at most 5) and
                  edge_per_mm (mean curvature over 0.25 mm: positive on edges, negative in folds)
  --help          this text

Progress goes to stderr. Exit: 0 done, 2 bad input (one sentence on stderr), 1 a fault of the program.
`

/** @returns 'help' when that was asked for. @throws UsageError */
export function parseBakeOptions(argv: readonly string[]): BakeOptions | 'help' {
  const { values, positionals } = parsed(argv)
  if (values.help) return 'help'
  const [figure, ...more] = positionals
  if (figure === undefined)
    throw new UsageError('No figure was named: give a mesh file or a built-in figure, or --help.')
  if (more.length > 0) throw new UsageError(`One figure at a time: ${more[0]} is one too many.`)
  if (!values.out) throw new UsageError('Nowhere to write: give --out DIR.')
  return {
    figure,
    recipe: values.recipe ?? null,
    out: values.out,
    unit: values.unit === undefined ? null : unitOf(values.unit),
    up: values.up === undefined ? null : axisOf('up', values.up),
    front: values.front === undefined ? null : axisOf('front', values.front),
    heightMm: values.height === undefined ? null : heightOf(values.height),
    surface: values.surface ?? false,
  }
}

function parsed(argv: readonly string[]) {
  const text = { type: 'string' } as const
  try {
    return parseArgs({
      args: withAxesJoined(argv),
      allowPositionals: true,
      options: {
        recipe: text,
        out: text,
        unit: text,
        up: text,
        front: text,
        height: text,
        surface: { type: 'boolean' },
        help: { type: 'boolean', short: 'h' },
      },
    })
  } catch (thrown) {
    // Node's own first sentence names the option.
    const [first] = (thrown instanceof Error ? thrown.message : String(thrown)).split(/\.\s|\n/)
    throw new UsageError(`${first.replace(/\.$/, '')}; --help lists the options.`)
  }
}

/** '--up -z' would read as an option z. */
function withAxesJoined(argv: readonly string[]): string[] {
  const args: string[] = []
  for (let i = 0; i < argv.length; i++) {
    const next = argv[i + 1]
    const joins = /^--(up|front)$/.test(argv[i]) && next !== undefined && /^-[xyz]$/i.test(next)
    args.push(joins ? `${argv[i]}=${next}` : argv[i])
    if (joins) i++
  }
  return args
}

const UNITS: Readonly<Record<string, LengthUnit>> = {
  mm: 'mm',
  cm: 'cm',
  m: 'm',
  in: 'in',
  ft: 'ft',
  µm: 'µm',
  // The Greek letter looks the same, and not every keyboard has either.
  μm: 'µm',
  um: 'µm',
}

function unitOf(text: string): LengthUnit {
  if (Object.hasOwn(UNITS, text)) return UNITS[text]
  throw new UsageError(`--unit ${text} is not known: use mm, cm, m, in, ft or µm.`)
}

function axisOf(option: string, text: string): Axis {
  const [, sign, letter] = /^([+-]?)([xyz])$/i.exec(text) ?? []
  if (letter) return `${sign || '+'}${letter.toLowerCase()}` as Axis
  throw new UsageError(`--${option} ${text} is no axis: use +x, -x, +y, -y, +z or -z.`)
}

/** Ten metres: beyond that it was meant in another unit. */
const HIGHEST_MM = 10_000

function heightOf(text: string): number {
  const mm = Number(text)
  if (text.trim() !== '' && mm > 0 && mm <= HIGHEST_MM) return mm
  throw new UsageError(`--height ${text} is no height: use a number of mm above 0 and up to ${HIGHEST_MM}.`)
}
