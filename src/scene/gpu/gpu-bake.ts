import type { Figure } from '../../core/mesh/figure.ts'
import type { PartId, PartState } from '../../core/recipe/recipe.ts'
import { bufferSizeFor } from '../../core/spray/bake-exposure.ts'
import { closedParts } from '../../core/spray/closed-parts.ts'
import { depthViewGlsl, projectGlsl, visibleShareGlsl } from '../../core/spray/depth-kernel.glsl.ts'
import type { DepthView } from '../../core/spray/depth-kernel.ts'
import { cornersOf, viewOf } from '../../core/spray/depth-views.ts'
import { DISC, EVERYWHERE, emitterKernelGlsl, patternUniform, ROWS } from '../../core/spray/emitters.glsl.ts'
import type { Emitter } from '../../core/spray/emitters.ts'
import { type Box, groupsOf, type SprayGroup } from '../../core/spray/spray-groups.ts'
import { partsKey } from '../../core/spray/torch-field-key.ts'
import { dot, normalize, scale, subtract } from '../../core/vec3.ts'
import { bindTexture, createPass, createTexture, type Pass, WHOLE_TARGET_VERTEX } from './gl-objects.ts'
import type { GpuFigure } from './gpu-figure.ts'
import { texelRectangles } from './vertex-texels.ts'

/** Emitters whose depth buffers are held at once: the vertices are read once for all of them. */
const BATCH = 4
/** Nearest depth before a nozzle, mm: what is nearer is lost, what is farther is kept apart the better. */
const NEAREST_MM = 0.5

/** Twin of BakeKernel (bake-exposure.ts) on a graphics card. */
export interface GpuBaker {
  /** Side of the depth buffer that fits this figure. */
  readonly autoSize: number
  /**
   * Adds Σ weight · kernel · visibility of the emitters to a field; what is not written to stays as it is.
   * @param field R32F, COLUMNS × rows
   * @param emitters of one kind, as a torch's are
   * @param coarsely the figure's fewer triangles may stand for all of them where no part is left out
   */
  add(
    field: WebGLTexture,
    partStates: Readonly<Record<PartId, PartState>>,
    emitters: readonly Emitter[],
    size: number,
    coarsely?: boolean,
  ): void
  dispose(): void
}

/** The two programs, made once for every figure. @throws Error where the context lacks additive float targets */
export function createGpuBakePrograms(gl: WebGL2RenderingContext): { readonly draw: Pass; readonly gather: Pass } {
  if (!gl.getExtension('EXT_color_buffer_float') || !gl.getExtension('EXT_float_blend'))
    throw new Error('no float targets that can be added to')
  return {
    draw: createPass(
      gl,
      `#version 300 es
      in vec3 position;
      ${depthViewGlsl}
      uniform View view;
      ${projectGlsl}
      void main() { gl_Position = projected(view, position); }`,
      `#version 300 es
      void main() {}`,
    ),
    gather: createPass(
      gl,
      WHOLE_TARGET_VERTEX,
      `#version 300 es
      precision highp float;
      precision highp int;
      uniform highp sampler2D positions;
      uniform highp sampler2D normals;
      uniform highp sampler2DArray depths;
      ${depthViewGlsl}
      uniform View views[${BATCH}];
      uniform float weights[${BATCH}];
      uniform vec3 axes[${BATCH}];
      uniform vec3 centres[${BATCH}];
      uniform vec3 places[${BATCH}];
      uniform vec3 rights[${BATCH}];
      uniform vec3 ups[${BATCH}];
      uniform vec3 patterns[${BATCH}];
      uniform int count;
      layout(location = 0) out float exposure;
      ${visibleShareGlsl}
      ${emitterKernelGlsl}
      void main() {
        ivec2 at = ivec2(gl_FragCoord.xy);
        vec3 position = texelFetch(positions, at, 0).xyz;
        vec3 normal = texelFetch(normals, at, 0).xyz;
        exposure = 0.0;
        for (int i = 0; i < count; i++) {
          float kernel = views[i].perspective
            ? nozzleKernel(views[i].origin, axes[i], patterns[i], position, normal)
            : parallelKernel(views[i].toward, normal) * coverage(views[i].toward, places[i], centres[i], axes[i], rights[i], ups[i], position);
          if (kernel > 0.0) exposure += weights[i] * kernel * visibleShare(depths, i, views[i], position, normal);
        }
      }`,
    ),
  }
}

export function createGpuBaker(
  gl: WebGL2RenderingContext,
  programs: { readonly draw: Pass; readonly gather: Pass },
  { figure, positions, normals, triangles, few }: GpuFigure,
): GpuBaker {
  const closed = closedParts(figure)
  const autoSize = bufferSizeFor(figure)
  const depthTarget = gl.createFramebuffer()
  const fieldTarget = gl.createFramebuffer()
  const depths = new Map<Emitter['kind'], { readonly texture: WebGLTexture; readonly side: number }>()
  let grouped: { readonly key: string; readonly groups: readonly Drawn[] } | null = null

  /**
   * Storage for BATCH depth buffers of this side at least. Seen in parallel, 1/65536 of the figure's depth is a fiftieth
   * of a pixel; from a nozzle depth is 1/distance, and needs more.
   */
  function depthsOf(kind: Emitter['kind'], side: number): WebGLTexture {
    const have = depths.get(kind)
    if (have && have.side >= side) return have.texture
    if (have) gl.deleteTexture(have.texture)
    const format = kind === 'parallel' ? gl.DEPTH_COMPONENT16 : gl.DEPTH_COMPONENT32F
    const texture = createTexture(gl, format, side, side, BATCH)
    depths.set(kind, { texture, side })
    return texture
  }

  function drawDepths(
    texture: WebGLTexture,
    views: readonly DepthView[],
    ranges: readonly DepthRange[],
    runs: Drawn['runs'],
    triangles: WebGLVertexArrayObject,
  ): void {
    const { draw } = programs
    // biome-ignore lint/correctness/useHookAtTopLevel: WebGL's useProgram is no React hook
    gl.useProgram(draw.program)
    gl.bindFramebuffer(gl.FRAMEBUFFER, depthTarget)
    gl.bindVertexArray(triangles)
    gl.enable(gl.DEPTH_TEST)
    views.forEach((view, layer) => {
      const { width, height } = view
      gl.framebufferTextureLayer(gl.FRAMEBUFFER, gl.DEPTH_ATTACHMENT, texture, 0, layer)
      gl.drawBuffers([gl.NONE])
      gl.viewport(0, 0, width, height)
      gl.disable(gl.SCISSOR_TEST)
      gl.clear(gl.DEPTH_BUFFER_BIT)
      // The rim stays empty, as in the twin.
      gl.enable(gl.SCISSOR_TEST)
      gl.scissor(2, 2, width - 4, height - 4)
      setView(gl, draw, 'view', view, ranges[layer])
      for (const { firstTriangle, triangleCount, closed } of runs) {
        if (closed) gl.enable(gl.CULL_FACE)
        else gl.disable(gl.CULL_FACE)
        gl.drawElements(gl.TRIANGLES, 3 * triangleCount, gl.UNSIGNED_INT, 12 * firstTriangle)
      }
    })
    gl.disable(gl.CULL_FACE)
    gl.disable(gl.DEPTH_TEST)
    gl.disable(gl.SCISSOR_TEST)
    gl.bindVertexArray(null)
  }

  function gather(
    field: WebGLTexture,
    depths: WebGLTexture,
    emitters: readonly Emitter[],
    views: readonly DepthView[],
    ranges: readonly DepthRange[],
    group: Drawn,
  ): void {
    const { gather } = programs
    // biome-ignore lint/correctness/useHookAtTopLevel: WebGL's useProgram is no React hook
    gl.useProgram(gather.program)
    gl.bindFramebuffer(gl.FRAMEBUFFER, fieldTarget)
    gl.framebufferTexture2D(gl.FRAMEBUFFER, gl.COLOR_ATTACHMENT0, gl.TEXTURE_2D, field, 0)
    bindTexture(gl, 0, gl.TEXTURE_2D, positions)
    bindTexture(gl, 1, gl.TEXTURE_2D, normals)
    bindTexture(gl, 2, gl.TEXTURE_2D_ARRAY, depths)
    gl.uniform1i(gather.at('positions'), 0)
    gl.uniform1i(gather.at('normals'), 1)
    gl.uniform1i(gather.at('depths'), 2)
    gl.uniform1i(gather.at('count'), emitters.length)
    emitters.forEach((emitter, i) => {
      setView(gl, gather, `views[${i}]`, views[i], ranges[i])
      gl.uniform1f(gather.at(`weights[${i}]`), emitter.weight)
      if (emitter.kind === 'nozzle') {
        gl.uniform3fv(gather.at(`axes[${i}]`), normalize(subtract(emitter.position, emitter.aim)))
        gl.uniform3fv(gather.at(`patterns[${i}]`), patternUniform(emitter.pattern))
      } else {
        const { swept } = emitter
        gl.uniform3fv(gather.at(`axes[${i}]`), swept?.axis ?? [0, 0, 0])
        gl.uniform3fv(gather.at(`centres[${i}]`), swept?.centre ?? [0, 0, 0])
        if (swept?.kind === 'rows') {
          gl.uniform3fv(gather.at(`rights[${i}]`), scale(swept.right, 1 / swept.halfWidthMm))
          gl.uniform3fv(gather.at(`ups[${i}]`), scale(swept.up, 1 / swept.halfHeightMm))
        }
        const place = swept ? (swept.kind === 'disc' ? DISC : ROWS) : EVERYWHERE
        gl.uniform3f(
          gather.at(`places[${i}]`),
          place,
          swept?.kind === 'disc' ? swept.radiusMm : 0,
          swept?.kind === 'disc' ? swept.softMm : 1,
        )
      }
    })
    gl.enable(gl.BLEND)
    gl.enable(gl.SCISSOR_TEST)
    for (const [x, y, width, height] of group.rectangles) {
      gl.viewport(x, y, width, height)
      gl.scissor(x, y, width, height)
      gl.drawArrays(gl.TRIANGLES, 0, 3)
    }
    gl.disable(gl.SCISSOR_TEST)
    gl.disable(gl.BLEND)
  }

  return {
    autoSize,
    add(field, partStates, emitters, size, coarsely = false) {
      const key = partsKey(figure.id, partStates)
      if (grouped?.key !== key)
        grouped = { key, groups: groupsOf(figure, partStates, closed).map(group => drawnOf(group, figure)) }
      const stand = coarsely && grouped.groups[0]?.isWhole ? few() : null
      for (const group of grouped.groups) {
        const runs = stand
          ? [{ firstTriangle: 0, triangleCount: stand.count, closed: group.runs.every(run => run.closed) }]
          : group.runs
        for (let first = 0; first < emitters.length; first += BATCH) {
          const batch = emitters.slice(first, first + BATCH)
          const views = batch.map(emitter => viewOf(emitter, group.box, size))
          const ranges = views.map(view => depthRangeOf(view, group.box))
          const side = Math.max(...views.map(view => Math.max(view.width, view.height)))
          const buffers = depthsOf(batch[0].kind, side)
          drawDepths(buffers, views, ranges, runs, stand?.triangles ?? triangles)
          gather(field, buffers, batch, views, ranges, group)
        }
      }
    },
    dispose() {
      for (const { texture } of depths.values()) gl.deleteTexture(texture)
      gl.deleteFramebuffer(depthTarget)
      gl.deleteFramebuffer(fieldTarget)
    },
  }
}

/** A group as few draws: parts that follow one another together. */
interface Drawn {
  readonly box: Box
  readonly runs: readonly { readonly firstTriangle: number; readonly triangleCount: number; readonly closed: boolean }[]
  readonly rectangles: ReturnType<typeof texelRectangles>
  /** Every part is in it. */
  readonly isWhole: boolean
}

function drawnOf({ box, ranges }: SprayGroup, { parts }: Figure): Drawn {
  const runs: { firstTriangle: number; triangleCount: number; closed: boolean }[] = []
  const spans: { first: number; count: number }[] = []
  for (const { firstTriangle, triangleCount, closed, firstVertex, vertexCount } of ranges) {
    const run = runs.at(-1)
    if (run && run.closed === closed && run.firstTriangle + run.triangleCount === firstTriangle)
      run.triangleCount += triangleCount
    else runs.push({ firstTriangle, triangleCount, closed })
    const span = spans.at(-1)
    if (span && span.first + span.count === firstVertex) span.count += vertexCount
    else spans.push({ first: firstVertex, count: vertexCount })
  }
  const rectangles = spans.flatMap(({ first, count }) => texelRectangles(first, count))
  return { box, runs, rectangles, isWhole: ranges.length === parts.length }
}

interface DepthRange {
  readonly top: number
  readonly range: number
}

/** The z (see DepthView) that a group takes, with a margin so that its farthest point is no empty pixel. */
function depthRangeOf(view: DepthView, box: Box): DepthRange {
  const near = cornersOf(box).map(corner => dot(subtract(corner, view.origin), view.toward))
  const [low, high] = [Math.min(...near), Math.max(...near)]
  if (!view.perspective) {
    const margin = 1e-3 * (high - low) + 1e-4
    return { top: high + margin, range: high - low + 2 * margin }
  }
  const nearest = Math.max(NEAREST_MM, -high)
  const farthest = Math.max(2 * nearest, -1.01 * low)
  return { top: 1 / nearest, range: 1 / nearest - 1 / farthest }
}

function setView(gl: WebGL2RenderingContext, pass: Pass, name: string, view: DepthView, { top, range }: DepthRange) {
  gl.uniform1i(pass.at(`${name}.perspective`), view.perspective ? 1 : 0)
  gl.uniform3fv(pass.at(`${name}.right`), view.right)
  gl.uniform3fv(pass.at(`${name}.up`), view.up)
  gl.uniform3fv(pass.at(`${name}.toward`), view.toward)
  gl.uniform3fv(pass.at(`${name}.origin`), view.origin)
  gl.uniform1f(pass.at(`${name}.pixel`), view.pixel)
  gl.uniform2f(pass.at(`${name}.centre`), view.centreX, view.centreY)
  gl.uniform2f(pass.at(`${name}.size`), view.width, view.height)
  gl.uniform1f(pass.at(`${name}.top`), top)
  gl.uniform1f(pass.at(`${name}.range`), range)
}
