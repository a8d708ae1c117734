/**
 * Makes the built-in figures: models/*.glb and models/figures.json, from the solids beside this file.
 *
 *   npm run figures
 *
 * Same source, same engine: same bytes. Sines may differ in the last bit between JavaScript engines,
 * so the files are committed and the tests check what they are, not their hash.
 */
import { mkdirSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { extractSurface, type Surface } from './extract-surface.ts'
import { SENTINEL } from './sentinel.ts'
import { greatestPiece, simplifySurface } from './simplify-surface.ts'
import { cone, cube, cylinder, sphere, steppedBlock } from './teaching-solids.ts'
import { type GlbPart, writeGlb } from './write-glb.ts'

const MODELS = fileURLToPath(new URL('../../models/', import.meta.url))
const HEIGHT_MM = 32
const LONGEST_EDGE_MM = 1.2

const SOLIDS: readonly { name: string; title: string; make: () => Surface; about: string }[] = [
  {
    name: 'sphere',
    title: 'Sphere',
    make: sphere,
    about: 'Every facing once: what each torch reaches, and how it falls off.',
  },
  {
    name: 'cylinder',
    title: 'Cylinder',
    make: cylinder,
    about: 'Straight up and round: what front and back leave out between them.',
  },
  { name: 'cube', title: 'Cube', make: cube, about: 'Six flat faces with sharp edges: one value a face.' },
  { name: 'cone', title: 'Cone', make: cone, about: 'A flank that leans back, like a cloak.' },
  {
    name: 'stepped-block',
    title: 'Stepped block',
    make: steppedBlock,
    about: 'Level treads, upright risers and the inner corners between them.',
  },
]

async function main(): Promise<void> {
  mkdirSync(MODELS, { recursive: true })
  const sentinel = SENTINEL.map(part => {
    const cut = extractSurface(part.solid, part)
    const surface = simplifySurface(greatestPiece(cut), {
      toleranceMm: part.toleranceMm,
      longestEdgeMm: LONGEST_EDGE_MM,
    })
    console.log(`${part.name.padEnd(22)} ${cut.triangles.length / 3} → ${surface.triangles.length / 3} triangles`)
    return { name: part.name, surface }
  })
  await write('sentinel.glb', sentinel)
  for (const { name, title, make } of SOLIDS) await write(`${name}.glb`, [{ name: title, surface: make() }])

  const entry = (name: string, title: string, about: string) => ({
    name,
    title,
    file: `${name}.glb`,
    up: '+y',
    front: '+z',
    heightMm: HEIGHT_MM,
    about,
  })
  const list = [
    entry('sentinel', 'Sentinel', 'An armoured guard with glaive, shield, cloak and pack; every piece comes off.'),
    ...SOLIDS.map(s => entry(s.name, s.title, s.about)),
  ]
  writeFileSync(`${MODELS}figures.json`, `${JSON.stringify(list, null, 2)}\n`)
}

/** Stands the parts on y = 0, 32 mm high together, and writes them. */
async function write(file: string, parts: readonly GlbPart[]): Promise<void> {
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  for (const { surface } of parts) {
    for (let i = 1; i < surface.positions.length; i += 3) {
      low = Math.min(low, surface.positions[i])
      high = Math.max(high, surface.positions[i])
    }
  }
  const standing = parts.map(({ name, surface }) => ({
    name,
    surface: { ...surface, positions: surface.positions.map((v, i) => (i % 3 === 1 ? v - low : v)) },
  }))
  const bytes = await writeGlb(standing, (HEIGHT_MM / (high - low)) * 1e-3)
  writeFileSync(MODELS + file, bytes)
  const triangles = parts.reduce((n, p) => n + p.surface.triangles.length / 3, 0)
  console.log(`${file}: ${triangles} triangles, ${bytes.length} bytes`)
}

await main()
