import { BIAS_CURVE, BIAS_MAX_TAN2, BIAS_PIXELS, MAX_SLOPE } from './depth-kernel.ts'

const float = (x: number) => x.toExponential(9)

/**
 * GPU twin of plain-depth-kernel.ts, GLSL ES 3.00; that file says what each step means and why. Change both or neither;
 * tests/browser/gpu-bake.test.ts compares them vertex by vertex.
 *
 * A depth buffer of the graphics card holds 0 nearest to the source and 1 farthest: (top − z) / range, z as in
 * DepthView. 1 is an empty pixel.
 */
export const depthViewGlsl = /* glsl */ `
struct View {
  bool perspective;
  vec3 right;
  vec3 up;
  vec3 toward;
  vec3 origin;
  float pixel;
  vec2 centre;
  vec2 size;
  float top;
  float range;
};
`

/** Where a vertex stands in the depth buffer, clip space. */
export const projectGlsl = /* glsl */ `
vec4 projected(View view, vec3 position) {
  vec3 q = position - view.origin;
  vec2 across = vec2(dot(q, view.right), dot(q, view.up)) / view.pixel;
  float near = dot(q, view.toward);
  if (!view.perspective) return vec4(2.0 * (across + view.centre) / view.size - 1.0, 2.0 * (view.top - near) / view.range - 1.0, 1.0);
  float t = -near;
  return vec4(2.0 * (across + view.centre * t) / view.size - t, 2.0 * (view.top * t - 1.0) / view.range - t, t);
}
`

export const visibleShareGlsl = /* glsl */ `
// 1 where nothing at that pixel is nearer to the source than the vertex's tangent plane.
float clear(highp sampler2DArray depths, ivec3 at, View view, float limit) {
  float depth = texelFetch(depths, at, 0).r;
  return depth >= 1.0 || view.top - depth * view.range <= limit ? 1.0 : 0.0;
}

float visibleShare(highp sampler2DArray depths, int layer, View view, vec3 position, vec3 normal) {
  vec3 q = position - view.origin;
  float near = dot(q, view.toward);
  if (view.perspective && near >= -1e-3) return 1.0;
  float z = view.perspective ? -1.0 / near : near;
  vec2 screen = vec2(dot(q, view.right), dot(q, view.up)) / view.pixel * (view.perspective ? z : 1.0) + view.centre - 0.5;
  vec2 corner = floor(screen);
  if (any(lessThan(corner, vec2(1.0))) || any(greaterThan(corner, view.size - 3.0))) return 1.0;
  float cosGamma = view.perspective ? -dot(normal, q) * z : dot(normal, view.toward);
  float unit = view.perspective ? view.pixel * z : view.pixel;
  vec2 tangent = -vec2(dot(normal, view.right), dot(normal, view.up)) / max(cosGamma, 1e-6);
  float tan2 = dot(tangent, tangent);
  vec2 slope = tangent * min(1.0, ${float(MAX_SLOPE)} / sqrt(tan2 + 1e-12)) * unit;
  float bias = unit * (${float(BIAS_PIXELS)} + ${float(BIAS_CURVE)} * min(tan2, ${float(BIAS_MAX_TAN2)}));
  vec2 uv = screen - corner;
  float limit = z + bias - dot(slope, uv);
  ivec3 at = ivec3(ivec2(corner), layer);
  float share =
    clear(depths, at, view, limit) * (1.0 - uv.x) * (1.0 - uv.y) +
    clear(depths, at + ivec3(1, 0, 0), view, limit + slope.x) * uv.x * (1.0 - uv.y) +
    clear(depths, at + ivec3(0, 1, 0), view, limit + slope.y) * (1.0 - uv.x) * uv.y +
    clear(depths, at + ivec3(1, 1, 0), view, limit + slope.x + slope.y) * uv.x * uv.y;
  return clamp(2.0 * share - 0.5, 0.0, 1.0);
}
`
