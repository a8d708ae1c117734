import { chromium } from 'playwright-core'
import { describe, expect, test } from 'vitest'
import { BROWSER_FLAGS } from '../../scripts/browser-page.ts'
import { findBrowser } from '../../scripts/find-browser.ts'
import { serveSite } from '../../scripts/serve-site.ts'

const executable = process.env.GREYCOAT_BROWSER ?? findBrowser() ?? ''

interface Tally {
  readonly facing: number
  readonly differPercent: number
  readonly exposurePercent: number
  readonly seenShare: number
}

/** The processor's bake is the reference: it is held to rays by visibility-referee.test.ts. */
describe.skipIf(executable === '')(`the card's bake${executable ? '' : ' (not run: no Chrome or Chromium)'}`, () => {
  test('agrees with the processor: at most 1 % of facing vertices differ, exposure within 1 %', async () => {
    const site = await serveSite()
    const browser = await chromium.launch({ executablePath: executable, args: BROWSER_FLAGS })
    try {
      const page = await browser.newPage()
      const line = page.waitForEvent('console', {
        predicate: message => message.text().startsWith('RESULT '),
        timeout: 170_000,
      })
      await page.goto(`${site.address}?bench=agree&gpu=off`)
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
    } finally {
      await browser.close()
      await site.close()
    }
  }, 180_000)
})
