import type { AppState, PaintedSide, Side } from '../../app/app-state.ts'
import { type AskedSide, needsOf, sidesOf } from '../../app/asked-sides.ts'
import { RGB_WEIGHTS } from '../../core/colour/band-weights.ts'
import { lampWeights } from '../../core/colour/lamp-weights.ts'
import { type Figure, vertexCount } from '../../core/mesh/figure.ts'
import { opennessEmitters } from '../../core/spray/bake-exposure.ts'
import type { GreycoatDocument } from '../../document/document.ts'
import { bindTexture, createTexture, resetForPasses } from './gl-objects.ts'
import { createGpuBakePrograms, createGpuBaker, type GpuBaker } from './gpu-bake.ts'
import { COARSE_SIZE, createGpuFields, type GpuFields } from './gpu-fields.ts'
import { createGpuFigure, type GpuFigure } from './gpu-figure.ts'
import { createGpuStack, createGpuStackPrograms, type GpuStack } from './gpu-stack.ts'
import { createTableKeeper, stackInputs, type TableKeeper } from './stack-inputs.ts'
import { COLUMNS, writeTriples } from './vertex-texels.ts'

/** Time a slice of refining may take of a frame, ms. */
const SLICE_MS = 10
/** The same after the hand has let go, when nobody waits for a frame but for the answer, ms. */
const RELEASED_MS = 100
/** About as many emitters as a coarse field has. */
const COARSE_EMITTERS = 12
/** A card that needs longer for a coarse field is no help: the workers do it. */
const TOO_SLOW_MS = 120
/** How long a hand that still holds a torch must rest before the answer is refined, ms. */
const REST_MS = 120

/**
 * The figure's colours, computed where they are shown: fields, deposits and films on the graphics card, nothing read
 * back. The workers go on with the same document for readings, and paint what this cannot.
 */
export interface GpuPicture {
  /** Texture of a side's colours: linear sRGB, a texel a vertex (see vertex-texels.ts). */
  coloursOf(side: Side): WebGLTexture | null
  /**
   * Brings the colours up to the state, coarsely at once, and refines a slice when the hand rests.
   * @returns ms until it wants to be called again; null when everything shown is refined
   * @throws Error where the card cannot or is too slow: let the processor paint
   */
  follow(state: AppState, nowMs: number): number | null
  dispose(): void
}

/** @param patient bear with any slowness: for tests on software */
export function createGpuPicture(gl: WebGL2RenderingContext, patient: boolean): GpuPicture {
  const bakePrograms = createGpuBakePrograms(gl)
  const stackPrograms = createGpuStackPrograms(gl)
  let work: Work | null = null
  let changedAt = 0
  let seen: GreycoatDocument['recipe'] | null = null

  function begin(figure: Figure): Work {
    work?.dispose()
    work = null
    const onCard = createGpuFigure(gl, figure)
    const baker = createGpuBaker(gl, bakePrograms, onCard)
    const emitterMs = measureEmitter(gl, baker, onCard)
    if (!patient && COARSE_EMITTERS * emitterMs > TOO_SLOW_MS)
      throw new Error(`an emitter takes ${emitterMs.toFixed(1)} ms`)
    const fields = createGpuFields(gl, onCard, baker)
    const sides = {
      main: createSide(gl, figure, onCard, stackPrograms),
      other: createSide(gl, figure, onCard, stackPrograms),
    }
    return {
      figure,
      onCard,
      fields,
      sides,
      emittersIn: ms => Math.min(64, Math.max(4, 4 * Math.floor(ms / Math.max(emitterMs, 1e-3) / 4))),
      dispose() {
        for (const side of Object.values(sides)) side.dispose()
        fields.dispose()
        baker.dispose()
        onCard.dispose()
      },
    }
  }

  return {
    coloursOf: side => work?.sides[side].shown() ?? null,
    follow({ derived, history, session }, nowMs) {
      const { figure } = derived
      if (!figure) return null
      const document = history.present
      resetForPasses(gl)
      if (work?.figure !== figure) work = begin(figure)
      const { onCard, fields, sides, emittersIn } = work
      onCard.setFew(derived.fewTriangles)
      const needs = needsOf(figure, document)
      if (seen !== document.recipe) changedAt = nowMs
      seen = document.recipe
      fields.bakeMissing(needs)
      const restsAt = session.gesture === null ? nowMs : changedAt + REST_MS
      const emitters = emittersIn(session.gesture === null ? RELEASED_MS : SLICE_MS)
      const refined = nowMs >= restsAt ? fields.refineSome(needs, emitters) : null
      const asked = sidesOf(document)
      for (const side of ['main', 'other'] as const)
        sides[side].paint(asked[side], document, fields, derived.sides[side])
      if (refined === true) return 0
      const coarse = needs.some(need => fields.fieldOf(need.key)?.quality === 'coarse')
      return coarse ? Math.max(0, restsAt - nowMs) : null
    },
    dispose() {
      work?.dispose()
      for (const { program } of [...Object.values(bakePrograms), ...Object.values(stackPrograms)])
        gl.deleteProgram(program)
    },
  }
}

interface Work {
  readonly figure: Figure
  readonly onCard: GpuFigure
  readonly fields: GpuFields
  readonly sides: { readonly [S in Side]: GpuSide }
  /** About as many as the card bakes in that time, four at least. */
  emittersIn(ms: number): number
  dispose(): void
}

interface GpuSide {
  shown(): WebGLTexture | null
  /** @param given by the workers: shown where the card cannot paint this */
  paint(asked: AskedSide | null, document: GreycoatDocument, fields: GpuFields, given: PaintedSide | null): void
  dispose(): void
}

function createSide(
  gl: WebGL2RenderingContext,
  figure: Figure,
  { rows }: GpuFigure,
  programs: ReturnType<typeof createGpuStackPrograms>,
): GpuSide {
  const tables: TableKeeper = createTableKeeper()
  let stack: GpuStack | null = null
  let copy: WebGLTexture | null = null
  let copied: Float32Array | null = null
  let shown: WebGLTexture | null = null
  let painted = ''
  let paintedFor: readonly unknown[] = []

  function paintOnCard(asked: AskedSide, document: GreycoatDocument, fields: GpuFields): boolean {
    const { look, illuminant } = document
    if (look.kind !== 'painted' && look.kind !== 'value' && look.kind !== 'steps') return false
    const inputs = stackInputs(figure, asked.recipe, asked.ground, fields, tables)
    if (!inputs) return false
    const names = inputs.layers.map(layer => layer.name).join('|')
    const now = [...inputs.layers.map(layer => layer.table), asked.recipe.primer, asked.recipe.paints]
    const same =
      painted === JSON.stringify([names, look, illuminant, asked.ground]) &&
      now.length === paintedFor.length &&
      now.every((one, i) => one === paintedFor[i])
    stack ??= createGpuStack(gl, programs, vertexCount(figure), rows)
    shown = stack.colours
    if (same) return true
    // Values are read under daylight, whatever lamp the paint is shown under.
    stack.paint({ ...inputs, look, weights: look.kind === 'painted' ? lampWeights(illuminant) : RGB_WEIGHTS })
    painted = JSON.stringify([names, look, illuminant, asked.ground])
    paintedFor = now
    return true
  }

  return {
    shown: () => shown,
    paint(asked, document, fields, given) {
      if (!asked || paintOnCard(asked, document, fields)) return
      if (given?.figureId !== figure.id) return
      copy ??= createTexture(gl, gl.RGB32F, COLUMNS, rows)
      if (copied !== given.linearRgb) {
        bindTexture(gl, 0, gl.TEXTURE_2D, copy)
        writeTriples(gl, given.linearRgb)
        copied = given.linearRgb
      }
      shown = copy
    },
    dispose() {
      stack?.dispose()
      if (copy) gl.deleteTexture(copy)
    },
  }
}

/** One parallel emitter of a coarse bake, ms. Reads a pixel back, the only way to know that the card is done: once a figure. */
function measureEmitter(gl: WebGL2RenderingContext, baker: GpuBaker, { rows }: GpuFigure): number {
  const field = createTexture(gl, gl.R32F, COLUMNS, rows)
  const target = gl.createFramebuffer()
  const emitters = opennessEmitters(8)
  const run = () => {
    const start = performance.now()
    baker.add(field, {}, emitters, Math.min(baker.autoSize, COARSE_SIZE))
    gl.bindFramebuffer(gl.FRAMEBUFFER, target)
    gl.framebufferTexture2D(gl.FRAMEBUFFER, gl.COLOR_ATTACHMENT0, gl.TEXTURE_2D, field, 0)
    gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.FLOAT, new Float32Array(4))
    return (performance.now() - start) / emitters.length
  }
  run()
  const ms = run()
  gl.deleteTexture(field)
  gl.deleteFramebuffer(target)
  return ms
}
