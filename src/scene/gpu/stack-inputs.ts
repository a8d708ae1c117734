import { sprayedFilms } from '../../core/chain/deposits.ts'
import { opennessKey } from '../../core/chain/fields-needed.ts'
import type { LookGround } from '../../core/chain/look.ts'
import { preshadeEndIndex } from '../../core/chain/preshade-end.ts'
import { flatGround } from '../../core/chain/stack-colours.ts'
import { coatFilm, paintOf, primerReflectance } from '../../core/film/coat-film.ts'
import { type MistTable, mistTable } from '../../core/film/mist-table.ts'
import type { Figure } from '../../core/mesh/figure.ts'
import type { Mix, Paint, PaintCoat, Recipe } from '../../core/recipe/recipe.ts'
import { torchFieldKey } from '../../core/spray/torch-field-key.ts'
import type { GpuFields } from './gpu-fields.ts'
import { type DepositTerm, MOST_COATS, type StackLayerOnGpu } from './gpu-stack.ts'

/** Thicker than any film that lets the ground through: tables end here. */
const THICKEST_UM = 300

/** Tables of films by place in the stack, kept while paint, mix and thickness stay what they are. */
export interface TableKeeper {
  tableOf(place: number, coat: PaintCoat, recipe: Recipe, largestUm: number): MistTable
}

export function createTableKeeper(): TableKeeper {
  const kept: {
    paint: Paint
    mix: Mix
    drops: Recipe['dropMl']
    kind: PaintCoat['kind']
    reachUm: number
    table: MistTable
  }[] = []
  return {
    tableOf(place, coat, recipe, largestUm) {
      const paint = paintOf(recipe, coat.paint)
      // In steps, so that a drag does not make a new table every frame.
      const reachUm = Math.min(THICKEST_UM, 2 ** (Math.ceil(2 * Math.log2(largestUm)) / 2))
      const have = kept[place]
      if (
        have?.paint === paint &&
        have.mix === coat.mix &&
        have.drops === recipe.dropMl &&
        have.kind === coat.kind &&
        have.reachUm === reachUm
      )
        return have.table
      const { optics, dropletUm } = coatFilm(coat, recipe)
      const table = mistTable(optics, reachUm, dropletUm)
      kept[place] = { paint, mix: coat.mix, drops: recipe.dropMl, kind: coat.kind, reachUm, table }
      return table
    },
  }
}

/**
 * The stack of one side as the card needs it; null where only the processor can paint it: more coats than there is room
 * for, or a grey that is the mean of a pre-shade.
 */
export function stackInputs(
  figure: Figure,
  recipe: Recipe,
  ground: LookGround,
  fields: Pick<GpuFields, 'fieldOf'>,
  tables: TableKeeper,
): { readonly ground: Float64Array; readonly layers: readonly StackLayerOnGpu[] } | null {
  if (recipe.coats.length > MOST_COATS || (ground.kind === 'flat' && ground.greyY === null)) return null
  const from = ground.kind === 'flat' ? (preshadeEndIndex(recipe) ?? -1) + 1 : 0
  const layers: StackLayerOnGpu[] = []
  for (const coat of recipe.coats.slice(from)) {
    // Varnish leaves no pigment: what it does to the surface is the workers' to say.
    if (coat.hidden || coat.kind === 'varnish') continue
    const { terms, largestUm, name } = depositOf(figure, recipe, coat, fields)
    if (!(largestUm > 0)) continue
    layers.push({ table: tables.tableOf(layers.length, coat, recipe, largestUm), terms, name })
  }
  return {
    ground: ground.kind === 'flat' ? flatGround(ground.greyY!) : primerReflectance(recipe),
    layers,
  }
}

/** Twin of `depositsUm` (deposits.ts) for one coat: what its film adds up from, and what it cannot exceed. */
function depositOf(figure: Figure, recipe: Recipe, coat: PaintCoat, fields: Pick<GpuFields, 'fieldOf'>) {
  const terms: DepositTerm[] = []
  const names: (string | number)[] = []
  let largestUm = 0
  if (coat.kind === 'even') {
    for (const part of figure.parts) {
      if (coat.parts[part.id] === 'absent') continue
      const { firstVertex, vertexCount } = part
      terms.push({ kind: 'even', firstVertex, vertexCount, um: coat.thicknessUm })
      names.push(firstVertex)
      largestUm = coat.thicknessUm
    }
    return { terms, largestUm, name: `even ${coat.thicknessUm} ${names.join(' ')}` }
  }
  const add = (key: string, um: number) => {
    const field = fields.fieldOf(key)
    if (!field || !(um > 0)) return
    terms.push({ kind: 'field', field: field.texture, um })
    names.push(field.stamp, um)
    largestUm += um * field.largest
  }
  for (const { torch, film } of sprayedFilms(recipe, coat)) {
    add(torchFieldKey(figure.id, coat.parts, torch), film.directUm * torch.passes)
    add(opennessKey(figure.id, coat.parts), film.diffuseUm * torch.passes)
  }
  return { terms, largestUm, name: names.join(' ') }
}
