import { unreachable } from '../unreachable.ts'
import type { SprayPattern } from './spray-pattern.ts'

/** Where a parallel emitter counts: kinds of its place in `coverage`. */
export const EVERYWHERE = 0
export const DISC = 1
export const ROWS = 2

/**
 * GPU twins of densityPerSr (spray-pattern.ts) and of kernelAt and coverageOf (emitters.ts), GLSL ES 3.00. Change both
 * or neither; tests/browser/gpu-bake.test.ts compares them.
 *
 *   pattern  kind (0 gaussian, 1 beta, 2 cone) and two numbers: see patternUniform
 */
export const emitterKernelGlsl = /* glsl */ `
float densityPerSr(vec3 pattern, float cosTheta) {
  if (cosTheta <= 0.0) return 0.0;
  float cos2 = cosTheta * cosTheta;
  float tan2 = (1.0 - cos2) / cos2;
  if (pattern.x == 0.0) return exp(-tan2 / (2.0 * pattern.y)) / (6.283185307 * pattern.y * cos2 * cosTheta);
  if (pattern.x == 1.0) {
    if (tan2 >= pattern.y) return 0.0;
    return pattern.z / (3.141592654 * pattern.y * cos2 * cosTheta) * pow(1.0 - tan2 / pattern.y, pattern.z - 1.0);
  }
  return cosTheta >= pattern.y ? pattern.z : 0.0;
}

// position and axis of the nozzle: the axis points from the figure to it.
float nozzleKernel(vec3 position, vec3 axis, vec3 pattern, vec3 point, vec3 normal) {
  vec3 toSource = position - point;
  float distance2 = dot(toSource, toSource);
  float apart = sqrt(distance2);
  return densityPerSr(pattern, dot(toSource, axis) / apart) * max(0.0, dot(normal, toSource)) / (distance2 * apart);
}

float parallelKernel(vec3 toward, vec3 normal) {
  return max(0.0, dot(normal, toward));
}

// place: kind, and of a disc its radius and softness, mm. right and up of a rectangle: unit over half its extent.
float coverage(vec3 toward, vec3 place, vec3 centre, vec3 axis, vec3 right, vec3 up, vec3 point) {
  if (place.x == ${EVERYWHERE}.0) return 1.0;
  vec3 toCentre = centre - point;
  vec3 off = toCentre - toward * (dot(toCentre, axis) / dot(toward, axis));
  if (place.x == ${DISC}.0) return clamp((place.y + place.z - length(off)) / (2.0 * place.z), 0.0, 1.0);
  return max(abs(dot(off, right)), abs(dot(off, up))) <= 1.0 ? 1.0 : 0.0;
}
`

export function patternUniform(pattern: SprayPattern): readonly [number, number, number] {
  switch (pattern.kind) {
    case 'gaussian':
      return [0, pattern.s * pattern.s, 0]
    case 'beta':
      return [1, pattern.edgeTan * pattern.edgeTan, pattern.b]
    case 'cone': {
      const edge = Math.cos((pattern.halfAngleDegrees * Math.PI) / 180)
      return [2, edge, 1 / (2 * Math.PI * (1 - edge))]
    }
    default:
      return unreachable(pattern)
  }
}
