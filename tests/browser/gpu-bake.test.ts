import { expect, test } from 'vitest'
import { type GreycoatWindow, readThroughFirstUse, waitUntilSettled } from '../../scripts/browser-page.ts'
import { describeInBrowser } from './open-app.ts'

interface Tally {
  readonly facing: number
  readonly differPercent: number
  readonly exposurePercent: number
  readonly seenShare: number
}

/**
 * The processor's bake is the reference: it is held to rays by visibility-referee.test.ts. WebGL2 in software is slow, but
 * computes what a card computes.
 */
describeInBrowser('colours from the graphics card', open => {
  test('agree with the processor: at most 1 % of facing vertices differ, exposure within 1 %', async () => {
    const { page, address, errors } = await open({ settled: false })
    const line = page.waitForEvent('console', {
      predicate: message => message.text().startsWith('RESULT '),
      timeout: 170_000,
    })
    await page.goto(`${address}?bench=agree&gpu=off`)
    const report = JSON.parse((await line).text().slice('RESULT '.length))
    expect(report.failed).toBeUndefined()
    for (const name of ['parallel', 'swept', 'nozzle', 'apart']) {
      const tally: Tally = report[name]
      expect(tally.facing, name).toBeGreaterThan(20_000)
      // Some is seen and some is not, or nothing was tested.
      expect(tally.seenShare, name).toBeGreaterThan(0.2)
      expect(tally.seenShare, name).toBeLessThan(0.9)
      expect(tally.differPercent, name).toBeLessThan(1)
      expect(tally.exposurePercent, name).toBeLessThan(1)
    }
    expect(report.filmsDeltaE.mean).toBeLessThan(0.1)
    expect(report.filmsDeltaE.worst).toBeLessThan(0.5)
    expect(report.wholeDeltaE.mean).toBeLessThan(0.1)
    expect(errors).toEqual([])
    await page.context().close()
  }, 180_000)

  test('the picture is the one the processor paints', async () => {
    const pictures: number[][] = []
    for (const gpu of ['off', 'on']) {
      const { page, errors } = await open({ settled: false, query: `?gpu=${gpu}` })
      await readThroughFirstUse(page)
      // Even coats on every other part: all but the spray, which software takes minutes for and the test above compares.
      await page.evaluate(`{
        const { store, commands } = window.greycoat
        for (const coat of store.getState().history.present.recipe.coats) commands.deleteCoat(coat.id)
      }`)
      await page.waitForFunction(
        () => (window as never as GreycoatWindow).greycoat.store.getState().derived.figure !== null,
      )
      await page.evaluate(`{
        const { store, commands } = window.greycoat
        const { parts } = store.getState().derived.figure
        for (const [i, paint] of ['white', 'bright_red'].entries()) {
          const id = commands.addCoat('even', paint)
          commands.setThickness(id, 4 + 3 * i)
          for (const [k, part] of parts.entries()) if (k % (2 + i) === 0) commands.setPartState(id, part.id, 'absent')
        }
      }`)
      await waitUntilSettled(page)
      if (gpu === 'on')
        await page.waitForFunction(() => performance.getEntriesByName('greycoat picture refined').length > 0)
      await page.waitForTimeout(500)
      // From the middle of the stage, where the figure stands.
      const png = await page.screenshot({ clip: { x: 640, y: 330, width: 160, height: 320 } })
      pictures.push(
        await page.evaluate(
          async bytes => {
            const bitmap = await createImageBitmap(new Blob([new Uint8Array(bytes)], { type: 'image/png' }))
            const canvas = new OffscreenCanvas(bitmap.width, bitmap.height)
            const context = canvas.getContext('2d')!
            context.drawImage(bitmap, 0, 0)
            return [...context.getImageData(0, 0, bitmap.width, bitmap.height).data]
          },
          [...png],
        ),
      )
      expect(errors).toEqual([])
      await page.context().close()
    }
    const [processor, card] = pictures
    const steps = processor.map((value, i) => Math.abs(value - card[i]))
    const reds = processor.filter((_, i) => i % 4 === 0).sort((a, b) => a - b)
    const range = reds[reds.length - 1] - reds[0]
    // A picture with something in it, equal but for rounding and a few pixels at edges of the spray.
    expect(range).toBeGreaterThan(100)
    expect(steps.reduce((a, b) => a + b, 0) / steps.length).toBeLessThan(0.5)
    expect(steps.filter(step => step > 3).length / steps.length).toBeLessThan(0.01)
  })
})
