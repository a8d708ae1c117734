import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
import { decodeSrgb, srgbByte } from '../../src/core/colour/srgb.ts'
import type { NamedView } from '../../src/document/document.ts'
import { describeInBrowser, readState } from './open-app.ts'

/** Linear: on both pieces of the curve (it changes at 0.0031308), beyond both ends, and no two channels alike. */
const MAIN = [
  [0.0021, 0.137, 0.62],
  [0.0035, 0.93, 0.0009],
  [-0.02, 1.3, 0.2126],
] as const
const OTHER = [0.41, 0.0123, 0.074] as const
const SURROUND = '119,119,119'
/** A pixel a few steps from an edge, in the middle of nothing but figure, is what is asked about: of those there are many. */
const MANY = 5000

type Colour = readonly [number, number, number]

/** Paints both sides of the shown figure in one colour each, past the computation. */
async function paintEvenly(page: Page, main: Colour, other: Colour, surface: readonly number[] = []): Promise<void> {
  await page.evaluate(
    ({ main, other, surface }) => {
      // biome-ignore lint/suspicious/noExplicitAny: the page's own store, reached from outside
      const { store } = (window as any).greycoat
      const figure = store.getState().derived.figure
      const side = (colour: readonly number[]) => ({
        figureId: figure.id,
        linearRgb: Float32Array.from({ length: figure.positions.length }, (_, i) => colour[i % 3]),
        // Shine, metal, grain; none: matt paint.
        surface:
          surface.length > 0
            ? new Uint8Array((4 * figure.positions.length) / 3).map((_, i) => surface[i % 4] ?? 0)
            : null,
        quality: 'refined',
      })
      store.setState((s: { derived: object }) => ({
        derived: { ...s.derived, sides: { main: side(main), other: side(other) } },
      }))
    },
    { main, other, surface },
  )
  await twoFrames(page)
}

const twoFrames = (page: Page) =>
  page.evaluate(
    () => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done, 250)))),
  )

/** How often each colour occurs ('r,g,b' with opacity 255 only), counted by the browser's own PNG decoder. */
function coloursOf(page: Page, png: Buffer): Promise<Record<string, number>> {
  return page.evaluate(async base64 => {
    const bitmap = await createImageBitmap(
      new Blob([Uint8Array.from(atob(base64), c => c.charCodeAt(0))], { type: 'image/png' }),
      { colorSpaceConversion: 'none' },
    )
    const canvas = new OffscreenCanvas(bitmap.width, bitmap.height)
    const context = canvas.getContext('2d')!
    context.drawImage(bitmap, 0, 0)
    const { data } = context.getImageData(0, 0, bitmap.width, bitmap.height)
    const counts: Record<string, number> = {}
    for (let i = 0; i < data.length; i += 4) {
      if (data[i + 3] !== 255) continue
      const key = `${data[i]},${data[i + 1]},${data[i + 2]}`
      counts[key] = (counts[key] ?? 0) + 1
    }
    return counts
  }, png.toString('base64'))
}

/** Share of opaque pixels in every cell of a grid, row by row. */
function opaqueShares(page: Page, png: Buffer, columns: number, rows: number): Promise<number[]> {
  return page.evaluate(
    async ({ base64, columns, rows }) => {
      const bitmap = await createImageBitmap(
        new Blob([Uint8Array.from(atob(base64), c => c.charCodeAt(0))], { type: 'image/png' }),
      )
      const { width, height } = bitmap
      const context = new OffscreenCanvas(width, height).getContext('2d')!
      context.drawImage(bitmap, 0, 0)
      const { data } = context.getImageData(0, 0, width, height)
      const shares = new Array<number>(columns * rows).fill(0)
      const each = (columns * rows) / (width * height)
      for (let i = 0; i < width * height; i++) {
        const column = Math.floor(((i % width) * columns) / width)
        const row = Math.floor((Math.floor(i / width) * rows) / height)
        if (data[4 * i + 3] > 127) shares[row * columns + column] += each
      }
      return shares
    },
    { base64: png.toString('base64'), columns, rows },
  )
}

/** Pixels within one step of the CPU's encoding, channel by channel. */
function within(counts: Record<string, number>, colour: Colour): number {
  const expected = colour.map(srgbByte)
  return Object.entries(counts)
    .filter(([key]) => key.split(',').every((byte, i) => Math.abs(Number(byte) - expected[i]) <= 1))
    .reduce((sum, [, count]) => sum + count, 0)
}

const stageOf = async (page: Page) => Buffer.from(await page.locator('.stage-surface canvas').screenshot())

async function look(page: Page, view: NamedView, arrangement: 'off' | 'seam' | 'side-by-side'): Promise<void> {
  await page.evaluate(
    ({ view, arrangement }) => {
      // biome-ignore lint/suspicious/noExplicitAny: the page's own commands, reached from outside
      const { commands } = (window as any).greycoat
      commands.select({ openCoat: null })
      commands.goToView(view)
      commands.setCompare(
        arrangement === 'off'
          ? { kind: 'off' }
          : {
              kind: 'flat',
              greyY: null,
              arrangement: arrangement === 'seam' ? { kind: 'seam', at: 0.5 } : { kind: 'side-by-side' },
            },
      )
    },
    { view, arrangement },
  )
  await page.waitForTimeout(2500)
}

async function pictureBytes(page: Page, call: string): Promise<Buffer> {
  // As an expression, not a function made in the page: its content security policy forbids those.
  const base64 = await page.evaluate<string>(`(async () => {
    const blob = await window.greycoat.stage.pictures.${call}
    const bytes = new Uint8Array(await blob.arrayBuffer())
    return btoa(Array.from(bytes, b => String.fromCharCode(b)).join(''))
  })()`)
  return Buffer.from(base64, 'base64')
}

describeInBrowser('the stage', open => {
  test('unlit pixels equal the CPU’s sRGB within one step; the surround is neutral; the seam parts the sides', async () => {
    const { page } = await open()
    await look(page, 'front', 'seam')
    for (const main of MAIN) {
      await paintEvenly(page, main, OTHER)
      const counts = await coloursOf(page, await stageOf(page))
      expect(within(counts, main), `main ${main}`).toBeGreaterThan(MANY)
      expect(within(counts, OTHER), `other beside ${main}`).toBeGreaterThan(MANY)
      expect(counts[SURROUND], 'surround').toBeGreaterThan(MANY)
    }
  })

  test('gloss takes the surface’s 4 % from the colour, and goes when it goes; the lamp gives it back as a highlight', async () => {
    const { page } = await open()
    await look(page, 'front', 'off')
    const [r, g, b] = [0.35, 0.12, 0.07]
    const lost = 0.04
    await paintEvenly(page, [r, g, b], OTHER, [255])
    expect(within(await coloursOf(page, await stageOf(page)), [r - lost, g - lost, b - lost])).toBeGreaterThan(MANY)
    // Black that mirrors: where it is not black, the light is the lamp's own, white.
    await paintEvenly(page, [lost, lost, lost], OTHER, [255])
    await page.evaluate("window.greycoat.commands.setLamp({ kind: 'lamp', azimuthDegrees: 30, elevationDegrees: 40 })")
    await twoFrames(page)
    const lit = Object.entries(await coloursOf(page, await stageOf(page)))
    const grey = lit.filter(([key]) => new Set(key.split(',')).size === 1)
    const bright = grey.filter(([key]) => Number(key.split(',')[0]) > 160).reduce((sum, [, count]) => sum + count, 0)
    expect(bright).toBeGreaterThan(50)
    await page.evaluate("window.greycoat.commands.setLamp({ kind: 'flat' })")
    await paintEvenly(page, [r, g, b], OTHER)
    expect(within(await coloursOf(page, await stageOf(page)), [r, g, b])).toBeGreaterThan(MANY)
  })

  test('on a P3 screen the canvas is P3: what sRGB holds looks the same, a file stays sRGB, what P3 lacks can be hatched', async () => {
    const { page, context } = await open()
    const devtools = await context.newCDPSession(page)
    await devtools.send('Emulation.setEmulatedMedia', { features: [{ name: 'color-gamut', value: 'p3' }] })
    await look(page, 'front', 'off')
    await paintEvenly(page, MAIN[0], OTHER)
    const space = await page.evaluate(
      "document.querySelector('.stage-surface canvas').getContext('webgl2').drawingBufferColorSpace",
    )
    expect(space).toBe('display-p3')
    // The browser takes the canvas back to the screenshot's sRGB: bytes of P3 shown as they are would be off by 10.
    expect(within(await coloursOf(page, await stageOf(page)), MAIN[0])).toBeGreaterThan(MANY)
    const file = await coloursOf(page, await pictureBytes(page, 'exportPng({ width: 300, height: 400 }, true)'))
    expect(within(file, MAIN[0])).toBeGreaterThan(MANY)
    // Green that P3 has and sRGB has not is not hatched; green beyond both is.
    await page.evaluate('window.greycoat.commands.setPreferences({ markOutside: true })')
    const colours = async (colour: Colour) => {
      await paintEvenly(page, colour, OTHER)
      return Object.values(await coloursOf(page, await stageOf(page))).filter(count => count > MANY).length
    }
    const plain = await colours([-0.2, 1, -0.05])
    expect(await colours([-0.4, 1.1, -0.1]), 'lines as well').toBe(plain + 1)
  })

  test('grain shows from near: the spread asked for about the very mean; from afar the mean alone', async () => {
    const { page } = await open()
    await look(page, 'hand', 'off')
    const colour = [0.28, 0.14, 0.07] as const
    const spread = 0.3
    await paintEvenly(page, colour, OTHER, [0, 0, Math.round(255 * spread)])
    expect(within(await coloursOf(page, await stageOf(page)), colour)).toBeGreaterThan(MANY)
    await page.mouse.move(760, 420)
    for (let i = 0; i < 10; i++) await page.mouse.wheel(0, -120)
    await twoFrames(page)
    await page.mouse.move(2, 2)
    await twoFrames(page)
    // Every spot has the hue of the paint; overlays and surround are grey.
    const spots = Object.entries(await coloursOf(page, await stageOf(page)))
      .map(([key, count]) => ({ rgb: key.split(',').map(byte => decodeSrgb(Number(byte) / 255)), count }))
      .filter(({ rgb: [r, g, b] }) => r > 1.7 * g && g > 1.7 * b)
    const pixels = spots.reduce((sum, { count }) => sum + count, 0)
    const mean = (of: (red: number) => number) =>
      spots.reduce((sum, { rgb, count }) => sum + count * of(rgb[0]), 0) / pixels
    expect(pixels).toBeGreaterThan(20 * MANY)
    expect(spots.length).toBeGreaterThan(50)
    expect(Math.abs(srgbByte(mean(red => red)) - srgbByte(colour[0]))).toBeLessThanOrEqual(1)
    expect(Math.sqrt(mean(red => (red / colour[0] - 1) ** 2)) / spread).toBeCloseTo(1, 1)
  })

  test('linked views show both sides; without comparison there is only the recipe', async () => {
    const { page } = await open()
    await look(page, 'hand', 'side-by-side')
    await paintEvenly(page, MAIN[0], OTHER)
    const both = await coloursOf(page, await stageOf(page))
    // The same camera on the same figure: as many pixels on both sides, but for what overlays cover.
    expect(within(both, MAIN[0]) / within(both, OTHER)).toBeGreaterThan(0.7)
    expect(within(both, MAIN[0]) / within(both, OTHER)).toBeLessThan(1.4)
    await look(page, 'hand', 'off')
    await paintEvenly(page, MAIN[0], OTHER)
    const alone = await coloursOf(page, await stageOf(page))
    expect(within(alone, MAIN[0])).toBeGreaterThan(MANY)
    expect(within(alone, OTHER)).toBe(0)
  })

  test('an exported picture has the asked size and the same colours, larger than one tile, with and without surround', async () => {
    const { page } = await open()
    await look(page, 'front', 'seam')
    await paintEvenly(page, MAIN[0], OTHER)
    const png = await pictureBytes(page, 'exportPng({ width: 1300, height: 1150 }, true)')
    // Width and height stand in the first chunk of a PNG (W3C PNG, 11.2.1).
    expect([png.readUInt32BE(16), png.readUInt32BE(20)]).toEqual([1300, 1150])
    const counts = await coloursOf(page, png)
    expect(within(counts, MAIN[0])).toBeGreaterThan(MANY)
    expect(within(counts, OTHER)).toBeGreaterThan(MANY)
    expect(counts[SURROUND]).toBeGreaterThan(MANY)
    const cut = await coloursOf(page, await pictureBytes(page, 'exportPng({ width: 1300, height: 1150 }, false)'))
    expect(cut[SURROUND] ?? 0).toBe(0)
    expect(within(cut, MAIN[0])).toBe(within(counts, MAIN[0]))
    const recipe = await coloursOf(page, await pictureBytes(page, "pictureOf('table', { width: 300, height: 400 })"))
    expect(within(recipe, MAIN[0])).toBeGreaterThan(MANY)
    expect(within(recipe, OTHER)).toBe(0)
  })

  test('a picture of many tiles shows what a picture of one tile shows, place by place', async () => {
    const { page } = await open()
    await look(page, 'front', 'off')
    const cover = async (width: number, height: number) =>
      opaqueShares(page, await pictureBytes(page, `exportPng({ width: ${width}, height: ${height} }, false)`), 12, 11)
    const [many, one] = [await cover(2400, 2200), await cover(600, 550)]
    // Edges fall on other pixels: a cell of 50 × 50 has a few tens of them. A tile out of its place would differ by all.
    const apart = many.map((share, i) => Math.abs(share - one[i]))
    expect(Math.max(...apart)).toBeLessThan(0.05)
    expect(many.filter(share => share > 0.9).length).toBeGreaterThan(5)
    expect(many.filter(share => share === 0).length).toBeGreaterThan(20)
    await page.context().close()
  })

  test('a torch goes where its badge is dragged, in one undo step, and keys move it', async () => {
    const { page } = await open()
    await look(page, 'front', 'off')
    await page.evaluate(() => {
      // biome-ignore lint/suspicious/noExplicitAny: the page's own commands, reached from outside
      const { store, commands } = (window as any).greycoat
      const coat = store.getState().history.present.recipe.coats.find((c: { kind: string }) => c.kind === 'mist')
      commands.select({ openCoat: coat.id, selectedTorch: coat.torches[0].id })
    })
    await page.waitForTimeout(1500)
    const badge = page.locator('.stage-badge').first()
    const torch = () =>
      readState(page, state => {
        const coat = state.history.present.recipe.coats.find(c => c.id === state.session.openCoat)
        return coat?.kind === 'mist' ? coat.torches[0] : null
      })
    const steps = () => readState(page, state => state.history.past.length)
    const middle = async () => {
      const box = (await badge.boundingBox())!
      return { x: box.x + box.width / 2, y: box.y + box.height / 2 }
    }
    const before = { torch: (await torch())!, steps: await steps(), at: await middle() }
    await page.mouse.move(before.at.x, before.at.y)
    await page.mouse.down()
    await page.mouse.move(before.at.x + 90, before.at.y + 30, { steps: 6 })
    await page.mouse.up()
    await page.waitForTimeout(1500)
    const after = (await torch())!
    const at = await middle()
    // Angles are kept to a tenth of a degree, a third of a pixel on a sphere of 400.
    expect(Math.hypot(at.x - before.at.x - 90, at.y - before.at.y - 30)).toBeLessThan(2)
    // Seen from the front, right on screen is the figure's left, where azimuth grows; lower is lower.
    expect(after.azimuthDegrees).toBeGreaterThan(before.torch.azimuthDegrees + 3)
    // It stays on the side it was on: behind the figure the same place on screen is another direction.
    expect(Math.abs(after.azimuthDegrees)).toBeLessThan(90)
    expect(after.elevationDegrees).toBeLessThan(before.torch.elevationDegrees - 1)
    expect(after.distanceMm).toBe(before.torch.distanceMm)
    expect(await steps()).toBe(before.steps + 1)
    await badge.focus()
    await page.keyboard.press('ArrowUp')
    await page.keyboard.press('+')
    const keyed = (await torch())!
    expect(keyed.elevationDegrees).toBeCloseTo(after.elevationDegrees + 5, 6)
    expect(keyed.distanceMm).toBe(after.distanceMm + 5)
  })
})
