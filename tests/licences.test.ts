import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { licenceTable } from '../scripts/list-licences.ts'

test('docs/third-party-licences.md is what the lock file says (npm run licences writes it)', () => {
  expect(readFileSync('docs/third-party-licences.md', 'utf8')).toBe(licenceTable())
})
