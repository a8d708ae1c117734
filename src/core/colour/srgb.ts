/** Linear light, sRGB primaries, D65 white; may leave 0…1. */
export type LinearRgb = readonly [number, number, number]

/** Linear light to sRGB, both 0…1 and odd beyond. Source: IEC 61966-2-1. */
export function encodeSrgb(linear: number): number {
  if (linear < 0) return -encodeSrgb(-linear)
  return linear <= 0.0031308 ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055
}

export function decodeSrgb(encoded: number): number {
  if (encoded < 0) return -decodeSrgb(-encoded)
  return encoded <= 0.04045 ? encoded / 12.92 : ((encoded + 0.055) / 1.055) ** 2.4
}

/** Nearest 8-bit code; light outside the display's range is clipped. */
export const srgbByte = (linear: number): number => Math.round(255 * Math.min(1, Math.max(0, encodeSrgb(linear))))

/** '#rrggbb' of linear sRGB. */
export const hexOf = (r: number, g: number, b: number): string =>
  `#${[r, g, b].map(c => srgbByte(c).toString(16).padStart(2, '0')).join('')}`

/** Linear sRGB of '#rrggbb'. @throws Error when it is not that */
export function linearRgbOfHex(hex: string): [number, number, number] {
  const match = /^#?([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})$/i.exec(hex)
  if (!match) throw new Error(`not a colour: ${hex}`)
  return [1, 2, 3].map(i => decodeSrgb(Number.parseInt(match[i], 16) / 255)) as [number, number, number]
}
