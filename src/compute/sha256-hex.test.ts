import { createHash } from 'node:crypto'
import { describe, expect, test } from 'vitest'
import { plainSha256Hex, sha256Hex } from './sha256-hex.ts'

const text = (s: string) => new TextEncoder().encode(s)

describe('published vectors (FIPS 180-2, appendix B)', () => {
  test.each([
    ['abc', 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'],
    [
      'abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq',
      '248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1',
    ],
  ])('%s', async (message, digest) => {
    expect(plainSha256Hex(text(message))).toBe(digest)
    expect(await sha256Hex(text(message))).toBe(digest)
  })
})

test('every length around the padding agrees with an independent implementation', () => {
  const bytes = Uint8Array.from({ length: 200 }, (_, i) => (i * 167 + 13) % 256)
  for (let n = 0; n <= bytes.length; n++) {
    const some = bytes.subarray(0, n)
    expect(plainSha256Hex(some), `${n} bytes`).toBe(createHash('sha256').update(some).digest('hex'))
  }
})
