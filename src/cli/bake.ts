import { mkdir, writeFile } from 'node:fs/promises'
import { basename, join } from 'node:path'
import { intakeNoteText, problemText } from '../app/problem-text.ts'
import { REFINEMENT_DEFAULTS } from '../core/mesh/placement.ts'
import { prepareFigure } from '../core/mesh/prepare-figure.ts'
import { weldFileMesh } from '../core/mesh/weld-file-mesh.ts'
import { type Problem, ProblemError } from '../core/problem.ts'
import { demoRecipe } from '../core/recipe/demo-recipe.ts'
import type { Recipe } from '../core/recipe/recipe.ts'
import { defaultDocument } from '../document/default-document.ts'
import { openRecipe } from '../document/document-file.ts'
import { writeGlb } from '../io/write-glb.ts'
import { writeFieldsPly } from '../io/write-ply.ts'
import { type BakeOptions, HELP, parseBakeOptions, UsageError } from './bake-options.ts'
import { bakeRecipe } from './bake-recipe.ts'
import { bytesOf, findFigure, placementFor, readFigureFile } from './open-figure.ts'
import { reportSpray } from './spray-report.ts'
import { SURFACE_SETTINGS, surfaceFields } from './surface-fields.ts'
import { reportViews } from './view-report.ts'

const BAD_INPUT = 2

async function bake(options: BakeOptions): Promise<void> {
  const started = performance.now()
  let last = started
  const sinceLast = (): number => {
    const now = performance.now()
    const passed = now - last
    last = now
    return Math.round(passed)
  }
  const recipe = await recipeFor(options)
  const found = await findFigure(options.figure)
  await makeFolder(options.out)

  const fileMesh = await readFigureFile(found, progress('reading'))
  const read = sinceLast()
  const mesh = weldFileMesh(fileMesh)
  const placement = placementFor(mesh, found.builtIn, options)
  const { figure, notes } = prepareFigure(mesh, placement, REFINEMENT_DEFAULTS)
  const prepare = sinceLast()
  const { look, fields, exposures, deposits, ms } = bakeRecipe(
    figure,
    recipe,
    () => performance.now(),
    progress('spraying'),
  )
  sinceLast()
  const views = reportViews(figure, look, defaultDocument().thresholds)
  const readings = sinceLast()
  const spray = reportSpray(figure, recipe, fields, progress('balancing'))
  const balance = sinceLast()
  if (options.surface) say('looking at the surface')
  const others = options.surface ? surfaceFields(figure) : []
  const surface = sinceLast()
  say('writing')
  const { linearRgb } = look
  await write(options.out, 'figure.glb', await writeGlb(figure, linearRgb))
  await write(options.out, 'fields.ply', writeFieldsPly(figure, { exposures, deposits, others, linearRgb }))
  const report = {
    figure: { name: found.builtIn?.name ?? found.fileName, ...placement, heightMm: figure.heightMm },
    recipe: recipe.name,
    counts: {
      fileTriangles: fileMesh.triangles.length / 3,
      triangles: figure.triangles.length / 3,
      vertices: figure.positions.length / 3,
      parts: figure.parts.length,
      coats: recipe.coats.length,
      torches: exposures.length,
    },
    ms: {
      read,
      prepare,
      bake: Math.round(ms.bake),
      paint: Math.round(ms.paint),
      readings,
      balance,
      surface,
      write: sinceLast(),
      total: Math.round(performance.now() - started),
    },
    problems: notes.map(note => ({ ...note, ...intakeNoteText(note) })),
    views,
    spray,
    surface: options.surface ? SURFACE_SETTINGS : null,
  }
  await write(options.out, 'report.json', `${JSON.stringify(report, null, 2)}\n`)
  say(`done: ${join(options.out, 'report.json')}`)
}

async function recipeFor({ recipe: path }: BakeOptions): Promise<Recipe> {
  if (path === null) return demoRecipe()
  const opened = openRecipe(new TextDecoder().decode(await bytesOf(path)), basename(path))
  if (!opened.ok) throw new ProblemError(opened.problem)
  return opened.value
}

async function makeFolder(path: string): Promise<void> {
  try {
    await mkdir(path, { recursive: true })
  } catch (thrown) {
    throw new UsageError(`${path} cannot be made (${(thrown as NodeJS.ErrnoException).code ?? String(thrown)}).`)
  }
}

async function write(folder: string, name: string, content: Uint8Array | string): Promise<void> {
  try {
    await writeFile(join(folder, name), content)
  } catch (thrown) {
    const { code } = thrown as NodeJS.ErrnoException
    throw new UsageError(`${join(folder, name)} cannot be written (${code ?? String(thrown)}).`)
  }
}

const say = (line: string): void => {
  process.stderr.write(`${line}\n`)
}

/** A line at every tenth. */
function progress(doing: string): (share: number) => void {
  let tenths = -1
  return share => {
    const now = Math.floor(10 * share)
    if (now <= tenths) return
    tenths = now
    say(`${doing} ${10 * now} %`)
  }
}

/** The words of a problem joined to one sentence. */
function sentenceOf(problem: Problem): string {
  const { title, advice } = problemText(problem)
  const oneLine = `${title}: ${lowerFirst(advice)}`.replace(/\s+/g, ' ')
  return oneLine.replace(/\. (?=\S)(.)/g, (_, next: string) => `; ${next.toLowerCase()}`)
}

const lowerFirst = (text: string): string => `${text.slice(0, 1).toLowerCase()}${text.slice(1)}`

async function main(): Promise<void> {
  try {
    const options = parseBakeOptions(process.argv.slice(2))
    if (options === 'help') process.stdout.write(HELP)
    else await bake(options)
  } catch (thrown) {
    const isInput =
      thrown instanceof UsageError || (thrown instanceof ProblemError && thrown.problem.code !== 'internal')
    if (isInput) say(thrown instanceof ProblemError ? sentenceOf(thrown.problem) : thrown.message)
    else say(thrown instanceof Error ? (thrown.stack ?? thrown.message) : String(thrown))
    process.exitCode = isInput ? BAD_INPUT : 1
  }
}

await main()
