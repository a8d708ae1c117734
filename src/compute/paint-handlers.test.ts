import { NodeIO } from '@gltf-transform/core'
import { describe, expect, test } from 'vitest'
import { emittersFor, fieldsNeeded } from '../core/chain/fields-needed.ts'
import type { Lamp } from '../core/colour/illuminants.ts'
import { bakeExposure } from '../core/spray/bake-exposure.ts'
import { figureOf, icosphere } from '../core/spray/test-figures.ts'
import { defaultDocument } from '../document/default-document.ts'
import { NAMED_VIEWS } from '../document/named-views.ts'
import { paintHandlers } from './paint-handlers.ts'
import type { CallContext } from './serve-compute.ts'

const figure = figureOf([icosphere(4, 16, [0, 16, 0])])
const { recipe, thresholds } = defaultDocument()
const context = {} as CallContext

async function painted() {
  const handlers = paintHandlers()
  await handlers.keepFigure({ figure }, context)
  for (const need of fieldsNeeded(figure, recipe)) {
    const exposure = bakeExposure(figure, need.partStates, emittersFor(need, figure, 'coarse'), { bufferSize: 256 })
    await handlers.keepField({ figureId: figure.id, key: need.key, shares: [exposure] }, context)
  }
  const paint = (
    side: 'main' | 'other',
    ground: { kind: 'preshade' } | { kind: 'flat'; greyY: null },
    illuminant: Lamp = 'D65',
  ) =>
    handlers.paint(
      { figureId: figure.id, side, recipe, ground, look: { kind: 'painted' }, illuminant, grain: false },
      context,
    )
  const main = await paint('main', { kind: 'preshade' })
  const other = await paint('other', { kind: 'flat', greyY: null })
  const read = (camera = NAMED_VIEWS.table, sides: ('main' | 'other')[] = ['main', 'other']) =>
    handlers.read({ figureId: figure.id, camera, thresholds, sides }, context)
  return { handlers, main, other, paint, read }
}

describe('the demo recipe on a sphere', async () => {
  const { handlers, main, read } = await painted()

  test('reads with more contrast over its pre-shade than over one grey, and states what is left over the former alone', async () => {
    const { main: over, other: flat, difference } = await read()
    expect(over?.contrast).toBeGreaterThan(flat?.contrast ?? 100)
    expect(over?.contrastLeft).toBeGreaterThan(0)
    expect(over?.contrastLeft).toBeLessThan(1)
    expect(flat?.contrastLeft).toBeNull()
    expect(flat?.preshadeHistogram).toBeNull()
    expect(difference?.meanDeltaE).toBeGreaterThan(0)
  })
  test('reads another picture from another place', async () => {
    const table = await read()
    const underneath = await read({ ...NAMED_VIEWS.table, elevationDegrees: -40 })
    expect(underneath.main?.dark).toBeGreaterThan((table.main?.dark ?? 1) + 0.1)
    expect(await read()).toEqual(table)
  })
  test('reads only the sides it is asked for', async () => {
    expect(await read(NAMED_VIEWS.table, ['main'])).toMatchObject({ other: null, difference: null })
  })
  test('names the layers in front of the eye: primer first, then coats with thickness', async () => {
    const at = await handlers.layersAt(
      { figureId: figure.id, side: 'main', origin: [0, 20, 300], direction: [0, 0, -1] },
      context,
    )
    expect(at?.partId).toBe('piece_1')
    expect(at?.layers[0]).toMatchObject({ coatId: null, thicknessUm: recipe.primer.thicknessUm })
    expect(at?.layers.length).toBeGreaterThan(1)
  })
  test('exports the colours that were painted', async () => {
    const { bytes } = await handlers.exportGlb({ figureId: figure.id, side: 'main' }, context)
    const [mesh] = (await new NodeIO().readBinary(bytes)).getRoot().listMeshes()
    const colours = mesh.listPrimitives()[0].getAttribute('COLOR_0')?.getArray() ?? []
    const cut = main.linearRgb.map(c => Math.min(1, Math.max(0, c)))
    expect([...colours]).toEqual([...cut])
  })
})

test('another lamp changes the painted picture and the layers, not the values, the readings nor the export', async () => {
  const { handlers, main, paint, read } = await painted()
  const before = await read()
  const layers = () =>
    handlers.layersAt({ figureId: figure.id, side: 'main', origin: [0, 20, 300], direction: [0, 0, -1] }, context)
  const byDay = await layers()
  const under = await paint('main', { kind: 'preshade' }, 'A')
  expect(Math.max(...under.linearRgb.map((c, i) => Math.abs(c - main.linearRgb[i])))).toBeGreaterThan(0.01)
  const byBulb = await layers()
  const top = (at: typeof byDay) => at!.layers[at!.layers.length - 1]
  expect(top(byBulb).hex).not.toBe(top(byDay).hex)
  expect(top(byBulb).lStar).toBe(top(byDay).lStar)
  expect(await read()).toEqual(before)
  const grey = (illuminant: Lamp) =>
    handlers.paint(
      {
        figureId: figure.id,
        side: 'main',
        recipe,
        ground: { kind: 'preshade' },
        look: { kind: 'value' },
        illuminant,
        grain: false,
      },
      context,
    )
  expect(await grey('A')).toEqual(await grey('D65'))
})

test('another look changes the picture, not the readings nor the export', async () => {
  const { handlers, read } = await painted()
  const before = await read()
  const [coat] = recipe.coats.filter(c => c.kind === 'mist')
  const reply = await handlers.paint(
    {
      figureId: figure.id,
      side: 'main',
      recipe,
      ground: { kind: 'preshade' },
      look: { kind: 'deposit', coat: coat.id },
      illuminant: 'D65',
      grain: false,
    },
    context,
  )
  expect(reply.depositMaxUm).toBeGreaterThan(0)
  // What is no paint has no colours that a screen could lack.
  expect(await read()).toEqual({ ...before, outside: null })
})
