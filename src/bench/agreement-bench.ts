import { emittersFor, type FieldKey, fieldsNeeded, opennessKey } from '../core/chain/fields-needed.ts'
import { lookOf } from '../core/chain/look.ts'
import { RGB_WEIGHTS } from '../core/colour/band-weights.ts'
import { deltaE2000 } from '../core/colour/delta-e-2000.ts'
import { labOfLinearRgb } from '../core/colour/lab.ts'
import type { Figure } from '../core/mesh/figure.ts'
import type { PartId, PartState, Recipe } from '../core/recipe/recipe.ts'
import { type BakeKernel, COARSE_BUFFER, createBakeKernel } from '../core/spray/bake-exposure.ts'
import { type Emitter, kernelAt } from '../core/spray/emitters.ts'
import { largestExposure } from '../core/spray/largest-exposure.ts'
import { torchFieldKey } from '../core/spray/torch-field-key.ts'
import { add, directionFrom, frameAround, scale, type Vec3 } from '../core/vec3.ts'
import { createTexture, resetForPasses } from '../scene/gpu/gl-objects.ts'
import { createGpuBakePrograms, createGpuBaker, type GpuBaker } from '../scene/gpu/gpu-bake.ts'
import type { GpuField } from '../scene/gpu/gpu-fields.ts'
import { createGpuFigure } from '../scene/gpu/gpu-figure.ts'
import { createGpuStack, createGpuStackPrograms } from '../scene/gpu/gpu-stack.ts'
import { createTableKeeper, stackInputs } from '../scene/gpu/stack-inputs.ts'
import { COLUMNS, texelRectangles, texelRows } from '../scene/gpu/vertex-texels.ts'
import { graphicsKind } from '../scene/graphics-kind.ts'
import type { AppHandle } from '../ui/use-app.ts'
import { rendererName, rounded } from './frame-times.ts'
import { openBenchFigure, untilRefined } from './open-bench-figure.ts'
import { passTimes } from './pass-times.ts'

type PartStates = Readonly<Record<PartId, PartState>>

/**
 * The card's bake and films against the processor's, vertex by vertex, on the demo's figure (or with `figure=million` on
 * the bench's), in a context of its own. Both sides use the same emitters and the same buffer side.
 */
export async function agreementBench(app: AppHandle): Promise<object> {
  if (new URLSearchParams(location.search).get('figure') === 'million') await openBenchFigure(app)
  else await untilRefined(app)
  const { derived, history } = app.store.getState()
  const figure = derived.figure!
  const { recipe } = history.present
  const gl = new OffscreenCanvas(1, 1).getContext('webgl2')!
  resetForPasses(gl)
  const onCard = createGpuFigure(gl, figure)
  onCard.setFew(derived.fewTriangles)
  const baker = createGpuBaker(gl, createGpuBakePrograms(gl), onCard)
  const kernel = createBakeKernel(figure)
  const both = { gl, figure, baker, kernel }
  const [first, second] = figure.parts
  const report = {
    renderer: rendererName(gl),
    vertices: figure.positions.length / 3,
    triangles: figure.triangles.length / 3,
    parts: figure.parts.length,
    bufferSize: baker.autoSize,
    parallel: compareBakes(both, {}, parallelSources()),
    swept: compareBakes(both, {}, sweptSources(figure)),
    nozzle: compareBakes(both, {}, nozzleSources(figure)),
    coarse: compareCoarse(both, parallelSources()),
    apart: second
      ? compareBakes(both, { [first.id]: 'apart', [second.id]: 'absent' }, parallelSources().slice(0, 6))
      : null,
    ...compareColours(both, recipe),
    passMs: graphicsKind().software ? null : passTimes(figure, derived.fewTriangles, recipe),
  }
  kernel.dispose()
  if (gl.getError() !== gl.NO_ERROR) throw new Error('WebGL refused something')
  return report
}

/**
 * A coarse field, fewer triangles shading all vertices, against the processor's coarse field: exposure alone, as while a
 * torch is dragged.
 */
function compareCoarse({ gl, figure, baker, kernel }: Both, sources: readonly Emitter[]) {
  const vertices = figure.positions.length / 3
  const bufferSize = COARSE_BUFFER
  const expected = kernel.bake({}, sources, { bufferSize })
  const field = createTexture(gl, gl.R32F, COLUMNS, texelRows(vertices))
  baker.add(field, {}, sources, bufferSize, true)
  let [off, sum] = [0, 0]
  for (const [v, [found]] of readTexels(gl, field, vertices).entries()) {
    off += Math.abs(found - expected[v])
    sum += expected[v]
  }
  gl.deleteTexture(field)
  return { exposurePercent: rounded((100 * off) / sum, 3) }
}

interface Both {
  readonly gl: WebGL2RenderingContext
  readonly figure: Figure
  readonly baker: GpuBaker
  readonly kernel: BakeKernel
}

/** 12 directions over the whole sphere, none along an axis. */
const parallelSources = (): Emitter[] =>
  Array.from({ length: 12 }, (_, i) => {
    const elevation = (Math.asin(1 - (2 * i + 1) / 12) * 180) / Math.PI
    return { kind: 'parallel', toward: directionFrom(137.5 * i + 11, elevation), weight: 0.7 }
  })

/** Nozzles near the figure, a pattern of each kind. */
function nozzleSources({ heightMm }: Figure): Emitter[] {
  const aim: Vec3 = [0, heightMm / 2, 0]
  const patterns = [
    { kind: 'cone', halfAngleDegrees: 60 },
    { kind: 'gaussian', s: 0.3 },
    { kind: 'beta', edgeTan: 0.7, b: 2 },
    { kind: 'cone', halfAngleDegrees: 25 },
  ] as const
  return [
    [5, 35, 40],
    [82, -10, 60],
    [159, 60, 50],
    [313, 75, 45],
  ].map(([azimuth, elevation, distance], i) => ({
    kind: 'nozzle',
    position: add(aim, scale(directionFrom(azimuth, elevation), (distance * heightMm) / 32)),
    aim,
    pattern: patterns[i],
    weight: 900,
  }))
}

/** Directions that count where the nozzle was over a disc or a rectangle. */
function sweptSources({ heightMm }: Figure): Emitter[] {
  return [
    [20, 40, 0],
    [200, 15, 0],
    [75, 25, 1],
  ].map(([azimuth, elevation, rows]) => {
    const axis = directionFrom(azimuth + 3, elevation - 2)
    const [right, up] = frameAround(axis)
    const centre = add([0, 0.6 * heightMm, 0], scale(axis, 80))
    return {
      kind: 'parallel',
      toward: directionFrom(azimuth, elevation),
      weight: 1,
      swept: rows
        ? { kind: 'rows', centre, axis, right, up, halfWidthMm: 0.2 * heightMm, halfHeightMm: 0.35 * heightMm }
        : { kind: 'disc', centre, axis, radiusMm: 0.3 * heightMm, softMm: 0.1 * heightMm },
    }
  })
}

/** One emitter at a time, by the tally of the referee against rays. */
function compareBakes({ gl, figure, baker, kernel }: Both, partStates: PartStates, sources: readonly Emitter[]) {
  const { positions, normals } = figure
  const vertices = positions.length / 3
  let [facing, differ, full, off, sum] = [0, 0, 0, 0, 0]
  for (const emitter of sources) {
    const expected = kernel.bake(partStates, [emitter])
    const field = createTexture(gl, gl.R32F, COLUMNS, texelRows(vertices))
    baker.add(field, partStates, [emitter], baker.autoSize)
    const found = readTexels(gl, field, vertices).map(texel => texel[0])
    gl.deleteTexture(field)
    for (let v = 0; v < vertices; v++) {
      const at: Vec3 = [positions[3 * v], positions[3 * v + 1], positions[3 * v + 2]]
      const normal: Vec3 = [normals[3 * v], normals[3 * v + 1], normals[3 * v + 2]]
      const bare = emitter.weight * kernelAt(emitter, at, normal)
      if (bare <= 0) continue
      facing++
      full += bare
      sum += expected[v]
      off += Math.abs(found[v] - expected[v])
      if (Math.abs(found[v] - expected[v]) > 0.5 * bare) differ++
    }
  }
  return {
    facing,
    differPercent: rounded((100 * differ) / facing, 4),
    exposurePercent: rounded((100 * off) / full, 4),
    seenShare: rounded(sum / full, 3),
  }
}

/** The recipe's colours: films alone, over the processor's own fields; then the whole of it, bake and all. */
function compareColours({ gl, figure, baker, kernel }: Both, recipe: Recipe) {
  const vertices = figure.positions.length / 3
  const rows = texelRows(vertices)
  const onProcessor = new Map<FieldKey, Float32Array>()
  const given = new Map<FieldKey, GpuField>()
  const baked = new Map<FieldKey, GpuField>()
  for (const need of fieldsNeeded(figure, recipe)) {
    const emitters = emittersFor(need, figure, 'coarse')
    const values = kernel.bake(need.partStates, emitters)
    onProcessor.set(need.key, values)
    const facts = { quality: 'refined', stamp: baked.size, largest: largestExposure(emitters, figure.box) } as const
    const copy = createTexture(gl, gl.R32F, COLUMNS, rows)
    for (const [x, y, width, height] of texelRectangles(0, vertices))
      gl.texSubImage2D(gl.TEXTURE_2D, 0, x, y, width, height, gl.RED, gl.FLOAT, values, y * COLUMNS + x)
    given.set(need.key, { ...facts, texture: copy })
    const own = createTexture(gl, gl.R32F, COLUMNS, rows)
    baker.add(own, need.partStates, emitters, baker.autoSize)
    baked.set(need.key, { ...facts, texture: own })
  }
  const { linearRgb } = lookOf(figure, recipe, {
    exposureOf: (coat, torch) => onProcessor.get(torchFieldKey(figure.id, coat.parts, torch)) ?? null,
    opennessOf: coat => onProcessor.get(opennessKey(figure.id, coat.parts)) ?? null,
  })
  const programs = createGpuStackPrograms(gl)
  const differences = (fields: ReadonlyMap<FieldKey, GpuField>) => {
    const source = { fieldOf: (key: FieldKey) => fields.get(key) }
    const inputs = stackInputs(figure, recipe, { kind: 'preshade' }, source, createTableKeeper())!
    const stack = createGpuStack(gl, programs, vertices, rows)
    stack.paint({ ...inputs, weights: RGB_WEIGHTS, look: { kind: 'painted' } })
    const errors = readTexels(gl, stack.colours, vertices).map(([r, g, b], v) =>
      deltaE2000(labOfLinearRgb(r, g, b), labOfLinearRgb(linearRgb[3 * v], linearRgb[3 * v + 1], linearRgb[3 * v + 2])),
    )
    stack.dispose()
    errors.sort((a, b) => a - b)
    return {
      mean: rounded(errors.reduce((a, b) => a + b, 0) / errors.length, 4),
      p99: rounded(errors[Math.floor(0.99 * errors.length)], 4),
      worst: rounded(errors[errors.length - 1], 4),
    }
  }
  return { filmsDeltaE: differences(given), wholeDeltaE: differences(baked) }
}

/** Four floats a vertex. */
function readTexels(gl: WebGL2RenderingContext, texture: WebGLTexture, vertices: number): Float32Array[] {
  const target = gl.createFramebuffer()
  gl.bindFramebuffer(gl.FRAMEBUFFER, target)
  gl.framebufferTexture2D(gl.FRAMEBUFFER, gl.COLOR_ATTACHMENT0, gl.TEXTURE_2D, texture, 0)
  const rows = texelRows(vertices)
  const values = new Float32Array(4 * COLUMNS * rows)
  gl.readPixels(0, 0, COLUMNS, rows, gl.RGBA, gl.FLOAT, values)
  gl.deleteFramebuffer(target)
  return Array.from({ length: vertices }, (_, v) => values.subarray(4 * v, 4 * v + 4))
}
