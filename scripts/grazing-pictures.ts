import { writeFileSync } from 'node:fs'
import { crc32, deflateSync } from 'node:zlib'
import type { Figure } from '../src/core/mesh/figure.ts'
import { NOTHING, rasterView } from '../src/core/reading/raster-view.ts'
import { createBakeKernel } from '../src/core/spray/bake-exposure.ts'
import { directionFrom, dot, type Vec3 } from '../src/core/vec3.ts'
import { sentinelFigure } from './bench/bench-figures.ts'

/**
 * `npx tsx scripts/grazing-pictures.ts`: the built-in figure from the front, one parallel direction each from beside,
 * from behind and from above, into docs/models/grazing.png. White: the source is seen; black: it is hidden; grey: the
 * surface looks away. Speckles in the white would be acne, white in the black a leak.
 */
const SOURCES: readonly (readonly [azimuth: number, elevation: number])[] = [
  [84, 8],
  [-96, 20],
  [15, 84],
]
const SIZE = 620

const figure = await sentinelFigure()
const view = { azimuthDegrees: 0, elevationDegrees: 5, distanceMm: 400, target: [0, 0.5, 0] as Vec3 }
const raster = rasterView(figure, view, 2 * SIZE)
const kernel = createBakeKernel(figure)
const width = Math.round((SIZE * raster.pixelWidthMm) / raster.pixelHeightMm)
const picture = new Uint8Array(SOURCES.length * width * SIZE).fill(200)
SOURCES.forEach(([azimuth, elevation], i) => {
  const toward = directionFrom(azimuth, elevation)
  const grey = greys(figure, toward, kernel.bake({}, [{ kind: 'parallel', toward, weight: 1 }]))
  for (let row = 0; row < SIZE; row++) {
    for (let column = 0; column < width; column++) {
      const at = 2 * row * raster.width + Math.floor(((column + 0.5) * raster.width) / width)
      const t = raster.triangle[at]
      if (t === NOTHING) continue
      const [a, b, c] = [0, 1, 2].map(k => grey[figure.triangles[3 * t + k]])
      const [p, q] = [raster.b1[at], raster.b2[at]]
      picture[(row * SOURCES.length + i) * width + column] = (1 - p - q) * a + p * b + q * c
    }
  }
})
writeFileSync(new URL('../docs/models/grazing.png', import.meta.url), greyPng(picture, SOURCES.length * width, SIZE))

function greys({ normals }: Figure, toward: Vec3, field: Float32Array): Float32Array {
  return field.map((e, v) => {
    const cosGamma = dot([normals[3 * v], normals[3 * v + 1], normals[3 * v + 2]], toward)
    return cosGamma > 0 ? 255 * Math.min(1, e / cosGamma) : 110
  })
}

/** ISO/IEC 15948: 8-bit greyscale, no filter. */
function greyPng(pixels: Uint8Array, columns: number, rows: number): Uint8Array {
  const lines = Buffer.alloc((columns + 1) * rows)
  for (let row = 0; row < rows; row++) {
    lines.set(pixels.subarray(row * columns, (row + 1) * columns), row * (columns + 1) + 1)
  }
  const header = Buffer.alloc(13)
  header.writeUInt32BE(columns, 0)
  header.writeUInt32BE(rows, 4)
  header[8] = 8
  const chunk = (type: string, data: Uint8Array) => {
    const body = Buffer.concat([Buffer.from(type, 'latin1'), data])
    const frame = Buffer.alloc(body.length + 8)
    frame.writeUInt32BE(data.length, 0)
    frame.set(body, 4)
    frame.writeUInt32BE(crc32(body), body.length + 4)
    return frame
  }
  const signature = Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a)
  return Buffer.concat([
    signature,
    chunk('IHDR', header),
    chunk('IDAT', deflateSync(lines, { level: 9 })),
    chunk('IEND', new Uint8Array()),
  ])
}
