import {
  BufferAttribute,
  CustomBlending,
  DynamicDrawUsage,
  GLSL3,
  GreaterDepth,
  Group,
  InstancedBufferAttribute,
  InstancedBufferGeometry,
  LessEqualDepth,
  Mesh,
  OneMinusSrcAlphaFactor,
  ShaderMaterial,
  SrcAlphaFactor,
  Vector2,
  Vector4,
  type WebGLRenderer,
} from 'three'
import type { Vec3 } from '../core/vec3.ts'

export interface Segment {
  readonly from: Vec3
  readonly to: Vec3
  /** Opacity 0…1 where nothing hides it; behind the figure a third of that. */
  readonly alpha: number
  readonly dashed?: boolean
}

/** Straight lines of even width on screen, antialiased, fainter where the figure hides them. White: the interface has no colour. */
export class ThinLines extends Group {
  readonly #geometry = new InstancedBufferGeometry()
  readonly #materials: ShaderMaterial[]
  #capacity = 0

  constructor() {
    super()
    // x: which end, y: which edge of the line
    this.#geometry.setAttribute(
      'position',
      new BufferAttribute(new Float32Array([0, -1, 0, 1, -1, 0, 1, 1, 0, 0, 1, 0]), 3),
    )
    this.#geometry.setIndex([0, 1, 2, 0, 2, 3])
    this.#geometry.instanceCount = 0
    this.#materials = [lineMaterial(1, false), lineMaterial(0.3, true)]
    for (const material of this.#materials) {
      const mesh = new Mesh(this.#geometry, material)
      mesh.frustumCulled = false
      mesh.onBeforeRender = renderer => setViewport(renderer, material)
      this.add(mesh)
    }
  }

  show(segments: readonly Segment[]): void {
    if (segments.length > this.#capacity) this.#grow(Math.max(64, 2 * segments.length))
    this.#geometry.instanceCount = segments.length
    if (this.#capacity === 0) return
    const from = this.#geometry.getAttribute('from') as InstancedBufferAttribute
    const to = this.#geometry.getAttribute('to') as InstancedBufferAttribute
    const style = this.#geometry.getAttribute('style') as InstancedBufferAttribute
    segments.forEach((segment, i) => {
      from.setXYZ(i, ...segment.from)
      to.setXYZ(i, ...segment.to)
      style.setXY(i, segment.alpha, segment.dashed ? 1 : 0)
    })
    for (const attribute of [from, to, style]) attribute.needsUpdate = true
  }

  override dispose(): void {
    this.#geometry.dispose()
    for (const material of this.#materials) material.dispose()
  }

  #grow(capacity: number): void {
    // A buffer on the GPU keeps its size: drop the old ones with their geometry's resources.
    this.#geometry.dispose()
    for (const [name, size] of [
      ['from', 3],
      ['to', 3],
      ['style', 2],
    ] as const) {
      const attribute = new InstancedBufferAttribute(new Float32Array(size * capacity), size)
      attribute.setUsage(DynamicDrawUsage)
      this.#geometry.setAttribute(name, attribute)
    }
    this.#capacity = capacity
  }
}

const viewport = new Vector4()

function setViewport(renderer: WebGLRenderer, material: ShaderMaterial): void {
  renderer.getCurrentViewport(viewport)
  const size = material.uniforms.viewportPx.value as Vector2
  const ratio = renderer.getPixelRatio()
  material.uniforms.pxRatio.value = ratio
  material.uniformsNeedUpdate = true
  size.set(viewport.z, viewport.w)
}

function lineMaterial(strength: number, hidden: boolean): ShaderMaterial {
  return new ShaderMaterial({
    glslVersion: GLSL3,
    uniforms: { viewportPx: { value: new Vector2(1, 1) }, pxRatio: { value: 1 }, strength: { value: strength } },
    transparent: true,
    depthWrite: false,
    depthFunc: hidden ? GreaterDepth : LessEqualDepth,
    blending: CustomBlending,
    blendSrc: SrcAlphaFactor,
    blendDst: OneMinusSrcAlphaFactor,
    vertexShader,
    fragmentShader,
  })
}

const vertexShader = /* glsl */ `
in vec3 from;
in vec3 to;
in vec2 style;
uniform vec2 viewportPx;
uniform float pxRatio;
out float vAcrossPx;
out float vAlongPx;
out vec2 vStyle;
const float NEAR_W = 0.5;
void main() {
  vec4 a = projectionMatrix * viewMatrix * vec4(from, 1.0);
  vec4 b = projectionMatrix * viewMatrix * vec4(to, 1.0);
  vStyle = style;
  vAcrossPx = 0.0;
  vAlongPx = 0.0;
  if (a.w < NEAR_W && b.w < NEAR_W) {
    gl_Position = vec4(2.0, 2.0, 2.0, 1.0);
    return;
  }
  if (a.w < NEAR_W) a = mix(b, a, (b.w - NEAR_W) / (b.w - a.w));
  if (b.w < NEAR_W) b = mix(a, b, (a.w - NEAR_W) / (a.w - b.w));
  vec3 start = a.xyz / a.w;
  vec3 end = b.xyz / b.w;
  vec2 span = (end.xy - start.xy) * 0.5 * viewportPx;
  float spanPx = max(length(span), 1e-4);
  vec2 aside = vec2(-span.y, span.x) / spanPx;
  float half_ = 0.625 * pxRatio + 1.0;
  vAcrossPx = position.y * half_ / pxRatio;
  vAlongPx = position.x * spanPx / pxRatio;
  vec3 at = mix(start, end, position.x);
  // Drawn already divided: then everything varies evenly over the screen, as width and dashes must.
  gl_Position = vec4(at.xy + aside * position.y * half_ * 2.0 / viewportPx, at.z, 1.0);
}
`

const fragmentShader = /* glsl */ `
precision highp float;
uniform float strength;
uniform float pxRatio;
in float vAcrossPx;
in float vAlongPx;
in vec2 vStyle;
layout(location = 0) out vec4 pixel;
void main() {
  float inside = clamp((0.625 - abs(vAcrossPx)) * pxRatio + 0.5, 0.0, 1.0);
  float dash = vStyle.y > 0.5 ? smoothstep(0.0, 1.0, 2.5 - abs(mod(vAlongPx, 8.0) - 4.0)) : 1.0;
  pixel = vec4(vec3(1.0), vStyle.x * strength * inside * dash);
}
`
