import { readdirSync, readFileSync } from 'node:fs'
import { basename, dirname, join } from 'node:path'
import { ProblemError } from '../../src/core/problem.ts'
import { readMesh } from '../../src/io/read-mesh.ts'

/**
 * Run as a process of its own: reads every file of a corpus and prints one JSON line a file, the last line with the
 * peak memory. Anything but a mesh or a Problem is printed as `crash`.
 */
export interface CorpusLine {
  readonly file: string
  readonly meantInvalid: boolean
  readonly ms: number
  readonly outcome: 'loaded' | 'refused' | 'crash'
  /** Problem code, or what was thrown. */
  readonly reason: string
  readonly sane: boolean
}

if (import.meta.filename === process.argv[1]) {
  const corpus = process.argv[2]
  const manifest = JSON.parse(readFileSync(join(corpus, 'manifest.json'), 'utf8')) as {
    file: string
    meant_invalid: boolean
  }[]
  for (const { file, meant_invalid: meantInvalid } of manifest) {
    const path = join(corpus, file)
    const folder = dirname(path)
    const besides = readdirSync(folder).filter(name => name.endsWith('.bin') && name !== basename(path))
    const sideFiles = new Map(besides.map(name => [name, new Uint8Array(readFileSync(join(folder, name)))]))
    const started = performance.now()
    let line: Pick<CorpusLine, 'outcome' | 'reason' | 'sane'>
    try {
      const { positions, triangles } = await readMesh(basename(path), new Uint8Array(readFileSync(path)), sideFiles)
      const vertices = positions.length / 3
      line = {
        outcome: 'loaded',
        reason: '',
        sane: positions.every(Number.isFinite) && triangles.every(v => v < vertices),
      }
    } catch (thrown) {
      line =
        thrown instanceof ProblemError
          ? { outcome: 'refused', reason: thrown.problem.code, sane: true }
          : { outcome: 'crash', reason: String(thrown), sane: false }
    }
    console.log(JSON.stringify({ file, meantInvalid, ms: Math.round(performance.now() - started), ...line }))
  }
  console.log(JSON.stringify({ peakMb: Math.round(process.resourceUsage().maxRSS / 1024) }))
}
