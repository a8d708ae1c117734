/**
 * Places in space, each numbered once: what welding looks corners up in. Float32 bits are compared, −0 counts as 0; no
 * tolerance, so nothing thin ever collapses.
 *
 * One open-addressing table of numbers, at most half full; a key is three words mixed to 32 bits.
 */
export class PlaceTable {
  /** Places so far. */
  count = 0
  #first = 0
  #kept: Int32Array<ArrayBuffer>
  #table: Int32Array
  #mask: number

  /** @param expected number of places to make room for; more are taken all the same */
  constructor(expected: number) {
    this.#kept = new Int32Array(3 * Math.max(16, expected))
    this.#table = new Int32Array(2 ** (33 - Math.clz32(Math.max(16, expected) - 1)))
    this.#mask = this.#table.length - 1
  }

  /** From here on, earlier places are not found again: the next piece has vertices of its own. */
  startPiece(): void {
    this.#first = this.count
  }

  /** Number of the place with these float32 bits; a new one when it was not met in this piece. */
  numberOf(xBits: number, yBits: number, zBits: number): number {
    const x = xBits === SIGN ? 0 : xBits
    const y = yBits === SIGN ? 0 : yBits
    const z = zBits === SIGN ? 0 : zBits
    const table = this.#table
    const kept = this.#kept
    const first = this.#first
    // The piece is part of the key, or a place that many pieces share would make one long chain.
    let slot = mixed(x ^ first, y, z) & this.#mask
    for (let entry = table[slot]; entry !== 0; entry = table[slot]) {
      const k = 3 * (entry - 1)
      if (entry > first && kept[k] === x && kept[k + 1] === y && kept[k + 2] === z) return entry - 1
      slot = (slot + 1) & this.#mask
    }
    return this.#add(slot, x, y, z)
  }

  /** 3·count float32. */
  positions(): Float32Array<ArrayBuffer> {
    return new Float32Array(this.#kept.slice(0, 3 * this.count).buffer)
  }

  #add(slot: number, x: number, y: number, z: number): number {
    const number = this.count++
    if (3 * this.count > this.#kept.length) {
      const larger = new Int32Array(Math.ceil(this.#kept.length / 2) * 3)
      larger.set(this.#kept)
      this.#kept = larger
    }
    this.#kept[3 * number] = x
    this.#kept[3 * number + 1] = y
    this.#kept[3 * number + 2] = z
    this.#table[slot] = this.count
    if (2 * this.count > this.#table.length) this.#grow()
    return number
  }

  #grow(): void {
    const table = new Int32Array(2 * this.#table.length)
    const mask = table.length - 1
    const kept = this.#kept
    // Earlier pieces' places are never looked for again.
    for (let n = this.#first; n < this.count; n++) {
      let slot = mixed(kept[3 * n] ^ this.#first, kept[3 * n + 1], kept[3 * n + 2]) & mask
      while (table[slot] !== 0) slot = (slot + 1) & mask
      table[slot] = n + 1
    }
    this.#table = table
    this.#mask = mask
  }
}

const SIGN = -2147483648

function mixed(x: number, y: number, z: number): number {
  let h = Math.imul(x, 0x9e3779b1) ^ Math.imul((y << 15) | (y >>> 17), 0x85ebca77)
  h ^= Math.imul((z << 7) | (z >>> 25), 0xc2b2ae3d)
  h = Math.imul(h ^ (h >>> 15), 0x2c1b3c6d)
  return h ^ (h >>> 13)
}
