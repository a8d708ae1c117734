/**
 * GPU twin of plainKernel (stack-kernel.ts), GLSL ES 3.00: same tables, same order, same rearrangement. 16 bands are four
 * vec4. Change both or neither; tests/browser/film-shader.test.ts compares this with the exact path.
 *
 *   tables   one layer a coat, RGBA32F, 12 × TABLE_NODES: MistTable.values as they are, a row a node (4 A, 4 M, 4 C)
 *   weights  RGB_WEIGHTS or rgbWeightsUnder(lamp): 3 rows of 4
 */
export const stackKernelGlsl = /* glsl */ `
vec4 mixedRow(highp sampler2DArray tables, int layer, int node, float t, int texel) {
  vec4 low = texelFetch(tables, ivec3(texel, node, layer), 0);
  return low + t * (texelFetch(tables, ivec3(texel, node + 1, layer), 0) - low);
}

void putOn(inout vec4 p[4], inout vec4 q[4], highp sampler2DArray tables, int layer, float nodesPerRootUm, float um) {
  if (um <= 0.0) return;
  float place = sqrt(um) * nodesPerRootUm;
  int node = min(int(place), textureSize(tables, 0).y - 2);
  float t = min(1.0, place - float(node));
  for (int i = 0; i < 4; i++) {
    vec4 a = mixedRow(tables, layer, node, t, i);
    vec4 m = mixedRow(tables, layer, node, t, 4 + i);
    vec4 c = mixedRow(tables, layer, node, t, 8 + i);
    vec4 under = p[i];
    p[i] = a * q[i] + m * under;
    q[i] -= c * under;
  }
}

vec3 see(vec4 p[4], vec4 q[4], vec4 weights[12], float k1, float k2) {
  vec3 rgb = vec3(k1);
  for (int i = 0; i < 4; i++) {
    vec4 u = (1.0 - k1) * (1.0 - k2) * p[i] / (q[i] - k2 * p[i]);
    rgb += vec3(dot(weights[i], u), dot(weights[4 + i], u), dot(weights[8 + i], u));
  }
  return rgb;
}
`
