import { DoubleSide, ExternalTexture, GLSL3, ShaderMaterial, Vector3 } from 'three'
import { SPOT_MM } from '../core/chain/grain.ts'
import { CLIPPED_ABOVE, CLIPPED_BELOW, SRGB_TO_P3 } from '../core/colour/display-p3.ts'
import { SURFACE } from '../core/film/saunderson.ts'
import { ISOLINE_LEVELS } from '../core/reading/reading.ts'
import { COLUMNS } from './gpu/vertex-texels.ts'
import { srgbGlsl } from './srgb.glsl.ts'

/** Black primer before the first answer is there, linear. */
const PRIMER = 0.012
/** Where the light of the unpainted figure comes from: form without any claim about paint. */
export const UNPAINTED_LIGHT = new Vector3(0.35, 0.8, 0.5).normalize()

export interface FigureUniforms {
  /** Drawing-buffer x from which the other side is shown; beyond the picture shows main alone. */
  readonly seamPx: { value: number }
  readonly painted: { value: boolean }
  /** Red is luminance, green exposure: values with lines of equal exposure. */
  readonly isolines: { value: boolean }
  /** The canvas takes Display P3 instead of sRGB. */
  readonly displayP3: { value: boolean }
  /** Hatches colours that the canvas cannot take. */
  readonly markOutside: { value: boolean }
  /** Unit, in world space, or zero for no shading. */
  readonly light: { value: Vector3 }
  /** Colours of the sides where the graphics card computes them: linear sRGB, a texel a vertex. */
  readonly mainTexels: { value: ExternalTexture }
  readonly otherTexels: { value: ExternalTexture }
}

export type FigureMaterial = ShaderMaterial & { uniforms: FigureUniforms }

/**
 * Shows colours as they come: linear sRGB per vertex, interpolated in linear light, encoded once. No tone mapping, no
 * light unless the lamp is on. A varnish takes from the colour what it mirrors elsewhere; under the lamp that comes back
 * as a highlight.
 * @param fromTexels colours come from textures, a texel a vertex, instead of attributes
 */
export function createFigureMaterial(fromTexels: boolean): FigureMaterial {
  const uniforms: FigureUniforms = {
    seamPx: { value: SHOW_MAIN },
    painted: { value: false },
    isolines: { value: false },
    displayP3: { value: false },
    markOutside: { value: false },
    light: { value: new Vector3() },
    mainTexels: { value: new ExternalTexture() },
    otherTexels: { value: new ExternalTexture() },
  }
  return new ShaderMaterial({
    glslVersion: GLSL3,
    defines: fromTexels ? { FROM_TEXELS: '' } : {},
    uniforms: uniforms as unknown as Record<string, { value: unknown }>,
    // Open shells of scanned or hollow figures show their inside, as the bake sprays both sides.
    side: DoubleSide,
    vertexShader,
    fragmentShader,
  }) as FigureMaterial
}

export const SHOW_MAIN = 1e9
export const SHOW_OTHER = -1e9

const vertexShader = /* glsl */ `
#ifdef FROM_TEXELS
uniform highp sampler2D mainTexels;
uniform highp sampler2D otherTexels;
#else
in vec3 sideMain;
in vec3 sideOther;
#endif
in vec4 surfaceMain;
in vec4 surfaceOther;
out vec3 vMain;
out vec3 vOther;
out vec4 vSurfaceMain;
out vec4 vSurfaceOther;
out vec3 vNormal;
out vec3 vPlace;
void main() {
#ifdef FROM_TEXELS
  ivec2 texel = ivec2(gl_VertexID % ${COLUMNS}, gl_VertexID / ${COLUMNS});
  vMain = texelFetch(mainTexels, texel, 0).rgb;
  vOther = texelFetch(otherTexels, texel, 0).rgb;
#else
  vMain = sideMain;
  vOther = sideOther;
#endif
  vSurfaceMain = surfaceMain;
  vSurfaceOther = surfaceOther;
  vNormal = normal;
  vPlace = position;
  gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0);
}
`

const fragmentShader = /* glsl */ `
precision highp float;
uniform float seamPx;
uniform bool painted;
uniform bool isolines;
uniform bool displayP3;
uniform bool markOutside;
uniform vec3 light;
in vec3 vMain;
in vec3 vOther;
in vec4 vSurfaceMain;
in vec4 vSurfaceOther;
in vec3 vNormal;
in vec3 vPlace;
layout(location = 0) out vec4 pixel;
${srgbGlsl}
const mat3 SRGB_TO_P3 = mat3(
  ${[0, 1, 2].map(c => SRGB_TO_P3.map(row => row[c].toFixed(8)).join(', ')).join(', ')}
);
bool isClipped(vec3 colour) {
  return any(lessThan(colour, vec3(${CLIPPED_BELOW}))) || any(greaterThan(colour, vec3(${CLIPPED_ABOVE})));
}
// Thin lines as dark on light paint as they are light on dark.
vec3 hatched(vec3 colour) {
  float grey = dot(clamp(colour, 0.0, 1.0), vec3(0.2126, 0.7152, 0.0722)) > 0.18 ? 0.0 : 1.0;
  return mod(gl_FragCoord.x + gl_FragCoord.y, 9.0) < 2.0 ? mix(colour, vec3(grey), 0.7) : colour;
}
// Integers that look random, from three others (Jarzynski, Olano 2020: pcg3d).
uvec3 scrambled(uvec3 v) {
  v = v * 1664525u + 1013904223u;
  for (int i = 0; i < 2; i++) {
    v.x += v.y * v.z;
    v.y += v.z * v.x;
    v.z += v.x * v.y;
    v ^= v >> 16u;
  }
  return v;
}
// A number of -1 to 1 for the droplet's spot at this place, alike all over it: the nearest of points strewn through space.
float spotAt(vec3 place) {
  vec3 at = place / ${SPOT_MM.toFixed(3)};
  ivec3 corner = ivec3(floor(at - 0.5));
  float nearest = 1e9;
  float spot = 0.0;
  for (int i = 0; i < 8; i++) {
    ivec3 cell = corner + ivec3(i & 1, (i >> 1) & 1, i >> 2);
    uvec3 bits = scrambled(uvec3(cell));
    // Sixteen bits say where the point lies, the others how bright the spot is.
    vec3 away = at - vec3(cell) - 0.2 - 0.6 * vec3(bits & 0xffffu) / 65535.0;
    float distance = dot(away, away);
    if (distance < nearest) {
      nearest = distance;
      spot = float(bits.x >> 16u) / 32767.5 - 1.0;
    }
  }
  return spot;
}
// Droplets seen close: evenly between brighter and darker than the mean, with the spread that belongs here. From afar,
// where a spot is smaller than a pixel, the mean alone.
float grainy(float spread) {
  float mmPerPixel = max(length(dFdx(vPlace)), length(dFdy(vPlace)));
  float near = smoothstep(1.0, 2.5, ${SPOT_MM.toFixed(3)} / mmPerPixel);
  return near * spread > 0.0 ? 1.0 + near * min(1.0, sqrt(3.0) * spread) * spotAt(vPlace) : 1.0;
}
// A lamp with a little light from everywhere else: 1 where the surface faces it, so that colours stay comparable.
const float AROUND = 0.22;
float facing(vec3 toward) {
  return max(0.0, dot(normalize(vNormal), toward));
}
// Mirrored lamp light, where a white that faces the lamp sends 1: microfacets (Walter and others 2007, GGX), the visible
// part by Smith, Fresnel's share by Schlick.
float lobe(vec3 toward, float roughness, float faceOn) {
  vec3 eye = normalize(cameraPosition - vPlace);
  vec3 normal = normalize(vNormal);
  vec3 half_ = normalize(toward + eye);
  float nl = facing(toward);
  float nv = max(1e-3, abs(dot(normal, eye)));
  float nh = dot(normal, half_);
  float a2 = roughness * roughness;
  float spread = nh * nh * (a2 - 1.0) + 1.0;
  float seen = 0.5 / max(1e-4, nl * sqrt(nv * nv * (1.0 - a2) + a2) + nv * sqrt(nl * nl * (1.0 - a2) + a2));
  float fresnel = faceOn + (1.0 - faceOn) * pow(1.0 - max(0.0, dot(half_, eye)), 5.0);
  return fresnel * a2 / (spread * spread) * seen * nl;
}
// How much of a pixel a line at this exposure covers; about a pixel and a half wide at any slope, none on a flat face.
float lineAt(float exposure, float level) {
  float slope = fwidth(exposure);
  float line = 1.0 - smoothstep(0.5, 1.2, abs(exposure - level) / max(slope, 2e-4));
  // Steeper than a level in three pixels the lines would run into one another.
  return slope < 2e-4 ? 0.0 : line * (1.0 - smoothstep(0.04, 0.12, slope));
}
vec3 withLines(float luminance, float exposure) {
  float line = 0.0;
  ${ISOLINE_LEVELS.map(level => `line = max(line, lineAt(exposure, ${level.toFixed(2)}));`).join('\n  ')}
  // Values pale enough that a black line is seen on all of them.
  return vec3(mix(0.16 + 0.74 * clamp(luminance, 0.0, 1.0), 0.0, line));
}
void main() {
  bool isMain = gl_FragCoord.x < seamPx;
  vec3 paint = isMain ? vMain : vOther;
  vec4 surface = isMain ? vSurfaceMain : vSurfaceOther;
  float shine = surface.r;
  paint *= grainy(surface.b);
  vec3 colour = !painted ? vec3(${PRIMER}) : isolines ? withLines(paint.r, paint.g) : paint - shine * ${SURFACE.k1};
  vec3 unlit = colour;
  if (dot(light, light) > 0.0) {
    float metal = surface.g;
    vec3 flakes = metal * (1.0 - AROUND) * lobe(light, 0.4, 1.0) * colour;
    colour = colour * (1.0 - 0.6 * metal) * (AROUND + (1.0 - AROUND) * facing(light)) + flakes;
    if (shine > 0.0) colour += (1.0 - AROUND) * shine * lobe(light, mix(0.5, 0.12, shine), ${SURFACE.k1});
  }
  if (displayP3) colour = SRGB_TO_P3 * colour;
  if (markOutside && painted && isClipped(displayP3 ? SRGB_TO_P3 * unlit : unlit)) colour = hatched(colour);
  pixel = vec4(srgbOf(colour), 1.0);
}
`
