/** One line for each of the four vec4 that 16 bands are: names in registers, where an array would live in memory. */
const each = (line: (i: number) => string): string => [0, 1, 2, 3].map(line).join('\n  ')

/**
 * GPU twin of plainKernel (stack-kernel.ts), GLSL ES 3.00: same tables, same order, same rearrangement. Change both or
 * neither; tests/browser/film-shader.test.ts compares this with the exact path.
 *
 *   tables   one layer a coat, RGBA32F, 12 × TABLE_NODES: MistTable.values as they are, a row a node (4 A, 4 M, 4 C)
 *   weights  RGB_WEIGHTS or rgbWeightsUnder(lamp): 3 rows of 4
 */
export const stackKernelGlsl = /* glsl */ `
// Reflectance of the stack so far as the fraction p/q.
struct Stack {
  ${each(i => `vec4 p${i}; vec4 q${i};`)}
};

Stack stackOn(vec4 ground[4]) {
  return Stack(${[0, 1, 2, 3].map(i => `ground[${i}], vec4(1.0)`).join(', ')});
}

vec4 mixedRow(highp sampler2DArray tables, ivec3 at, float t) {
  vec4 low = texelFetch(tables, at, 0);
  return low + t * (texelFetch(tables, at + ivec3(0, 1, 0), 0) - low);
}

void putOn(inout Stack s, highp sampler2DArray tables, int layer, float nodesPerRootUm, float um) {
  if (um <= 0.0) return;
  float place = sqrt(um) * nodesPerRootUm;
  int node = min(int(place), textureSize(tables, 0).y - 2);
  float t = min(1.0, place - float(node));
  vec4 a, m, c, under;
  ${each(
    i => `a = mixedRow(tables, ivec3(${i}, node, layer), t);
  m = mixedRow(tables, ivec3(${4 + i}, node, layer), t);
  c = mixedRow(tables, ivec3(${8 + i}, node, layer), t);
  under = s.p${i};
  s.p${i} = a * s.q${i} + m * under;
  s.q${i} -= c * under;`,
  )}
}

vec3 see(Stack s, vec4 weights[12], float k1, float k2) {
  vec3 rgb = vec3(0.0);
  vec4 u;
  ${each(
    i => `u = s.p${i} / (s.q${i} - k2 * s.p${i});
  rgb += vec3(dot(weights[${i}], u), dot(weights[${4 + i}], u), dot(weights[${8 + i}], u));`,
  )}
  return k1 + (1.0 - k1) * (1.0 - k2) * rgb;
}
`
