import { chromium } from 'playwright-core'
import { describe, expect, test } from 'vitest'
import { shaderStackErrors } from '../../scripts/bench/shader-stack.ts'
import { BROWSER_FLAGS } from '../../scripts/browser-page.ts'
import { findBrowser } from '../../scripts/find-browser.ts'

const executable = process.env.GREYCOAT_BROWSER ?? findBrowser() ?? ''

describe.skipIf(executable === '')(`films in a shader${executable ? '' : ' (not run: no Chrome or Chromium)'}`, () => {
  test('look as on the CPU: mean below 0.1 ΔE00, worst below 0.5, corners first', async () => {
    const browser = await chromium.launch({ executablePath: executable, args: BROWSER_FLAGS })
    try {
      const errors = await shaderStackErrors(await browser.newPage())
      expect(errors.length).toBe(3 * 5 * 4 * 3 * 3)
      expect(errors.every(Number.isFinite)).toBe(true)
      expect(errors.reduce((a, b) => a + b, 0) / errors.length).toBeLessThan(0.1)
      expect(Math.max(...errors)).toBeLessThan(0.5)
    } finally {
      await browser.close()
    }
  })
})
