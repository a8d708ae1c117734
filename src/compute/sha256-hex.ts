/**
 * SHA-256 of a file, 64 lowercase hexadecimal digits. The browser's own where it offers one: it does so only on pages
 * that came over https or from this machine.
 */
export async function sha256Hex(bytes: Uint8Array): Promise<string> {
  const subtle = globalThis.crypto?.subtle
  if (!subtle) return plainSha256Hex(bytes)
  const digest = await subtle.digest('SHA-256', bytes as Uint8Array<ArrayBuffer>)
  return Array.from(new Uint8Array(digest), byte => byte.toString(16).padStart(2, '0')).join('')
}

/** Source: FIPS 180-4, §4.1.2, §5.1.1, §5.3.3 and §6.2. */
export function plainSha256Hex(bytes: Uint8Array): string {
  const k = roundConstants()
  const h = Uint32Array.from(firstPrimes(8), prime => fractionBits(Math.sqrt(prime)))
  const w = new Uint32Array(64)

  const blocks = Math.ceil((bytes.length + 9) / 64)
  const wholeBlocks = Math.floor(bytes.length / 64)
  const tail = new Uint8Array(64 * (blocks - wholeBlocks))
  tail.set(bytes.subarray(64 * wholeBlocks))
  tail[bytes.length - 64 * wholeBlocks] = 0x80
  const end = new DataView(tail.buffer)
  end.setUint32(tail.length - 8, Math.floor(bytes.length / 2 ** 29))
  end.setUint32(tail.length - 4, (bytes.length << 3) >>> 0)

  for (let block = 0; block < blocks; block++) {
    const from = block < wholeBlocks ? bytes : tail
    const at = 64 * (block < wholeBlocks ? block : block - wholeBlocks)
    for (let t = 0; t < 16; t++) {
      const i = at + 4 * t
      w[t] = (from[i] << 24) | (from[i + 1] << 16) | (from[i + 2] << 8) | from[i + 3]
    }
    for (let t = 16; t < 64; t++) {
      const a = w[t - 15]
      const b = w[t - 2]
      const s0 = turn(a, 7) ^ turn(a, 18) ^ (a >>> 3)
      const s1 = turn(b, 17) ^ turn(b, 19) ^ (b >>> 10)
      w[t] = w[t - 16] + s0 + w[t - 7] + s1
    }
    let [a, b, c, d, e, f, g, i] = h
    for (let t = 0; t < 64; t++) {
      const s1 = turn(e, 6) ^ turn(e, 11) ^ turn(e, 25)
      const t1 = (i + s1 + ((e & f) ^ (~e & g)) + k[t] + w[t]) | 0
      const s0 = turn(a, 2) ^ turn(a, 13) ^ turn(a, 22)
      const t2 = (s0 + ((a & b) ^ (a & c) ^ (b & c))) | 0
      i = g
      g = f
      f = e
      e = (d + t1) | 0
      d = c
      c = b
      b = a
      a = (t1 + t2) | 0
    }
    ;[a, b, c, d, e, f, g, i].forEach((word, n) => {
      h[n] += word
    })
  }
  return Array.from(h, word => word.toString(16).padStart(8, '0')).join('')
}

const turn = (word: number, by: number): number => (word >>> by) | (word << (32 - by))

/** The first 32 bits of a number's fraction. */
const fractionBits = (x: number): number => Math.floor((x - Math.floor(x)) * 2 ** 32)

/** Doubles hold 32 bits of fraction with room to spare. */
const roundConstants = (): Uint32Array => Uint32Array.from(firstPrimes(64), prime => fractionBits(Math.cbrt(prime)))

function firstPrimes(count: number): number[] {
  const primes: number[] = []
  for (let n = 2; primes.length < count; n++) if (primes.every(p => n % p !== 0)) primes.push(n)
  return primes
}
