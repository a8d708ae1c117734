import { luminanceOf } from './lab.ts'

/** GPU twins of luminanceOf, lStarOfLuminance and luminanceOfLStar (lab.ts), GLSL ES 3.00. Change both or neither. */
export const lightnessGlsl = /* glsl */ `
float luminanceOf(vec3 rgb) {
  return dot(rgb, vec3(${luminanceOf(1, 0, 0)}, ${luminanceOf(0, 1, 0)}, ${luminanceOf(0, 0, 1)}));
}
float lStarOfLuminance(float y) {
  return y > 216.0 / 24389.0 ? 116.0 * pow(y, 1.0 / 3.0) - 16.0 : 24389.0 / 27.0 * y;
}
float luminanceOfLStar(float l) {
  return l > 8.0 ? pow((l + 16.0) / 116.0, 3.0) : l * 27.0 / 24389.0;
}
`
