import { deflateSync } from 'node:zlib'
import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
import { waitUntilSettled } from '../../scripts/browser-page.ts'
import type { AppState } from '../../src/app/app-state.ts'
import type { Commands } from '../../src/app/commands.ts'
import { thicknessStrip } from '../../src/core/chain/thickness-strip.ts'
import { linearRgbOf } from '../../src/core/colour/band-weights.ts'
import { BAND_NM } from '../../src/core/colour/bands.ts'
import { deltaE2000 } from '../../src/core/colour/delta-e-2000.ts'
import { labOfLinearRgb } from '../../src/core/colour/lab.ts'
import { linearRgbOfHex, srgbByte } from '../../src/core/colour/srgb.ts'
import { film, over } from '../../src/core/film/kubelka-munk.ts'
import { pigmentOptics } from '../../src/core/film/paint-optics.ts'
import { internalReflectance, seenReflectance } from '../../src/core/film/saunderson.ts'
import type { MistCoat } from '../../src/core/recipe/recipe.ts'
import { describeInBrowser, readState } from './open-app.ts'

describeInBrowser('paints of one’s own', open => {
  test('from two swatches by keyboard alone: pixels and numbers follow, one undo takes all back', async () => {
    const { page, errors } = await open()
    await openTopCoat(page)
    const before = await shown(page)
    await tabTo(page, /^Paint: /)
    await page.keyboard.press('Enter')
    await tabTo(page, /^New paint$/)
    await page.keyboard.press('Enter')
    await page.getByRole('dialog', { name: 'New paint' }).waitFor()
    await tabTo(page, /^Name on the pot/)
    await page.keyboard.type('Clay')
    await tabTo(page, /^Quick$/)
    await page.keyboard.press('ArrowRight')
    // A clay that all but covers at half a µm: enough to turn a blue figure.
    await tabTo(page, /^Paint on black card$/)
    await page.keyboard.type('#c07a50')
    await tabTo(page, /^Paint on white card$/)
    await page.keyboard.type('63 23 33')
    await tabTo(page, /^One brush coat$/)
    await page.keyboard.press('ArrowRight')
    await page.keyboard.press('Space')
    await tabTo(page, /^Dry film/)
    await page.keyboard.press('Control+A')
    await page.keyboard.type('0.5')
    await tabTo(page, /^Save$/)
    await page.keyboard.press('Enter')
    await waitUntilSettled(page)

    const after = await shown(page)
    const paint = await readState(page, s => s.history.present.recipe.paints.at(-1)!)
    expect(paint).toMatchObject({ name: 'Clay', body: { kind: 'spectral', swatches: { thicknessUm: 0.5 } } })
    expect(await readState(page, s => s.history.present.recipe.coats.at(-1))).toMatchObject({ paint: paint.id })
    expect(before.redPixels).toBeLessThan(500)
    expect(after.redPixels).toBeGreaterThan(2000)
    expect(after.numbers).not.toEqual(before.numbers)

    await page.keyboard.press('Control+Z')
    await waitUntilSettled(page)
    expect(await shown(page)).toEqual(before)
    expect(await readState(page, s => s.history.present.recipe.paints.map(p => p.name))).not.toContain('Clay')
    expect(errors).toEqual([])
    await page.context().close()
  })

  test('every flaw of two swatches is a sentence beside what it is about, as it is typed', async () => {
    const { page } = await open({ width: 1024, height: 768 })
    await newSwatches(page)
    const usual = { black: '#8f6f60', white: '#d0b0a0', bareBlack: '#424242', bareWhite: '#f1f1f1' }
    const cases: [Partial<typeof usual>, RegExp, string][] = [
      [{ black: '#181012' }, /darker than any matt surface/i, 'Paint on black card'],
      [{ bareWhite: '#505050' }, /two cards are too alike/, 'Bare white card'],
      [{ black: '#d0b0a0', white: '#8f6f60' }, /Darker over white than over black/, 'Paint on white card'],
      [{ white: '#8f6f60' }, /hides its card/, ''],
      [{ black: '#959595', white: '#f9f9f9', bareWhite: '#e7e7e7' }, /Brighter over white/, 'Paint on white card'],
      [{ black: '#424242', white: '#f1f1f1' }, /changes neither card/, ''],
      [{ black: '#424242', white: '#a0a0a0' }, /looks like the bare card/, 'Paint on black card'],
      [{}, /Nobody measured the film/, ''],
    ]
    const dialog = page.getByRole('dialog', { name: 'New paint' })
    const fill = (label: string, text: string) => dialog.getByLabel(label, { exact: true }).fill(text)
    for (const [change, sentence, beside] of cases) {
      const entries = { ...usual, ...change }
      await fill('Paint on black card', entries.black)
      await fill('Paint on white card', entries.white)
      await fill('Bare black card', entries.bareBlack)
      await fill('Bare white card', entries.bareWhite)
      const said = dialog.getByText(sentence)
      await said.waitFor({ timeout: 3000 })
      expect(await said.count(), String(sentence)).toBe(1)
      // Beside its field: read with it by a screen reader, too.
      if (beside === '') continue
      const id = await dialog.getByLabel(beside, { exact: true }).getAttribute('aria-describedby')
      expect(await page.locator(`[id="${id?.split(' ')[0]}"]`).textContent(), beside).toMatch(sentence)
    }
    // Every earlier sentence but the last one's has gone.
    await dialog.getByRole('radio', { name: 'I know it' }).click()
    await dialog.getByText(/Nobody measured/).waitFor({ state: 'detached' })
    expect(await dialog.locator('.field-advice').allTextContents()).toEqual(['', '', '', '', ''])
    await fill('Paint on black card', 'a nice red')
    expect(await dialog.getByText(/Write a hex colour/).count()).toBe(1)
    expect(await dialog.getByRole('button', { name: 'Save', exact: true }).isDisabled()).toBe(true)
    await page.context().close()
  })

  /**
   * The lamp takes half of the blue and the exposure a tenth of all, so a code of the darkest patch stands for twice as
   * much light: half a code is there 2 % of the blue, which is 0.3 ΔE00; with the hex that is shown, below 0.7.
   */
  test('a photo under a warm lamp gives the true colours back, by arrow keys and Enter', async () => {
    const { page, errors } = await open()
    await newSwatches(page)
    const truth = { black: '#35506e', white: '#8fb3cf', bareBlack: '#3d3f40', bareWhite: '#eef0ee' }
    const lamp = [0.9, 0.74, 0.45]
    const grey = [0.18, 0.18, 0.18]
    const patches = [grey, ...Object.values(truth).map(linearRgbOfHex)]
    // A strip of five patches on a brown table.
    const png = pngOf(500, 120, (x, y) => {
      const patch = y > 20 && y < 100 && x % 100 > 10 && x % 100 < 90 ? patches[Math.floor(x / 100)] : [0.1, 0.06, 0.03]
      return patch.map((value, c) => srgbByte(value * lamp[c]))
    })
    await choosePhoto(page, { name: 'swatches.png', mimeType: 'image/png', buffer: png })
    await page.locator('.photo-stage').focus()
    const press = async (key: string, times: number) => {
      for (let i = 0; i < times; i++) await page.keyboard.press(key)
    }
    // From the middle of the strip, 2 % a step, to the middle of each patch.
    await press('ArrowLeft', 20)
    for (let patch = 0; patch < 5; patch++) {
      await page.keyboard.press('Enter')
      await press('ArrowRight', 10)
    }
    await page.getByRole('button', { name: 'Use these colours' }).click()
    for (const [label, hex] of [
      ['Paint on black card', truth.black],
      ['Paint on white card', truth.white],
      ['Bare black card', truth.bareBlack],
      ['Bare white card', truth.bareWhite],
    ]) {
      const found = await page.getByLabel(label, { exact: true }).inputValue()
      const error = deltaE2000(labOfLinearRgb(...linearRgbOfHex(found)), labOfLinearRgb(...linearRgbOfHex(hex)))
      expect(error, `${label}: ${found} for ${hex}`).toBeLessThan(1)
    }
    expect(errors).toEqual([])
    await page.context().close()
  })

  test('a photo stands upright as its camera says; burnt-out and uneven places and other files are told', async () => {
    const { page } = await open()
    await newSwatches(page)
    const jpeg = await jpegTurnedRight(page)
    await choosePhoto(page, { name: 'turned.jpg', mimeType: 'image/jpeg', buffer: jpeg })
    const box = (await page.locator('.photo-stage canvas').boundingBox())!
    const pick = (v: number) => page.mouse.click(box.x + box.width / 2, box.y + v * box.height)
    // 300 × 200 as stored, 200 × 300 as seen.
    expect(box.width / box.height).toBeCloseTo(2 / 3, 1)
    // The left half was white; a quarter turn to the right brings it to the top.
    await pick(0.25)
    await page.getByText('Grey card: burnt out').waitFor()
    await page.getByRole('radio', { name: 'Grey card' }).click()
    await pick(0.6)
    await page.getByText('Grey card: burnt out').waitFor({ state: 'detached' })
    await page.getByRole('radio', { name: 'Paint on white' }).click()
    // Where grey and darker grey meet.
    await pick(0.873)
    await page.getByText('Paint on white: uneven').waitFor()

    const chooser = page.waitForEvent('filechooser')
    await page.getByRole('button', { name: 'Another photo' }).click()
    await (await chooser).setFiles({ name: 'a.png', mimeType: 'image/png', buffer: Buffer.from('no picture') })
    await page.getByText(/no picture that can be shown/).waitFor()
    await page.context().close()
  })

  test('measured spectra: the film’s own K and S come back from a CGATS file', async () => {
    const { page, errors } = await open()
    await openTopCoat(page)
    await page.evaluate(openNewPaint)
    await page.getByRole('tab', { name: 'Measured' }).click()
    const { absorption, scattering } = pigmentOptics('PY43')
    const um = 6
    const row = (name: string, card: number, thick: number) =>
      `"${name}" ${BAND_NM.map((_, b) => seenReflectance(over(film(absorption[b], scattering[b], thick), internalReflectance(card))).toFixed(6)).join(' ')}`
    const text = [
      'CGATS.17',
      `BEGIN_DATA_FORMAT\nSAMPLE_NAME ${BAND_NM.map(nm => `SPECTRAL_NM${nm}`).join(' ')}\nEND_DATA_FORMAT`,
      `BEGIN_DATA\n${[row('on black', 0.05, um), row('on white', 0.86, um), row('bare black', 0.05, 0), row('bare white', 0.86, 0)].join('\n')}\nEND_DATA`,
    ].join('\n')
    await page.getByTestId('open-spectra').setInputFiles({
      name: 'film.txt',
      mimeType: 'text/plain',
      buffer: Buffer.from(text),
    })
    for (const [label, patch] of [
      ['Paint on black card', 'on black'],
      ['Paint on white card', 'on white'],
      ['Bare black card', 'bare black'],
      ['Bare white card', 'bare white'],
    ]) {
      await page.getByRole('button', { name: new RegExp(`${label}$|^${label}`) }).click()
      await page
        .getByRole('listbox', { name: new RegExp(label) })
        .getByRole('option', { name: patch, exact: true })
        .click()
    }
    await page.getByRole('radio', { name: 'I know it' }).click()
    const thickness = page.getByLabel('Dry film', { exact: false }).and(page.locator('input'))
    await thickness.fill(String(um))
    await thickness.press('Enter')
    await page.getByRole('dialog').getByRole('button', { name: 'Save', exact: true }).click()
    const body = await readState(page, s => s.history.present.recipe.paints.at(-1)!.body)
    expect(body).toMatchObject({ kind: 'spectral', basis: 'measured, 6 µm' })
    if (body.kind !== 'spectral') return
    // What is asked of it is the look of another film: half as thick over a light grey.
    const half = (k: number, s: number) => seenReflectance(over(film(k, s, um / 2), 0.4))
    const lab = (k: ArrayLike<number>, s: ArrayLike<number>) =>
      labOfLinearRgb(...linearRgbOf(BAND_NM.map((_, b) => half(k[b], s[b]))))
    expect(deltaE2000(lab(body.absorption, body.scattering), lab(absorption, scattering))).toBeLessThan(0.5)

    await page.evaluate(openNewPaint)
    await page.getByRole('tab', { name: 'Measured' }).click()
    await page.getByTestId('open-spectra').setInputFiles({
      name: 'notes.txt',
      mimeType: 'text/plain',
      buffer: Buffer.from('not a table'),
    })
    await page.getByText(/notes\.txt/).waitFor()
    expect(errors).toEqual([])
    await page.context().close()
  })

  test('editing says whom it changes and finds what was entered; the picker sorts by what shows through', async () => {
    const { page } = await open()
    await openTopCoat(page)
    await page.evaluate(() => {
      const { commands, store } = (window as never as PageWindow).greycoat
      const { recipe } = store.getState().history.present
      const [paint] = recipe.paints.filter(p => p.id === 'deep_blue')
      const body = { kind: 'quick', hex: '#7755aa', covering: 'half' } as const
      commands.putPaint({ ...paint, body }, recipe.coats.at(-1)!.id)
      commands.putPaint({ ...paint, body }, recipe.coats.at(-2)!.id)
    })
    await page.getByRole('button', { name: /^Paint: / }).click()
    await page.getByRole('radio', { name: 'What shows through' }).click()
    const kept = (await page.locator('.kept-number').allTextContents()).map(text => Number.parseInt(text, 10))
    expect(kept.length).toBeGreaterThan(10)
    expect([...kept].sort((a, b) => b - a)).toEqual(kept)
    await page.getByRole('button', { name: 'Edit this paint' }).click()
    const dialog = page.getByRole('dialog', { name: 'Edit paint' })
    await dialog.getByText('Used 2 times in this recipe: all of them change.').waitFor()
    expect(await dialog.getByLabel('Its colour, painted thickly', { exact: true }).inputValue()).toBe('#7755aa')
    await dialog.getByRole('button', { name: 'Save as a new paint' }).click()
    const coats = await readState(page, s =>
      s.history.present.recipe.coats.flatMap(c => (c.kind === 'varnish' ? [] : [c.paint])),
    )
    expect(coats.at(-1)).toMatch(/^own_/)
    expect(coats.at(-2)).not.toBe(coats.at(-1))
    await page.context().close()
  })

  test('a coat tells beside its strip what it leaves of the contrast and how far half is', async () => {
    const { page } = await open({ width: 1024, height: 768 })
    await openTopCoat(page)
    const recipe = await readState(page, s => s.history.present.recipe)
    const strip = thicknessStrip(recipe.coats.at(-1) as MistCoat, recipe)
    const place = page.getByRole('region', { name: 'From none to twice as thick' })
    await place.getByText(`planned, ${strip.plannedUm.toFixed(1)} µm`).waitFor()
    expect(await place.locator('.reading-number').allTextContents()).toEqual([
      `${Math.round(100 * strip.keptAtPlanned)} %`,
      `+${strip.passesToHalf} passes`,
    ])
    // The left end of each row is its bare ground, the right end twice the plan, the mark in the middle the plan.
    const rows = await place
      .locator('.strip-row')
      .evaluateAll(all => all.map(row => (row as HTMLElement).style.background.match(/rgb\([^)]*\)/g)))
    const css = (hex: string) => `rgb(${[1, 3, 5].map(at => Number.parseInt(hex.slice(at, at + 2), 16)).join(', ')})`
    expect(rows).toEqual([strip.overBlack, strip.overPreshade, strip.overWhite].map(row => row.map(css)))
    const [figure, mark] = await Promise.all(
      ['.strip', '.strip-planned'].map(async at => (await place.locator(at).boundingBox())!),
    )
    expect(mark.x + mark.width / 2).toBeCloseTo(figure.x + figure.width / 2, 0)
    await page.context().close()
  })

  test('compared over a flat base, two paints of one saturation tell which lets the pre-shade through', async () => {
    const { page, errors } = await open()
    await page.evaluate(() => {
      const { commands } = (window as never as PageWindow).greycoat
      commands.setCompare({ kind: 'flat', greyY: null, arrangement: { kind: 'seam', at: 0.5 } })
    })
    const section = page.getByRole('region', { name: 'At the same saturation' })
    await section.getByText(/^At the same saturation Transparent red lets more .*, of Cold blue \d+\.$/).waitFor()
    // Right of the strips the flat base gives one colour, whatever the paint lets through.
    expect(await section.locator('.saturated-over').count()).toBe(4)
    await section.getByRole('button', { name: 'Transparent red' }).click()
    await page.getByRole('option', { name: 'Bone', exact: true }).click()
    await section.getByText(/Cold blue and Bone let about as much/).waitFor()
    expect(errors).toEqual([])
    await page.context().close()
  })

  test('a white coat shows how the greys come up: more with each pass, darker with more thinner', async () => {
    const { page } = await open()
    await page.evaluate(() => {
      const { commands, store } = (window as never as PageWindow).greycoat
      commands.select({ openCoat: store.getState().history.present.recipe.coats[0].id })
    })
    const table = page.locator('.pass-table')
    await page.getByRole('button', { name: 'As numbers' }).click()
    const column = async (n: number) =>
      (await table.locator(`tbody tr > :nth-child(${n})`).allTextContents()).map(Number)
    const [values, asFilm] = [await column(2), await column(3)]
    expect(values.length).toBeGreaterThan(8)
    for (let n = 1; n < values.length; n++) expect(values[n]).toBeGreaterThanOrEqual(values[n - 1])
    expect(values.at(-1)! - values[0]).toBeGreaterThan(20)
    values.forEach((value, n) => {
      expect(asFilm[n]).toBeGreaterThanOrEqual(value)
    })
    await page.getByRole('button', { name: 'More thinner drops' }).click()
    await page.waitForFunction(
      was => Number(document.querySelector('.pass-table tbody tr:nth-child(5) td')?.textContent) < was,
      values[4],
    )
    await page.context().close()
  })
})

interface PageWindow {
  readonly greycoat: {
    readonly commands: Commands
    readonly store: { getState(): AppState }
  }
}

const openNewPaint = () => {
  const { commands, store } = (window as never as PageWindow).greycoat
  commands.openPaint({ paint: null, onto: store.getState().history.present.recipe.coats.at(-1)!.id })
}

async function newSwatches(page: Page): Promise<void> {
  await page.evaluate(openNewPaint)
  await page.getByRole('tab', { name: 'Two swatches' }).click()
}

/** Opens the coat on top of the stack. */
async function openTopCoat(page: Page): Promise<void> {
  await page.evaluate(() => {
    const { commands, store } = (window as never as PageWindow).greycoat
    const coat = store.getState().history.present.recipe.coats.at(-1)!
    commands.select({ openCoat: coat.id })
  })
  await page.getByRole('button', { name: /^Paint: / }).waitFor()
}

/** Tab until what has the focus is called so. */
async function tabTo(page: Page, name: RegExp): Promise<void> {
  for (let i = 0; i < 80; i++) {
    const label = await page.evaluate(() => {
      const at = document.activeElement as HTMLInputElement | null
      return at?.getAttribute('aria-label') ?? at?.labels?.[0]?.textContent ?? at?.textContent ?? ''
    })
    if (name.test(label)) return
    await page.keyboard.press('Tab')
  }
  throw new Error(`Tab never came to ${name}`)
}

/** What the open coat and the stage say. */
async function shown(page: Page): Promise<{ redPixels: number; numbers: string[] }> {
  await page.waitForTimeout(300)
  const png = await page.locator('canvas').first().screenshot()
  const redPixels = await page.evaluate(async base64 => {
    const blob = new Blob([Uint8Array.from(atob(base64), c => c.charCodeAt(0))], { type: 'image/png' })
    const bitmap = await createImageBitmap(blob)
    const context = new OffscreenCanvas(bitmap.width, bitmap.height).getContext('2d')!
    context.drawImage(bitmap, 0, 0)
    const { data } = context.getImageData(0, 0, bitmap.width, bitmap.height)
    let count = 0
    for (let i = 0; i < data.length; i += 4) if (data[i] > data[i + 2] + 20) count++
    return count
  }, png.toString('base64'))
  return { redPixels, numbers: await page.locator('.strip-place .reading-number').allTextContents() }
}

async function choosePhoto(page: Page, file: { name: string; mimeType: string; buffer: Buffer }): Promise<void> {
  await page.getByRole('button', { name: 'Pick them from a photo' }).click()
  const chooser = page.waitForEvent('filechooser')
  await page.getByRole('button', { name: 'Choose a photo' }).click()
  await (await chooser).setFiles(file)
  await page.locator('.photo-stage').waitFor()
}

/** A JPEG of 300 × 200, left half white, then grey and dark grey, whose EXIF says: turn a quarter to the right. */
async function jpegTurnedRight(page: Page): Promise<Buffer> {
  const bytes = await page.evaluate(async () => {
    const canvas = new OffscreenCanvas(300, 200)
    const context = canvas.getContext('2d')!
    context.fillStyle = '#fff'
    context.fillRect(0, 0, 150, 200)
    context.fillStyle = '#777'
    context.fillRect(150, 0, 112, 200)
    context.fillStyle = '#333'
    context.fillRect(262, 0, 38, 200)
    return [...new Uint8Array(await (await canvas.convertToBlob({ type: 'image/jpeg' })).arrayBuffer())]
  })
  // Exif 2.3: one entry, tag 0x0112 (orientation), SHORT, 6.
  const tiff = [0x4d, 0x4d, 0, 0x2a, 0, 0, 0, 8, 0, 1, 0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, 6, 0, 0, 0, 0, 0, 0]
  const body = [...Buffer.from('Exif\0\0'), ...tiff]
  return Buffer.from([0xff, 0xd8, 0xff, 0xe1, 0, body.length + 2, ...body, ...bytes.slice(2)])
}

/** Enough of PNG (ISO/IEC 15948): 8 bits, RGB, no filter. */
function pngOf(width: number, height: number, at: (x: number, y: number) => readonly number[]): Buffer {
  const rows = Buffer.alloc(height * (1 + 3 * width))
  for (let y = 0; y < height; y++) for (let x = 0; x < width; x++) rows.set(at(x, y), y * (1 + 3 * width) + 1 + 3 * x)
  const chunk = (type: string, data: Buffer) => {
    const typed = Buffer.concat([Buffer.from(type), data])
    const framed = Buffer.alloc(typed.length + 8)
    framed.writeUInt32BE(data.length, 0)
    typed.copy(framed, 4)
    framed.writeUInt32BE(crc32(typed), typed.length + 4)
    return framed
  }
  const header = Buffer.alloc(13)
  header.writeUInt32BE(width, 0)
  header.writeUInt32BE(height, 4)
  header.set([8, 2, 0, 0, 0], 8)
  return Buffer.concat([
    Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'),
    chunk('IHDR', header),
    chunk('IDAT', deflateSync(rows)),
    chunk('IEND', Buffer.alloc(0)),
  ])
}

function crc32(bytes: Buffer): number {
  let crc = 0xffffffff
  for (const byte of bytes) {
    crc ^= byte
    for (let i = 0; i < 8; i++) crc = (crc >>> 1) ^ (crc & 1 ? 0xedb88320 : 0)
  }
  return (crc ^ 0xffffffff) >>> 0
}
