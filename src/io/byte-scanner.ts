/**
 * Reads words and numbers off the bytes of a text file, front to back, each byte once: no strings of whole lines, no
 * regular expressions, nothing that grows faster than the file.
 */
export class ByteScanner {
  readonly bytes: Uint8Array
  at: number
  readonly end: number

  constructor(bytes: Uint8Array, at = 0, end = bytes.length) {
    this.bytes = bytes
    this.at = at
    this.end = end
  }

  /** Steps over blanks within the line. @returns false at the end of the line or file */
  skipBlanks(): boolean {
    const { bytes, end } = this
    while (this.at < end) {
      const c = bytes[this.at]
      if (c === NEWLINE || c === RETURN) return false
      if (c > SPACE) return true
      this.at++
    }
    return false
  }

  /** Steps over blanks and line ends. @returns false at the end of the file */
  skipSpace(): boolean {
    const { bytes, end } = this
    while (this.at < end && bytes[this.at] <= SPACE) this.at++
    return this.at < end
  }

  /** Steps behind the end of the line. \n, \r and \r\n end lines. */
  skipLine(): void {
    const { bytes, end } = this
    while (this.at < end && bytes[this.at] !== NEWLINE && bytes[this.at] !== RETURN) this.at++
    if (bytes[this.at] === RETURN && bytes[this.at + 1] === NEWLINE) this.at++
    if (this.at < end) this.at++
  }

  /** Steps over the word here. */
  skipWord(): void {
    const { bytes, end } = this
    while (this.at < end && bytes[this.at] > SPACE) this.at++
  }

  /** The word here, at most 64 characters of it, and steps over it. '' when there is none. */
  word(): string {
    const from = this.at
    this.skipWord()
    return asText(this.bytes, from, Math.min(this.at, from + 64))
  }

  /** The rest of the line without surrounding blanks, at most 200 characters; stays before the line end. */
  restOfLine(): string {
    this.skipBlanks()
    const { bytes, end } = this
    const from = this.at
    while (this.at < end && bytes[this.at] !== NEWLINE && bytes[this.at] !== RETURN) this.at++
    return new TextDecoder().decode(bytes.subarray(from, Math.min(this.at, from + 200))).trim()
  }

  /** Is the word here `lower` (ASCII, given in lower case)? Steps over it when it is. */
  takes(lower: string): boolean {
    const { bytes } = this
    if (this.at + lower.length > this.end) return false
    for (let i = 0; i < lower.length; i++) {
      const c = bytes[this.at + i]
      if ((c >= 65 && c <= 90 ? c + 32 : c) !== lower.charCodeAt(i)) return false
    }
    const after = this.at + lower.length
    if (after < this.end && bytes[after] > SPACE) return false
    this.at = after
    return true
  }

  /**
   * The number here, and steps over its word. 'nan' and 'inf' in any spelling are NaN and ±Infinity.
   * @throws NotANumber when the word is no number; the scanner stays before it
   */
  number(): number {
    const { bytes, end } = this
    let i = this.at
    let negative = false
    if (bytes[i] === MINUS || bytes[i] === PLUS) negative = bytes[i++] === MINUS
    let mantissa = 0
    let digits = 0
    let exponent = 0
    let any = false
    for (; i < end; i++) {
      const d = bytes[i] - 48
      if (d < 0 || d > 9) break
      any = true
      if (digits < 15) {
        mantissa = 10 * mantissa + d
        if (mantissa > 0) digits++
      } else exponent++
    }
    if (i < end && bytes[i] === POINT) {
      for (i++; i < end; i++) {
        const d = bytes[i] - 48
        if (d < 0 || d > 9) break
        any = true
        if (digits < 15) {
          mantissa = 10 * mantissa + d
          if (mantissa > 0) digits++
          exponent--
        }
      }
    }
    if (any && i < end && (bytes[i] | 32) === LETTER_E) {
      let j = i + 1
      let down = false
      if (bytes[j] === MINUS || bytes[j] === PLUS) down = bytes[j++] === MINUS
      let e = 0
      const first = j
      for (; j < end; j++) {
        const d = bytes[j] - 48
        if (d < 0 || d > 9) break
        if (e < 10_000) e = 10 * e + d
      }
      if (j > first) {
        exponent += down ? -e : e
        i = j
      }
    }
    if (!any || (i < end && bytes[i] > SPACE)) return this.#oddNumber()
    this.at = i
    // Both the mantissa and the power are exact here, so the one rounding is that of the division or product.
    let value: number
    if (mantissa === 0) value = 0
    else if (exponent === 0) value = mantissa
    else if (exponent > 0) value = exponent <= 22 ? mantissa * TENS[exponent] : mantissa * 10 ** exponent
    else value = exponent >= -22 ? mantissa / TENS[-exponent] : mantissa * 10 ** exponent
    return negative ? -value : value
  }

  /**
   * The whole number here, with its sign; stops behind its last digit (an OBJ index goes on with '/').
   * @returns NaN when there is no digit
   */
  integer(): number {
    const { bytes, end } = this
    let i = this.at
    const negative = bytes[i] === MINUS
    if (negative || bytes[i] === PLUS) i++
    const first = i
    let value = 0
    for (; i < end; i++) {
      const d = bytes[i] - 48
      if (d < 0 || d > 9) break
      value = 10 * value + d
    }
    if (i === first) return Number.NaN
    this.at = i
    return negative ? -value : value
  }

  #oddNumber(): number {
    const from = this.at
    const word = this.word()
    const plain = word.toLowerCase().replace(/^[+-]/, '')
    if (/^(nan|1\.?#ind|1\.?#qnan)/.test(plain)) return Number.NaN
    if (/^(inf|1\.?#inf)/.test(plain)) return word.startsWith('-') ? -Infinity : Infinity
    this.at = from
    throw new NotANumber(word)
  }
}

/** A word stands where a number should. */
export class NotANumber extends Error {
  readonly word: string
  constructor(word: string) {
    super(`'${word}' is not a number`)
    this.word = word
  }
}

/** Line of a byte, counted from 1; for messages only. */
export function lineOf(bytes: Uint8Array, at: number): number {
  let line = 1
  for (let i = 0; i < at && i < bytes.length; i++) {
    if (bytes[i] === NEWLINE || (bytes[i] === RETURN && bytes[i + 1] !== NEWLINE)) line++
  }
  return line
}

/** Bytes as Latin-1 text. */
export const asText = (bytes: Uint8Array, from: number, to: number): string =>
  String.fromCharCode(...bytes.subarray(Math.max(0, from), to))

const TENS = Array.from({ length: 23 }, (_, e) => 10 ** e)
const SPACE = 32
const NEWLINE = 10
const RETURN = 13
const PLUS = 43
const MINUS = 45
const POINT = 46
const LETTER_E = 101
