import { spawnSync } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { sharedPath } from '../shared-data.ts'
import type { CorpusLine } from './read-corpus.ts'

const corpus = sharedPath('corpus')

describe.skipIf(!corpus)(
  `258 awkward and broken files of others${corpus ? '' : ' (not run: ../shared absent)'}`,
  () => {
    const run = corpus
      ? spawnSync(process.execPath, ['--import', 'tsx', 'tests/corpus/read-corpus.ts', corpus], {
          encoding: 'utf8',
          timeout: 240_000,
          maxBuffer: 1 << 26,
        })
      : null
    const parsed = (run?.stdout ?? '')
      .trim()
      .split('\n')
      .filter(Boolean)
      .map(line => JSON.parse(line))
    const lines = parsed.filter((line): line is CorpusLine => 'file' in line)
    const peak = parsed.find(line => 'peakMb' in line) as { peakMb: number } | undefined
    const refused = lines.filter(line => !line.meantInvalid && line.outcome !== 'loaded')

    test('every file was read to an end', () => {
      expect(run?.stderr).toBe('')
      expect(lines.length).toBe(258)
    })
    test('each loads with finite positions and valid indices, or is refused with a Problem', () => {
      expect(lines.filter(line => line.outcome === 'crash' || !line.sane)).toEqual([])
    })
    test('within 5 s a file and 500 MB in all', () => {
      expect(lines.filter(line => line.ms > 5000)).toEqual([])
      expect(peak?.peakMb).toBeLessThan(500)
    })
    test('at least 90 % of the valid files that hold a whole surface load', () => {
      // A file without triangles, or whose data lie in files that are not there, has no surface to load.
      const hollow = refused.filter(line => line.reason === 'mesh/no-triangles' || line.reason === 'file/needs')
      const whole = lines.filter(line => !line.meantInvalid).length - hollow.length
      expect(whole).toBeGreaterThan(110)
      expect(1 - (refused.length - hollow.length) / whole).toBeGreaterThanOrEqual(0.9)
    })
    test('docs/corpus-refusals.md lists exactly the valid files that are refused, with the reason', () => {
      const rows = [...readFileSync('docs/corpus-refusals.md', 'utf8').matchAll(/^\| `([^`]+)` \| `([^`]+)` \|/gm)]
      expect(rows.map(([, file, reason]) => `${file} ${reason}`).sort()).toEqual(
        refused.map(line => `${line.file} ${line.reason}`).sort(),
      )
    })
  },
)
