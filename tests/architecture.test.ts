import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { dirname, join, relative, sep } from 'node:path'
import { fileURLToPath } from 'node:url'
import { describe, expect, test } from 'vitest'

/** Which rooms a room may import from, itself aside. Type-only imports count: a type is a dependency too. */
const ROOMS: Record<string, { readonly rooms: readonly string[]; readonly packages: RegExp }> = {
  core: { rooms: [], packages: /^$/ },
  document: { rooms: ['core'], packages: /^zod$/ },
  io: {
    rooms: ['core', 'document'],
    packages: /^(fflate|saxes|meshoptimizer\/(decoder|encoder|simplifier)|@gltf-transform\/(core|extensions))$/,
  },
  compute: { rooms: ['core', 'document', 'io'], packages: /^$/ },
  app: { rooms: ['core', 'document', 'compute', 'io'], packages: /^(zustand\/vanilla|idb-keyval)$/ },
  ui: { rooms: ['core', 'document', 'app'], packages: /^(react|zustand)$/ },
  scene: { rooms: ['core', 'document', 'app', 'ui'], packages: /^(three|react|@react-three\/(fiber|drei))$/ },
  panels: { rooms: ['core', 'document', 'app', 'ui'], packages: /^(react|react-aria-components)$/ },
  views: { rooms: ['core', 'document', 'app', 'ui', 'scene', 'panels'], packages: /^(react|react-aria-components)$/ },
  bench: { rooms: ['core', 'document', 'app', 'ui', 'scene'], packages: /^@react-three\/fiber$/ },
  cli: { rooms: ['core', 'document', 'io', 'compute', 'app'], packages: /^node:/ },
}

const PROJECT = fileURLToPath(new URL('..', import.meta.url))
const SRC = join(PROJECT, 'src')
const roomOf = (path: string) => relative(SRC, path).split(sep)[0]
const isCode = (name: string) => /\.tsx?$/.test(name) && !/\.test\.tsx?$|\.as\.ts$/.test(name)
const files = readdirSync(SRC, { recursive: true, encoding: 'utf8' })
  .filter(isCode)
  .map(name => join(SRC, name))
const importsOf = (file: string) =>
  [
    ...readFileSync(file, 'utf8').matchAll(
      /^(?:import|export)\b[^'"]*?from '([^']+)'|^import '([^']+)'|\bimport\('([^']+)'\)/gm,
    ),
  ].map(match => match[1] ?? match[2] ?? match[3])

test('every room has a row, and every row a room', () => {
  const rooms = readdirSync(SRC, { withFileTypes: true })
    .filter(entry => entry.isDirectory())
    .map(entry => entry.name)
  expect(rooms.sort()).toEqual(Object.keys(ROOMS).sort())
})

describe.each(Object.keys(ROOMS))('src/%s', room => {
  test('imports only from the rooms and packages in its row', () => {
    const wrong = files
      .filter(file => roomOf(file) === room)
      .flatMap(file =>
        importsOf(file)
          .filter(target => {
            if (/\.css$|^@fontsource/.test(target)) return room !== 'panels' && room !== 'views'
            if (target.startsWith('.'))
              return ![room, ...ROOMS[room].rooms].includes(roomOf(join(dirname(file), target)))
            return !ROOMS[room].packages.test(target)
          })
          .map(target => `${relative(PROJECT, file)} imports ${target}`),
      )
    expect(wrong).toEqual([])
  })
})

test('core names no DOM, clock, randomness or network', () => {
  const forbidden =
    /\b(document\.|window\.|Math\.random|Date\.now|new Date|performance\.|fetch\(|setTimeout|process\.|Worker\()/
  const wrong = files
    .filter(file => roomOf(file) === 'core' && !file.endsWith('.generated.ts'))
    .filter(file => forbidden.test(readFileSync(file, 'utf8').replace(/\/\*[\s\S]*?\*\/|\/\/.*$/gm, '')))
    .map(file => relative(PROJECT, file))
  expect(wrong).toEqual([])
})

describe('the pages that guide a contributor', () => {
  test.each(['README.md', 'DEVELOPERS.md'])('every path that %s names exists', page => {
    const text = readFileSync(join(PROJECT, page), 'utf8')
    const missing = [...text.matchAll(/`((?:src|scripts|models|tests|docs|\.ci)\/[\w./-]*)`/g)]
      .map(m => m[1])
      .filter(path => !existsSync(join(PROJECT, path)))
    expect(missing).toEqual([])
  })

  test('the tree holds one three and one three-mesh-bvh', () => {
    const lock = JSON.parse(readFileSync(join(PROJECT, 'package-lock.json'), 'utf8')) as {
      packages: Record<string, unknown>
    }
    for (const name of ['three', 'three-mesh-bvh']) {
      expect(
        Object.keys(lock.packages).filter(path => path.endsWith(`node_modules/${name}`)),
        name,
      ).toEqual([`node_modules/${name}`])
    }
  })
})
