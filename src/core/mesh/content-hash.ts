/**
 * A 64-bit fingerprint of arrays, for cache keys: not cryptographic, so it tells files apart, it does not protect.
 *
 * Two 32-bit lanes over the same words, each mixed as MurmurHash3 x86-32 does (Appleby, public domain) with its own
 * seed and its own pair of constants (the second pair is that of the 128-bit variant).
 * @returns 16 hexadecimal digits; the arrays' lengths are part of the fingerprint
 */
export function contentHash(arrays: readonly (Float32Array | Uint32Array)[]): string {
  let h = 0x9747b28c
  let g = 0x2f0b4c47
  for (const array of arrays) {
    const words = new Int32Array(array.buffer, array.byteOffset, array.length)
    for (let i = 0; i < words.length; i++) {
      const w = words[i]
      let k = Math.imul(w, 0xcc9e2d51)
      k = Math.imul((k << 15) | (k >>> 17), 0x1b873593) ^ h
      h = (Math.imul((k << 13) | (k >>> 19), 5) + 0xe6546b64) | 0
      k = Math.imul(w, 0x239b961b)
      k = Math.imul((k << 16) | (k >>> 16), 0xab0e9789) ^ g
      g = (Math.imul((k << 15) | (k >>> 17), 5) + 0x561ccd1b) | 0
    }
    h = finished(h ^ words.length)
    g = finished(g ^ words.length)
  }
  return hex(h) + hex(g)
}

/** The same for a short text, 8 hexadecimal digits. */
export function textHash(text: string): string {
  let h = 0x811c9dc5
  for (let i = 0; i < text.length; i++) h = Math.imul(h ^ text.charCodeAt(i), 0x01000193)
  return hex(finished(h))
}

const hex = (h: number) => (h >>> 0).toString(16).padStart(8, '0')

function finished(h: number): number {
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b)
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35)
  return h ^ (h >>> 16)
}
