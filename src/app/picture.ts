import type { StoreApi } from 'zustand/vanilla'
import type { BakePool } from '../compute/bake-pool.ts'
import { type ComputeClient, createComputeClient, isCancelled } from '../compute/compute-client.ts'
import type { Ray, RequestOf, SideName } from '../compute/protocol.ts'
import type { ScanFields } from '../core/advice/view-measures.ts'
import { emittersFor, type FieldNeed, fieldsNeeded } from '../core/chain/fields-needed.ts'
import type { Lamp } from '../core/colour/illuminants.ts'
import type { Figure } from '../core/mesh/figure.ts'
import { ProblemError, problemOf } from '../core/problem.ts'
import type { ArmsLengthView } from '../core/reading/arms-length.ts'
import type { Portrait } from '../core/reading/portrait.ts'
import type { UnlitSide } from '../core/reading/side-check.ts'
import { turnedRecipe } from '../core/recipe/turned-recipe.ts'
import { COARSE_BUFFER, REFINED } from '../core/spray/bake-exposure.ts'
import type { FigurePanels } from '../core/surface/figure-panels.ts'
import type { GuessScore } from '../core/teach/guess-score.ts'
import type { GreycoatDocument, Look } from '../document/document.ts'
import type { AppEnvironment } from './app-environment.ts'
import type { AppState, Derived, Side } from './app-state.ts'
import { type AskedSide, needsOf, sidesOf } from './asked-sides.ts'
import type { HoverPlace } from './commands.ts'
import { FieldIndex, type FieldQuality } from './field-index.ts'

/** Refining begins this long after a coarse picture, ms: it must be drawn before every core is busy again. */
const DRAW_MS = 200
/** How long the camera must rest before the view is read, ms. */
const CAMERA_REST_MS = 150
/** Fields kept at most, bytes: 400 of a figure of 300,000 vertices. */
const FIELD_LIMIT_BYTES = 512 * 2 ** 20

/** How often in a row a worker that dies is started again. */
const CRASH_LIMIT = 3

/**
 * While a hand holds something, a figure of more triangles than this is drawn with fewer, as a machine without a GPU
 * draws about a million a second. Above the upper bound making them would cost more than a drag is worth.
 */
const FEW_TRIANGLES = 30_000
const MOST_SIMPLIFIED = 1_500_000

const FIGURE_MIDDLE = [0, 0.5, 0] as const

/** Keeps what is drawn and read up to date with the document. */
export interface Picture {
  /** @param copies one for the paint worker, then one a bake worker; they are moved */
  setFigure(figure: Figure, copies: readonly Figure[]): void
  /** The figure's areas were found: they are read from now on. */
  setPanels(panels: FigurePanels): void
  /** The document or the gesture changed: answers coarsely at once, refines when the hand rests. */
  wake(): void
  hover(at: HoverPlace | null): void
  exportGlb(side: Side): Promise<Uint8Array>
  /** The shape turned all the way round in so many steps under torches and an eye that stay. */
  turnedPortraits(count: number, size: number): Promise<readonly Portrait[]>
  /** Shows the guess as it is brushed; no strokes start it anew. */
  brushGuess(strokes: readonly Ray[], radiusMm: number, paints: boolean): Promise<void>
  judgeGuess(level: number): Promise<GuessScore | null>
  armsLength(side: Side, distanceMm: number): Promise<ArmsLengthView | null>
  /** What advice weighs the figure by, of what is painted now. */
  scanFields(figureId: string, withSaliency: boolean, signal: AbortSignal): Promise<ScanFields>
  /** Areas that what is painted now leaves unlit on a side from which they are seen. */
  checkSides(request: RequestOf<'paint', 'checkSides'>, signal: AbortSignal): Promise<readonly UnlitSide[]>
  close(): void
}

export function createPicture(
  { startWorker, clock }: Pick<AppEnvironment, 'startWorker' | 'clock'>,
  store: StoreApi<AppState>,
  pool: BakePool,
): Picture {
  const fields = new FieldIndex(FIELD_LIMIT_BYTES)
  let figure: Figure | null = null
  /** Aborted when the figure is replaced: everything under way is about the old one. */
  let figureGone = new AbortController()
  let closed = false

  /** Crashes since anything was painted: what keeps crashing is not started for ever. */
  let crashes = 0

  const startPaint = (): ComputeClient<'paint'> =>
    createComputeClient<'paint'>(startWorker('paint'), () => {
      if (closed || ++crashes > CRASH_LIMIT) return
      paintWorker = startPaint()
      forget()
      if (!figure) return
      paintWorker.call('keepFigure', { figure }).catch(report)
      givePanels()
      wake()
    })
  let paintWorker = startPaint()

  let panels: FigurePanels | null = null
  function givePanels(): void {
    if (panels) paintWorker.call('keepPanels', { panels }).catch(report)
  }

  const document = () => store.getState().history.present
  const setDerived = (patch: Partial<Derived>) => store.setState(state => ({ derived: { ...state.derived, ...patch } }))

  function report(thrown: unknown): void {
    if (isCancelled(thrown)) return
    const problem = problemOf(thrown)
    store.setState(state => ({ session: { ...state.session, problem } }))
  }

  function forget(): void {
    fields.clear()
    painted.main = painted.other = null
    lastRead = null
  }

  // Progress -------------------------------------------------------------------------------------------------------

  function progress(what: 'exposure' | 'colour' | 'reading', fraction: number): void {
    const shown = store.getState().derived.progress
    // Every change draws the page anew: whole steps only.
    if (shown?.what === what && Math.abs(shown.fraction - fraction) < 0.04) return
    setDerived({ progress: { what, fraction } })
  }

  function settle(): void {
    if (following || refining || restTimer || reading || cameraTimer) return
    if (store.getState().derived.progress !== null) setDerived({ progress: null })
    if (figure && figure !== simplified && painted.main?.quality === 'refined') void simplify(figure)
  }

  /** The figure whose fewer triangles were asked for. */
  let simplified: Figure | null = null

  async function simplify(now: Figure): Promise<void> {
    simplified = now
    const triangles = now.triangles.length / 3
    if (triangles < 2 * FEW_TRIANGLES || triangles > MOST_SIMPLIFIED) return
    try {
      const few = await paintWorker.call(
        'simplify',
        { figureId: now.id, triangles: FEW_TRIANGLES },
        { signal: figureGone.signal },
      )
      if (figure === now) setDerived({ fewTriangles: few.triangles })
    } catch (thrown) {
      report(thrown)
    }
  }

  // Following the hand: newest inputs win, but what was begun is shown ---------------------------------------------

  let following = false
  let again = false
  const painted: { [S in Side]: PaintInputs | null } = { main: null, other: null }

  function wake(): void {
    if (!figure || closed) return
    if (isUpToDate()) {
      readSoon()
      return
    }
    if (!store.getState().derived.progress) progress('colour', 0)
    if (following) again = true
    else void follow()
  }

  async function follow(): Promise<void> {
    following = true
    try {
      do {
        again = false
        await followOnce()
      } while (again && !closed)
      crashes = 0
    } catch (thrown) {
      report(thrown)
      // After a crash there are fresh workers to ask once more; anything else would fail again.
      again = isCrash(thrown) && ++crashes <= CRASH_LIMIT
    } finally {
      following = false
    }
    if (again && !closed) return void follow()
    refineSoon()
    readSoon()
    settle()
  }

  async function followOnce(): Promise<void> {
    const now = figure
    if (!now) return
    const { signal } = figureGone
    const snapshot = document()
    const needs = needsOf(now, snapshot)
    const missing = needs.filter(need => fields.qualityOf(need.key) === null)
    try {
      if (missing.length > 0) {
        // The workers are wanted now; fields that were refined meanwhile are kept.
        refining?.abort()
        await bakeFields(now, missing, 'coarse', needs, signal)
      }
      fields.use(needs.map(need => need.key))
      await paintSides(now, snapshot, signal)
    } catch (thrown) {
      if (!isCancelled(thrown) || figure === now) throw thrown
      again = true
    }
  }

  async function bakeFields(
    now: Figure,
    wanted: readonly FieldNeed[],
    quality: FieldQuality,
    needs: readonly FieldNeed[],
    signal: AbortSignal,
  ): Promise<void> {
    const bufferSize = quality === 'coarse' ? COARSE_BUFFER : REFINED.bufferSize
    const shares = wanted.map(() => 0)
    const bakeOne = async (need: FieldNeed, i: number) => {
      const parts = await pool.bake(
        { partStates: need.partStates, emitters: emittersFor(need, now, quality), bufferSize },
        {
          signal,
          onProgress(fraction) {
            shares[i] = fraction
            progress('exposure', shares.reduce((sum, share) => sum + share, 0) / wanted.length)
          },
        },
      )
      const { bytes } = await paintWorker.call(
        'keepField',
        { figureId: now.id, key: need.key, shares: parts },
        { signal, move: true },
      )
      // What is looked at may have changed meanwhile, and need not be what is baked for.
      const needed = new Set([...needs, ...needsOf(now, document())].map(({ key }) => key))
      const dropped = fields.add(need.key, quality, bytes, needed)
      if (dropped.length > 0) paintWorker.call('dropFields', { keys: dropped }).catch(report)
    }
    // Coarse fields are wanted all at once; refined ones may be called off, so each is finished before the next.
    if (quality === 'coarse') await Promise.all(wanted.map(bakeOne))
    else for (const [i, need] of wanted.entries()) await bakeOne(need, i)
  }

  // Painting -------------------------------------------------------------------------------------------------------

  async function paintSides(now: Figure, snapshot: GreycoatDocument, signal: AbortSignal): Promise<void> {
    // The difference map of main is made from what stands on the other side.
    const order = snapshot.look.kind === 'difference' ? (['other', 'main'] as const) : (['main', 'other'] as const)
    for (const side of order) {
      const inputs = paintInputs(now, snapshot, side)
      if (!inputs) {
        painted[side] = null
        if (store.getState().derived.sides[side]) showSide(side, null)
        continue
      }
      if (samePaint(painted[side], inputs)) continue
      const { linearRgb, surface, depositMaxUm, caught } = await paintWorker.call(
        'paint',
        {
          figureId: now.id,
          side,
          recipe: inputs.recipe,
          ground: inputs.ground,
          look: inputs.look,
          illuminant: inputs.illuminant,
          grain: inputs.grain,
        },
        { signal },
      )
      if (figure !== now) return
      painted[side] = inputs
      showSide(side, { figureId: now.id, linearRgb, surface, quality: inputs.quality })
      if (side === 'main') setDerived({ depositMaxUm, caught })
    }
  }

  function showSide(side: Side, value: Derived['sides'][Side]): void {
    setDerived({ sides: { ...store.getState().derived.sides, [side]: value } })
  }

  function paintInputs(now: Figure, snapshot: GreycoatDocument, side: Side): PaintInputs | null {
    const asked = sidesOf(snapshot)[side]
    if (!asked) return null
    const qualities = fieldsNeeded(now, asked.recipe).map(need => fields.qualityOf(need.key))
    const quality = qualities.every(q => q === 'refined') ? 'refined' : 'coarse'
    return {
      figureId: now.id,
      ...asked,
      look: snapshot.look,
      illuminant: snapshot.illuminant,
      against: snapshot.look.kind === 'difference' && side === 'main' ? painted.other : null,
      quality,
      // A hand that holds something is followed without.
      grain: snapshot.look.kind === 'painted' && quality === 'refined' && store.getState().session.gesture === null,
      fieldsKey: qualities.join(' '),
    }
  }

  function isUpToDate(): boolean {
    const now = figure
    if (!now || following) return false
    const snapshot = document()
    if (needsOf(now, snapshot).some(need => fields.qualityOf(need.key) === null)) return false
    return (['main', 'other'] as const).every(side => {
      const inputs = paintInputs(now, snapshot, side)
      return inputs ? samePaint(painted[side], inputs) : painted[side] === null
    })
  }

  // Refining when the hand rests -----------------------------------------------------------------------------------

  let refining: AbortController | null = null
  let restTimer: (() => void) | null = null

  const coarseNeeds = (now: Figure): FieldNeed[] =>
    needsOf(now, document()).filter(need => fields.qualityOf(need.key) === 'coarse')

  function refineSoon(): void {
    restTimer?.()
    restTimer = null
    if (!figure || closed || following || refining || coarseNeeds(figure).length === 0) return
    restTimer = clock.after(DRAW_MS, () => {
      restTimer = null
      void refine()
    })
  }

  async function refine(): Promise<void> {
    const now = figure
    if (!now || closed || following || refining) return
    const mine = new AbortController()
    refining = mine
    let failed = false
    const signal = AbortSignal.any([mine.signal, figureGone.signal])
    try {
      await bakeFields(now, coarseNeeds(now), 'refined', needsOf(now, document()), signal)
    } catch (thrown) {
      report(thrown)
      failed = !isCancelled(thrown) && !(isCrash(thrown) && ++crashes <= CRASH_LIMIT)
    } finally {
      refining = null
    }
    if (following) return
    if (!isUpToDate()) wake()
    // What failed stays coarse until something changes.
    else if (!failed) refineSoon()
    settle()
  }

  // Reading --------------------------------------------------------------------------------------------------------

  let reading = false
  let readAgain = false
  let lastRead: ReadInputs | null = null
  let seenCamera = document().camera
  let cameraTimer: (() => void) | null = null

  const readInputs = (): ReadInputs => ({
    camera: document().camera,
    thresholds: document().thresholds,
    main: painted.main,
    other: painted.other,
  })

  function readSoon(): void {
    if (!figure || !painted.main || closed) return
    const inputs = readInputs()
    if (inputs.camera !== seenCamera) {
      seenCamera = inputs.camera
      cameraTimer?.()
      cameraTimer = clock.after(CAMERA_REST_MS, () => {
        cameraTimer = null
        readSoon()
        settle()
      })
      progress('reading', 0)
    }
    if (cameraTimer || sameRead(lastRead, inputs)) return
    if (reading) readAgain = true
    else void read()
  }

  async function read(): Promise<void> {
    reading = true
    try {
      do {
        readAgain = false
        const now = figure
        const inputs = readInputs()
        if (!now || !inputs.main) break
        if (!following && !refining) progress('reading', 0.5)
        const sides: SideName[] = inputs.other ? ['main', 'other'] : ['main']
        const { camera, thresholds } = inputs
        const { main, other, difference, areas, outside } = await paintWorker.call(
          'read',
          { figureId: now.id, camera, thresholds, sides },
          { signal: figureGone.signal },
        )
        if (figure !== now) break
        lastRead = inputs
        setDerived({ readings: { main, other }, difference, areas, outside })
      } while (readAgain && !closed)
    } catch (thrown) {
      report(thrown)
    } finally {
      reading = false
    }
    settle()
  }

  // Hovering -------------------------------------------------------------------------------------------------------

  let asking = false
  let hovered: HoverPlace | null = null

  const showHover = (hover: AppState['session']['hover']) => {
    if (store.getState().session.hover === hover) return
    store.setState(state => ({ session: { ...state.session, hover } }))
  }

  async function ask(): Promise<void> {
    asking = true
    try {
      for (let at = hovered; at && figure; at = hovered === at ? null : hovered) {
        const { id: figureId } = figure
        const found = await paintWorker.call('layersAt', { figureId, side: at.side, ...at.ray })
        // A pointer that has left meanwhile must not get a card.
        if (hovered) showHover(found && { side: at.side, x: at.x, y: at.y, ...found })
      }
    } catch (thrown) {
      report(thrown)
    } finally {
      asking = false
    }
  }

  return {
    setFigure(next, [forPaint, ...forBakers]) {
      figureGone.abort(new DOMException('another figure', 'AbortError'))
      figureGone = new AbortController()
      figure = next
      panels = null
      forget()
      pool.keepFigure(next, forBakers)
      paintWorker.call('keepFigure', { figure: forPaint ?? next }, { move: forPaint !== undefined }).catch(report)
      showHover(null)
      wake()
    },
    setPanels(found) {
      if (found.figureId !== figure?.id) return
      panels = found
      givePanels()
      lastRead = null
      readSoon()
    },
    wake,
    hover(at) {
      hovered = at
      if (!at) showHover(null)
      else if (!asking && figure) void ask()
    },
    async turnedPortraits(count, size) {
      const now = figure
      if (!now) return []
      const { signal } = figureGone
      const { recipe, camera } = document()
      const portraits: Portrait[] = []
      try {
        for (let i = 0; i < count; i++) {
          const degrees = (360 * i) / count
          const turned = turnedRecipe(recipe, degrees)
          const needs = fieldsNeeded(now, turned)
          const missing = needs.filter(need => fields.qualityOf(need.key) === null)
          await bakeFields(now, missing, 'coarse', needs, signal)
          const from = { ...camera, azimuthDegrees: camera.azimuthDegrees - degrees }
          portraits.push(
            await paintWorker.call('portrait', { figureId: now.id, recipe: turned, camera: from, size }, { signal }),
          )
        }
      } finally {
        settle()
      }
      return portraits
    },
    async brushGuess(strokes, radiusMm, paints) {
      const now = figure
      if (!now) return
      try {
        const { linearRgb } = await paintWorker.call('brushGuess', { figureId: now.id, strokes, radiusMm, paints })
        if (figure === now) setDerived({ guess: { figureId: now.id, linearRgb, surface: null, quality: 'refined' } })
      } catch (thrown) {
        report(thrown)
      }
    },
    async judgeGuess(level) {
      const now = figure
      if (!now) return null
      try {
        const { camera } = document()
        const { score, linearRgb } = await paintWorker.call('judgeGuess', { figureId: now.id, level, camera })
        if (figure !== now) return null
        setDerived({ guess: { figureId: now.id, linearRgb, surface: null, quality: 'refined' } })
        return score
      } catch (thrown) {
        report(thrown)
        return null
      }
    },
    async armsLength(side, distanceMm) {
      if (!figure || !painted[side]) return null
      const camera = { ...document().camera, distanceMm, target: FIGURE_MIDDLE }
      const { view } = await paintWorker.call('armsLength', { figureId: figure.id, side, camera })
      return view
    },
    async exportGlb(side) {
      if (!figure || !painted[side])
        throw new ProblemError({ code: 'internal', detail: 'there is no painted figure yet' })
      const { bytes } = await paintWorker.call('exportGlb', { figureId: figure.id, side })
      return bytes
    },
    checkSides: async (request, signal) => (await paintWorker.call('checkSides', request, { signal })).unlit,
    scanFields: (figureId, withSaliency, signal) =>
      paintWorker.call('scanFields', { figureId, withSaliency }, { signal }),
    close() {
      closed = true
      restTimer?.()
      cameraTimer?.()
      figureGone.abort(new DOMException('closed', 'AbortError'))
      refining?.abort()
      paintWorker.close()
      pool.close()
    },
  }
}

const isCrash = (thrown: unknown): boolean => problemOf(thrown).code === 'worker/crashed'

interface PaintInputs extends AskedSide {
  readonly figureId: string
  readonly look: Look
  readonly illuminant: Lamp
  readonly grain: boolean
  /** What stands on the other side, where the look shows it. */
  readonly against: PaintInputs | null
  readonly quality: FieldQuality
  readonly fieldsKey: string
}

interface ReadInputs {
  readonly camera: GreycoatDocument['camera']
  readonly thresholds: GreycoatDocument['thresholds']
  readonly main: PaintInputs | null
  readonly other: PaintInputs | null
}

function samePaint(a: PaintInputs | null, b: PaintInputs): boolean {
  return (
    a !== null &&
    a.figureId === b.figureId &&
    a.recipe === b.recipe &&
    a.look === b.look &&
    a.illuminant === b.illuminant &&
    (a.grain || !b.grain) &&
    a.against === b.against &&
    a.fieldsKey === b.fieldsKey &&
    a.ground.kind === b.ground.kind &&
    (a.ground.kind !== 'flat' || b.ground.kind !== 'flat' || a.ground.greyY === b.ground.greyY)
  )
}

const sameRead = (a: ReadInputs | null, b: ReadInputs): boolean =>
  a !== null && a.camera === b.camera && a.thresholds === b.thresholds && a.main === b.main && a.other === b.other
