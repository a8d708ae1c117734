import {
  BufferAttribute,
  BufferGeometry,
  CustomBlending,
  DynamicDrawUsage,
  GLSL3,
  Mesh,
  OneMinusSrcAlphaFactor,
  ShaderMaterial,
  SrcAlphaFactor,
  Vector3,
} from 'three'
import type { Torch } from '../core/recipe/recipe.ts'
import { add, cross, length, scale, type Vec3 } from '../core/vec3.ts'
import type { Framing } from './framing.ts'
import type { TorchGizmo } from './torch-gizmo.ts'

/**
 * The mist between nozzle and aim point, as dense across as the Gaussian that the exposure uses. Drawn before the
 * figure, which covers it: the paint's colours are never seen through it.
 */
export class SprayBeam extends Mesh<BufferGeometry, ShaderMaterial> {
  constructor() {
    const geometry = new BufferGeometry()
    const corners = new BufferAttribute(new Float32Array(12), 3)
    corners.setUsage(DynamicDrawUsage)
    geometry.setAttribute('position', corners)
    geometry.setIndex([0, 1, 2, 0, 2, 3])
    super(
      geometry,
      new ShaderMaterial({
        glslVersion: GLSL3,
        uniforms: {
          nozzle: { value: new Vector3() },
          axis: { value: new Vector3() },
          lengthMm: { value: 1 },
          spread: { value: 0.08 },
          strength: { value: 0 },
        },
        // Not 'transparent': that list is drawn after the figure.
        transparent: false,
        depthWrite: false,
        depthTest: false,
        blending: CustomBlending,
        blendSrc: SrcAlphaFactor,
        blendDst: OneMinusSrcAlphaFactor,
        side: 2,
        vertexShader,
        fragmentShader,
      }),
    )
    this.frustumCulled = false
    this.renderOrder = -1
  }

  show(torch: Torch, gizmo: TorchGizmo, framing: Framing, isSelected: boolean): void {
    this.visible = !torch.muted
    const across = cross(gizmo.toward, framing.back)
    // Seen along its axis the sheet is a line and the mist a disc: let it fade rather than flicker.
    const sideways = length(across)
    const uniforms = this.material.uniforms
    uniforms.strength.value = (isSelected ? 0.2 : 0.09) * Math.min(1, 1.6 * sideways)
    uniforms.nozzle.value.set(...gizmo.nozzle)
    uniforms.axis.value.set(...scale(gizmo.toward, -1))
    uniforms.lengthMm.value = torch.distanceMm
    uniforms.spread.value = torch.spread
    const aside = scale(across, 1 / Math.max(sideways, 1e-6))
    const halfWidth = 3 * torch.spread * torch.distanceMm
    const corners: readonly Vec3[] = [
      gizmo.nozzle,
      gizmo.nozzle,
      add(gizmo.aim, scale(aside, halfWidth)),
      add(gizmo.aim, scale(aside, -halfWidth)),
    ]
    const attribute = this.geometry.getAttribute('position') as BufferAttribute
    corners.forEach((corner, i) => {
      attribute.setXYZ(i, ...corner)
    })
    attribute.needsUpdate = true
    this.material.uniformsNeedUpdate = true
  }

  override dispose(): void {
    this.geometry.dispose()
    this.material.dispose()
  }
}

const vertexShader = /* glsl */ `
out vec3 vAt;
void main() {
  vAt = position;
  gl_Position = projectionMatrix * viewMatrix * vec4(position, 1.0);
}
`

const fragmentShader = /* glsl */ `
precision highp float;
uniform vec3 nozzle;
uniform vec3 axis;
uniform float lengthMm;
uniform float spread;
uniform float strength;
in vec3 vAt;
layout(location = 0) out vec4 pixel;
void main() {
  vec3 from = vAt - nozzle;
  float along = dot(from, axis);
  float off = length(from - along * axis);
  float sigma = spread * max(along, 0.5);
  float mist = exp(-0.5 * (off * off) / (sigma * sigma));
  // Thins towards the aim, as the same liquid fills a wider cone; ends softly there.
  float share = along / lengthMm;
  float fade = smoothstep(1.0, 0.72, share) * mix(1.0, 0.55, share);
  pixel = vec4(vec3(1.0), strength * mist * fade);
}
`
