import { saliencyOf } from '../core/advice/saliency.ts'
import { caughtByTorch } from '../core/chain/caught-by-torch.ts'
import type { Fields } from '../core/chain/deposits.ts'
import { opennessKey } from '../core/chain/fields-needed.ts'
import { filmSection } from '../core/chain/film-section.ts'
import { type FigureLook, lookOf } from '../core/chain/look.ts'
import { type ShownLook, shownLook } from '../core/chain/shown-look.ts'
import type { Lamp } from '../core/colour/illuminants.ts'
import { lStarOfLuminance, luminanceOf } from '../core/colour/lab.ts'
import { type Figure, vertexCount } from '../core/mesh/figure.ts'
import { vertexAreas } from '../core/mesh/vertex-areas.ts'
import { armsLengthView } from '../core/reading/arms-length.ts'
import { deltaEField, differenceOf } from '../core/reading/difference.ts'
import { outsideScreen } from '../core/reading/outside-screen.ts'
import { portrait } from '../core/reading/portrait.ts'
import { NOTHING, rasterView, type ViewRaster } from '../core/reading/raster-view.ts'
import { readAreas } from '../core/reading/read-areas.ts'
import { readView } from '../core/reading/read-view.ts'
import { unlitSides } from '../core/reading/side-check.ts'
import type { Recipe } from '../core/recipe/recipe.ts'
import { torchFieldKey } from '../core/spray/torch-field-key.ts'
import type { FigurePanels } from '../core/surface/figure-panels.ts'
import { guessColours, judgedColours } from '../core/teach/guess-colours.ts'
import { brushGuess, scoreGuess } from '../core/teach/guess-score.ts'
import type { Vec3 } from '../core/vec3.ts'
import type { Camera, Look } from '../document/document.ts'
import { simplifiedTriangles } from '../io/simplify-figure.ts'
import { applyLook } from './apply-look.ts'
import { firstHit, partOf, type SurfacePoint } from './first-hit.ts'
import type { FieldKey, SideName } from './protocol.ts'
import type { Handlers } from './serve-compute.ts'

/** What was painted last on a side. */
interface PaintedStack {
  readonly recipe: Recipe
  readonly look: FigureLook
  readonly illuminant: Lamp
  /** null: what is shown is no paint. */
  readonly shown: ShownLook | null
}

export function paintHandlers(): Handlers<'paint'> {
  let figure: Figure | null = null
  /** V, what a learner painted; null until there is a brush on the figure. */
  let guess: Float32Array | null = null
  let saliency: Float32Array | null = null
  let panels: FigurePanels | null = null
  let areas: Float64Array | null = null
  let seen: { readonly view: string; readonly raster: ViewRaster } | null = null
  const fields = new Map<FieldKey, Float32Array>()
  const sides = new Map<SideName, PaintedStack>()

  const kept = (figureId: string): Figure => {
    if (figure?.id !== figureId) throw new Error(`figure ${figureId} is not the one kept here`)
    return figure
  }

  /** The figure as seen from a camera; turning the paint leaves it as it is. */
  const rasterFrom = (now: Figure, camera: Camera): ViewRaster => {
    const { azimuthDegrees, elevationDegrees, distanceMm, target } = camera
    const view = JSON.stringify([now.id, azimuthDegrees, elevationDegrees, distanceMm, target])
    if (seen?.view !== view) seen = { view, raster: rasterView(now, camera) }
    return seen.raster
  }

  const fieldsOf = (figureId: string): Fields => ({
    exposureOf: (coat, torch) => fields.get(torchFieldKey(figureId, coat.parts, torch)) ?? null,
    opennessOf: coat => fields.get(opennessKey(figureId, coat.parts)) ?? null,
  })

  return {
    keepFigure({ figure: next }) {
      figure = next
      guess = null
      panels = null
      seen = null
      saliency = null
      areas = null
      fields.clear()
      sides.clear()
      return { bytes: next.positions.byteLength + next.normals.byteLength + next.triangles.byteLength }
    },

    keepField({ figureId, key, shares }) {
      kept(figureId)
      const [sum, ...others] = shares
      for (const share of others) for (let v = 0; v < sum.length; v++) sum[v] += share[v]
      fields.set(key, sum)
      return { bytes: sum.byteLength }
    },

    keepPanels({ panels: found }) {
      kept(found.figureId)
      panels = found
      return { areas: found.panels.length }
    },

    dropFields({ keys }) {
      for (const key of keys) fields.delete(key)
      return { dropped: keys.length }
    },

    paint({ figureId, side, recipe, ground, look, illuminant, grain }) {
      const now = kept(figureId)
      const found = fieldsOf(figureId)
      const painted = lookOf(now, recipe, found, ground)
      // Values are those that are read, whatever lamp and varnish the paint is shown with.
      const shown = look.kind === 'painted' ? shownLook(now, recipe, painted, illuminant, grain) : null
      sides.set(side, { recipe, look: painted, illuminant, shown })
      const { linearRgb, surface } = shown ?? { ...painted, surface: null }
      areas ??= vertexAreas(now)
      const caught = caughtByTorch(recipe, areas, found)
      const field = shownField(look, recipe, painted, sides.get('other')?.look)
      return { ...applyLook(look, linearRgb, field), surface, caught }
    },

    read({ figureId, camera, thresholds, sides: asked }) {
      const now = kept(figureId)
      const raster = rasterFrom(now, camera)
      const painted = (side: SideName) => (asked.includes(side) ? sides.get(side) : undefined)
      const main = painted('main')
      const other = painted('other')
      return {
        main: main ? readView(raster, now, main.look, thresholds) : null,
        other: other ? readView(raster, now, other.look, thresholds) : null,
        outside: main?.shown ? outsideScreen(raster, now, main.shown) : null,
        difference: main && other ? differenceOf(raster, now, main.look.linearRgb, other.look.linearRgb) : null,
        areas: main && panels ? readAreas(raster, now, panels, main.look, thresholds) : null,
      }
    },

    checkSides({ figureId, dark, litShare }) {
      const now = kept(figureId)
      const painted = sides.get('main')
      if (!painted || !panels) return { unlit: [] }
      return { unlit: unlitSides(now, panels, painted.look.directExposure, { dark, litShare }) }
    },

    armsLength({ figureId, side, camera }) {
      const now = kept(figureId)
      const painted = sides.get(side)
      return { view: painted ? armsLengthView(now, painted.look.linearRgb, camera) : null }
    },

    portrait({ figureId, recipe, camera, size }) {
      const now = kept(figureId)
      return portrait(now, lookOf(now, recipe, fieldsOf(figureId)).linearRgb, camera, size)
    },

    brushGuess({ figureId, strokes, radiusMm, paints }) {
      const now = kept(figureId)
      if (!guess || strokes.length === 0) guess = new Float32Array(vertexCount(now))
      for (const { origin, direction } of strokes) {
        const hit = firstHit(now, origin, direction)
        if (hit) brushGuess(now, guess, placeOf(now, hit), direction, radiusMm, paints ? 1 : 0)
      }
      return { linearRgb: guessColours(guess) }
    },

    judgeGuess({ figureId, level, camera }) {
      const now = kept(figureId)
      const exposure = sides.get('main')?.look.directExposure
      if (!exposure || !guess) throw new Error('there is nothing to judge yet')
      const seen = new Uint8Array(now.triangles.length / 3)
      for (const t of rasterFrom(now, camera).triangle) if (t !== NOTHING) seen[t] = 1
      return { score: scoreGuess(now, guess, exposure, level, seen), linearRgb: judgedColours(guess, exposure, level) }
    },

    layersAt({ figureId, side, origin, direction }) {
      const now = kept(figureId)
      const painted = sides.get(side)
      const hit = painted ? firstHit(now, origin, direction) : null
      if (!painted || !hit) return null
      const thickness = painted.look.deposits.map(deposit => valueAt(now, hit, deposit))
      const partId = partOf(now, hit.triangle).id
      return {
        partId,
        layers: filmSection(painted.recipe, thickness, {
          flatY: painted.look.flatY,
          lamp: painted.illuminant,
          partId,
        }),
      }
    },

    async simplify({ figureId, triangles }) {
      const now = kept(figureId)
      const few = await simplifiedTriangles(now, triangles)
      return { triangles: few === now.triangles ? few.slice() : few }
    },

    scanFields({ figureId, withSaliency }) {
      const now = kept(figureId)
      const painted = sides.get('main')
      if (!painted) throw new Error('nothing is painted yet')
      if (withSaliency) saliency ??= saliencyOf(now)
      const { preshadeRgb } = painted.look
      return { saliency: saliency?.slice() ?? null, preshadeLStar: preshadeRgb && lStars(preshadeRgb) }
    },

    async exportGlb({ figureId, side }) {
      const now = kept(figureId)
      const painted = sides.get(side)
      if (!painted) throw new Error(`nothing is painted on side ${side}`)
      // Half of this worker's script, and seldom wanted.
      const { writeGlb } = await import('../io/write-glb.ts')
      return { bytes: await writeGlb(now, painted.look.linearRgb) }
    },
  }
}

/** What the look shows beside colours: build-up in µm, exposure, or ΔE00 against what was painted last on the other side. */
function shownField(look: Look, { coats }: Recipe, painted: FigureLook, other: FigureLook | undefined): Float32Array {
  const { deposits, directExposure } = painted
  if (look.kind === 'isolines') return directExposure
  if (look.kind === 'difference' && other) return deltaEField(painted.linearRgb, other.linearRgb)
  if (look.kind === 'deposit' && look.coat !== null) {
    const index = coats.findIndex(coat => coat.id === look.coat)
    if (index >= 0) return deposits[index]
  }
  const sum = new Float32Array(directExposure.length)
  if (look.kind === 'deposit') for (const deposit of deposits) for (let v = 0; v < sum.length; v++) sum[v] += deposit[v]
  return sum
}

function placeOf({ positions, triangles }: Figure, { triangle, shares }: SurfacePoint): Vec3 {
  const along = (axis: number) =>
    shares.reduce((sum, share, k) => sum + share * positions[3 * triangles[3 * triangle + k] + axis], 0)
  return [along(0), along(1), along(2)]
}

function valueAt({ triangles }: Figure, { triangle, shares }: SurfacePoint, values: Float32Array): number {
  return [0, 1, 2].reduce((sum, k) => sum + shares[k] * values[triangles[3 * triangle + k]], 0)
}

function lStars(linearRgb: Float32Array): Float32Array {
  const values = new Float32Array(linearRgb.length / 3)
  for (let v = 0; v < values.length; v++)
    values[v] = lStarOfLuminance(Math.max(0, luminanceOf(linearRgb[3 * v], linearRgb[3 * v + 1], linearRgb[3 * v + 2])))
  return values
}
