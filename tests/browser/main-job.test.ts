import { inflateSync } from 'node:zlib'
import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
import { waitUntilSettled } from '../../scripts/browser-page.ts'
import { tiltedBlock, triangleSoupStl } from '../solids.ts'
import { describeInBrowser, readState } from './open-app.ts'

/**
 * The main job on the built page, as its user does it: figure in, torch moved, thinning changed, compared, kept.
 * Numbers are read off the page; a change must go the way physics says, never to a recorded value.
 */
describeInBrowser('the main job', open => {
  test('opens with the demo pre-shaded and glazed, and asks nothing of any other host', async () => {
    const { page, strayRequests, errors } = await open()
    expect(strayRequests).toEqual([])
    expect(errors).toEqual([])
    const reading = await readState(page, s => s.derived.readings.main)
    // The demo must show its contrast plainly: at least 25 steps of value, at least a third of the pre-shade's left.
    expect(reading!.contrast).toBeGreaterThan(25)
    expect(reading!.contrastLeft!).toBeGreaterThan(0.33)
    expect(reading!.contrastLeft!).toBeLessThan(1)
    expect(reading!.light + reading!.mid + reading!.dark).toBeCloseTo(1, 6)
    // The card on the stage says the same number as the state.
    const shown = await page
      .getByText(/of the contrast left/)
      .first()
      .textContent()
    expect(Number(/(\d+)/.exec(shown ?? '')?.[1] ?? (await percentBeside(page)))).toBe(
      Math.round(100 * reading!.contrastLeft!),
    )
    await page.context().close()
  })

  test('takes an STL of the user, stands it at the height that is asked for, and reads it', async () => {
    const { page, strayRequests, errors } = await open()
    // A block of 20 × 30 × 50, z up, in millimetres: nothing symmetric about it.
    await dropFile(page, 'block.stl', triangleSoupStl(tiltedBlock(20, 30, 50)))
    await waitUntilSettled(page)
    const figure = await readState(page, s => ({
      height: s.derived.figure!.heightMm,
      source: s.history.present.figure.source,
      box: s.derived.figure!.box,
      problem: s.session.problem,
    }))
    expect(figure.problem).toBeNull()
    expect(figure.source).toMatchObject({ kind: 'file', fileName: 'block.stl' })
    expect(figure.box[1]).toBeCloseTo(0, 4)

    await page.evaluate(() => {
      const { commands } = (window as never as { greycoat: { commands: { setPlacement(p: object): void } } }).greycoat
      commands.setPlacement({ up: '+z', front: '-y', heightMm: 54, unit: null })
    })
    await waitUntilSettled(page)
    const box = await readState(page, s => s.derived.figure!.box)
    // 50 units became 54 mm, so 20 became 21.6 and 30 became 32.4.
    expect(box[4] - box[1]).toBeCloseTo(54, 3)
    expect(box[3] - box[0]).toBeCloseTo(21.6, 3)
    expect(box[5] - box[2]).toBeCloseTo(32.4, 3)
    expect(strayRequests).toEqual([])
    expect(errors).toEqual([])
    await page.context().close()
  })

  test('a bad file says what is wrong and leaves the figure standing', async () => {
    const { page } = await open()
    const before = await readState(page, s => s.derived.figure!.id)
    for (const [name, bytes] of [
      ['empty.stl', Buffer.alloc(0)],
      ['cut.stl', triangleSoupStl(tiltedBlock(1, 2, 3)).subarray(0, 200)],
      ['letter.pdf', Buffer.from('%PDF-1.7 not a mesh at all')],
      ['words.obj', Buffer.from('v 0 0 nought\nv 1 0 0\nv 0 1 0\nf 1 2 3\n')],
    ] as const) {
      await dropFile(page, name, bytes)
      await page.waitForFunction(
        () => {
          const { session } = (
            window as never as {
              greycoat: { store: { getState(): { session: { intake: unknown; problem: unknown } } } }
            }
          ).greycoat.store.getState()
          return session.intake === null && session.problem !== null
        },
        null,
        { timeout: 20_000 },
      )
      const alert = await page.getByRole('alert').first().textContent()
      expect(alert, name).toContain(name)
      expect(await readState(page, s => s.derived.figure!.id), name).toBe(before)
      await page.evaluate(() =>
        (window as never as { greycoat: { commands: { dismissProblem(): void } } }).greycoat.commands.dismissProblem(),
      )
    }
    await page.context().close()
  })

  test('a torch moved from the front to behind takes the light along, and undo brings it back', async () => {
    const { page } = await open()
    await oneTorchInFront(page)
    await goTo(page, 'front')
    const before = await readState(page, s => s.derived.readings.main!)
    await page.evaluate(() => {
      const g = (window as never as GreycoatPage).greycoat
      const coat = g.store.getState().history.present.recipe.coats[0]
      g.commands.setTorch(coat.torches![0].id, { azimuthDegrees: 180, linkedTo: null })
    })
    await waitUntilSettled(page)
    const after = await readState(page, s => s.derived.readings.main!)
    expect(before.light).toBeGreaterThan(after.light + 0.1)
    expect(after.dark).toBeGreaterThan(before.dark + 0.1)
    await page.evaluate(() => (window as never as GreycoatPage).greycoat.commands.undo())
    await waitUntilSettled(page)
    expect((await readState(page, s => s.derived.readings.main!)).light).toBeCloseTo(before.light, 6)
    await page.context().close()
  })

  test('more thinner leaves more of the contrast, and more passes leave less; neither bakes again', async () => {
    const { page } = await open()
    const blue = await readState(page, s => s.history.present.recipe.coats[1].id)
    const left = () => readState(page, s => s.derived.readings.main!.contrastLeft!)
    const setMix = (thinnerDrops: number) =>
      page.evaluate(
        ([id, drops]) =>
          (window as never as GreycoatPage).greycoat.commands.setMix(id as string, { thinnerDrops: drops as number }),
        [blue, thinnerDrops] as const,
      )
    const planned = await left()
    await setMix(9)
    await waitUntilSettled(page)
    const thin = await left()
    await setMix(1)
    await waitUntilSettled(page)
    const thick = await left()
    expect(thin).toBeGreaterThan(planned)
    expect(thick).toBeLessThan(planned)
    await page.evaluate(id => (window as never as GreycoatPage).greycoat.commands.setPasses(id, 30), blue)
    await waitUntilSettled(page)
    expect(await left()).toBeLessThan(thick)
    await page.context().close()
  })

  test('over one flat grey the same coats leave almost nothing, in numbers and in pixels', async () => {
    const { page } = await open()
    await page.evaluate(() =>
      (window as never as GreycoatPage).greycoat.commands.setCompare({
        kind: 'flat',
        arrangement: { kind: 'side-by-side' },
        greyY: null,
      }),
    )
    await page.waitForFunction(
      () => (window as never as GreycoatPage).greycoat.store.getState().derived.readings.other !== null,
    )
    await waitUntilSettled(page)
    const { main, other, difference } = await readState(page, s => ({
      ...s.derived.readings,
      difference: s.derived.difference,
    }))
    expect(main!.contrast).toBeGreaterThan(3 * other!.contrast)
    expect(other!.contrastLeft).toBeNull()
    expect(difference!.meanDeltaE).toBeGreaterThan(2)
    // Pixels: the left half of the stage spreads far wider in luminance than the right.
    const stage = await page.locator('canvas').first().screenshot()
    const spread = luminanceSpread(stage)
    expect(spread.left).toBeGreaterThan(2 * spread.right)
    await page.context().close()
  })

  test('everything is there again after a reload', async () => {
    const { page } = await open()
    await dropFile(page, 'block.stl', triangleSoupStl(tiltedBlock(20, 30, 50)))
    await waitUntilSettled(page)
    const blue = await readState(page, s => s.history.present.recipe.coats[1].id)
    await page.evaluate(id => (window as never as GreycoatPage).greycoat.commands.setMix(id, { thinnerDrops: 7 }), blue)
    await waitUntilSettled(page)
    const before = await readState(page, s => ({ document: s.history.present, id: s.derived.figure!.id }))
    await page.waitForTimeout(2500)
    await page.reload()
    await waitUntilSettled(page)
    const after = await readState(page, s => ({ document: s.history.present, id: s.derived.figure!.id }))
    expect(after).toEqual(before)
    await page.context().close()
  })
})

interface GreycoatPage {
  readonly greycoat: {
    readonly store: {
      getState(): {
        history: { present: { recipe: { coats: { id: string; torches?: { id: string }[] }[] } } }
        derived: { readings: { other: unknown } }
      }
    }
    // biome-ignore lint/suspicious/noExplicitAny: evaluated inside the page, where no types reach
    readonly commands: any
  }
}

/** As a drop from the desktop: a DataTransfer with the file, on the window. */
async function dropFile(page: Page, name: string, bytes: Uint8Array): Promise<void> {
  await page.evaluate(
    ({ name, base64 }) => {
      const data = Uint8Array.from(atob(base64), c => c.charCodeAt(0))
      const dataTransfer = new DataTransfer()
      dataTransfer.items.add(new File([data], name))
      const drag = { dataTransfer, bubbles: true, cancelable: true }
      document.body.dispatchEvent(new DragEvent('dragenter', drag))
      document.body.dispatchEvent(new DragEvent('dragover', drag))
      document.body.dispatchEvent(new DragEvent('drop', drag))
    },
    { name, base64: Buffer.from(bytes).toString('base64') },
  )
}

async function goTo(page: Page, view: string): Promise<void> {
  await page.evaluate(v => (window as never as GreycoatPage).greycoat.commands.goToView(v), view)
  await page.waitForTimeout(600)
  await waitUntilSettled(page)
}

/** The demo's white coat alone, one torch level in front. */
async function oneTorchInFront(page: Page): Promise<void> {
  await page.evaluate(() => {
    const { store, commands } = (window as never as GreycoatPage).greycoat
    const [white, ...others] = store.getState().history.present.recipe.coats
    for (const coat of others) commands.deleteCoat(coat.id)
    commands.applyTorchSet(white.id, 'overhead')
    const torch = (store.getState().history.present.recipe.coats[0].torches ?? [])[0]
    commands.setTorch(torch.id, { azimuthDegrees: 0, elevationDegrees: 20, linkedTo: null })
  })
  await waitUntilSettled(page)
}

const percentBeside = async (page: Page) =>
  /(\d+)\s*%/.exec(
    (await page
      .getByText(/of the contrast left/)
      .first()
      .locator('..')
      .textContent()) ?? '',
  )?.[1]

/** Standard deviation of luma over the two halves of a PNG, without the surround's own grey. */
function luminanceSpread(png: Buffer): { left: number; right: number } {
  const { width, height, rgba } = decodePng(png)
  const spread = (from: number, to: number) => {
    const values: number[] = []
    for (let y = Math.round(height * 0.3); y < height * 0.7; y += 2)
      for (let x = from; x < to; x += 2) {
        const i = 4 * (y * width + x)
        const [r, g, b] = [rgba[i], rgba[i + 1], rgba[i + 2]]
        if (!(r === g && g === b)) values.push(0.2126 * r + 0.7152 * g + 0.0722 * b)
      }
    const mean = values.reduce((a, b) => a + b, 0) / values.length
    return Math.sqrt(values.reduce((a, v) => a + (v - mean) ** 2, 0) / values.length)
  }
  return { left: spread(0, width >> 1), right: spread((width >> 1) + 4, width) }
}

/** Enough of PNG (ISO/IEC 15948) for screenshots: 8 bits, RGB or RGBA, not interlaced. */
function decodePng(png: Buffer): { width: number; height: number; rgba: Uint8Array } {
  const width = png.readUInt32BE(16)
  const height = png.readUInt32BE(20)
  const channels = png[25] === 6 ? 4 : 3
  const parts: Buffer[] = []
  for (let at = 8; at < png.length; ) {
    const length = png.readUInt32BE(at)
    if (png.toString('latin1', at + 4, at + 8) === 'IDAT') parts.push(png.subarray(at + 8, at + 8 + length))
    at += length + 12
  }
  const raw = inflateSync(Buffer.concat(parts))
  const stride = width * channels
  const rows = new Uint8Array(height * stride)
  const rgba = new Uint8Array(4 * width * height)
  for (let y = 0; y < height; y++) {
    const filter = raw[y * (stride + 1)]
    for (let x = 0; x < stride; x++) {
      const a = x >= channels ? rows[y * stride + x - channels] : 0
      const b = y > 0 ? rows[(y - 1) * stride + x] : 0
      const c = x >= channels && y > 0 ? rows[(y - 1) * stride + x - channels] : 0
      const p = a + b - c
      const paeth =
        Math.abs(p - a) <= Math.abs(p - b) && Math.abs(p - a) <= Math.abs(p - c)
          ? a
          : Math.abs(p - b) <= Math.abs(p - c)
            ? b
            : c
      const predicted = [0, a, b, (a + b) >> 1, paeth][filter]
      rows[y * stride + x] = raw[y * (stride + 1) + 1 + x] + predicted
    }
    for (let x = 0; x < width; x++) {
      for (let k = 0; k < 3; k++) rgba[4 * (y * width + x) + k] = rows[y * stride + x * channels + k]
      rgba[4 * (y * width + x) + 3] = 255
    }
  }
  return { width, height, rgba }
}
