import { useThree } from '@react-three/fiber'
import { useEffect, useLayoutEffect, useMemo } from 'react'
import {
  BufferAttribute,
  BufferGeometry,
  CustomBlending,
  DoubleSide,
  GLSL3,
  Mesh,
  OneMinusSrcAlphaFactor,
  ShaderMaterial,
  SrcAlphaFactor,
} from 'three'
import type { Figure } from '../core/mesh/figure.ts'
import type { FigurePanels } from '../core/surface/figure-panels.ts'
import { GUIDES_LAYER } from './draw-panes.ts'

/** Hatches one area: white lines with a dark side, which show on any paint. Left out of pictures, like every guide. */
export function AreaMark(props: { readonly figure: Figure; readonly panels: FigurePanels; readonly areaId: string }) {
  const { figure, panels, areaId } = props
  const invalidate = useThree(state => state.invalidate)
  const material = useMemo(createHatch, [])
  const mesh = useMemo(() => {
    const made = new Mesh(geometryOf(figure, panels, areaId), material)
    made.frustumCulled = false
    made.layers.set(GUIDES_LAYER)
    made.onBeforeRender = renderer => {
      material.uniforms.pxRatio.value = renderer.getPixelRatio()
      material.uniformsNeedUpdate = true
    }
    return made
  }, [figure, panels, areaId, material])
  useEffect(() => () => material.dispose(), [material])
  useLayoutEffect(() => {
    invalidate()
    return () => {
      mesh.geometry.dispose()
      invalidate()
    }
  }, [mesh, invalidate])
  return <primitive object={mesh} />
}

/** The figure's triangles that belong to the area. */
function geometryOf(figure: Figure, { panels, panelOf }: FigurePanels, areaId: string): BufferGeometry {
  const panel = panels.findIndex(p => p.id === areaId)
  const corners: number[] = []
  panelOf.forEach((of, t) => {
    if (of === panel) corners.push(...figure.triangles.subarray(3 * t, 3 * t + 3))
  })
  const geometry = new BufferGeometry()
  geometry.setAttribute('position', new BufferAttribute(figure.positions, 3))
  geometry.setIndex(corners)
  return geometry
}

const createHatch = () =>
  new ShaderMaterial({
    glslVersion: GLSL3,
    uniforms: { pxRatio: { value: 1 } },
    side: DoubleSide,
    transparent: true,
    depthWrite: false,
    // Just in front of the surface it lies on.
    polygonOffset: true,
    polygonOffsetFactor: -1,
    polygonOffsetUnits: -4,
    blending: CustomBlending,
    blendSrc: SrcAlphaFactor,
    blendDst: OneMinusSrcAlphaFactor,
    vertexShader: /* glsl */ `
void main() {
  gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0);
}
`,
    fragmentShader: /* glsl */ `
precision highp float;
uniform float pxRatio;
layout(location = 0) out vec4 pixel;
// A stripe of this width around \`at\`, CSS px, with edges one drawing-buffer pixel wide.
float stripe(float across, float at, float width) {
  return clamp((0.5 * width - abs(across - at)) * pxRatio + 0.5, 0.0, 1.0);
}
void main() {
  float across = mod((gl_FragCoord.x + gl_FragCoord.y) / (1.41421356 * pxRatio), 6.0);
  float white = stripe(across, 2.0, 1.5);
  float dark = stripe(across, 3.5, 1.5);
  pixel = vec4(vec3(white), max(0.9 * white, 0.6 * dark));
}
`,
  })
