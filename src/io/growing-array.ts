/** Numbers of which nobody knows how many there will be. */
export class GrowingFloats {
  data: Float32Array<ArrayBuffer>
  length = 0
  constructor(capacity = 4096) {
    this.data = new Float32Array(capacity)
  }
  push3(x: number, y: number, z: number): void {
    if (this.length + 3 > this.data.length) {
      const larger = new Float32Array(2 * this.data.length + 3)
      larger.set(this.data)
      this.data = larger
    }
    this.data[this.length] = x
    this.data[this.length + 1] = y
    this.data[this.length + 2] = z
    this.length += 3
  }
  taken(): Float32Array<ArrayBuffer> {
    return this.data.slice(0, this.length)
  }
}

export class GrowingIndices {
  data: Uint32Array<ArrayBuffer>
  length = 0
  constructor(capacity = 4096) {
    this.data = new Uint32Array(capacity)
  }
  push3(a: number, b: number, c: number): void {
    if (this.length + 3 > this.data.length) {
      const larger = new Uint32Array(2 * this.data.length + 3)
      larger.set(this.data)
      this.data = larger
    }
    this.data[this.length] = a
    this.data[this.length + 1] = b
    this.data[this.length + 2] = c
    this.length += 3
  }
  taken(): Uint32Array<ArrayBuffer> {
    return this.data.slice(0, this.length)
  }
}
