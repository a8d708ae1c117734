/** The exact piecewise curve of IEC 61966-2-1, clamped to what a pixel can hold. Twin of the core's encoding. */
export const srgbGlsl = /* glsl */ `
vec3 srgbOf(vec3 linear) {
  vec3 c = clamp(linear, 0.0, 1.0);
  return mix(1.055 * pow(c, vec3(1.0 / 2.4)) - 0.055, 12.92 * c, vec3(lessThanEqual(c, vec3(0.0031308))));
}
`
