import { Fragment, type ReactNode, useEffect, useRef } from 'react'
import { Button, Menu, MenuItem, MenuTrigger, Popover, Text } from 'react-aria-components'
import { PRIMER } from '../app/app-state.ts'
import { preshadeEndIndex } from '../core/chain/preshade-end.ts'
import { coatKindWords, mixWords } from '../core/recipe/coat-words.ts'
import type { Coat, Paint, Recipe } from '../core/recipe/recipe.ts'
import { useApp, useCommands, useDocument } from '../ui/use-app.ts'
import { CoatDetails } from './coat-details.tsx'
import { WarningCount } from './coat-warnings.tsx'
import { IconButton, round, Stepper } from './controls.tsx'
import { FilmBand } from './film-band.tsx'
import { Icon } from './icons.tsx'
import { PaintPicker } from './paint-picker.tsx'
import { paintHex } from './paint-swatch.ts'
import { useReorder } from './use-reorder.ts'
import './stack-panel.css'

/** The stack as it lies on the figure: last coat on top, primer at the bottom. */
export function StackPanel() {
  const commands = useCommands()
  const coats = useDocument(d => d.recipe.coats)
  const paints = useDocument(d => d.recipe.paints)
  const preshadeEnd = useDocument(d => endOf(d.recipe))
  const openCoat = useApp(s => s.session.openCoat)
  const reorder = useReorder(coats, commands.moveCoat)
  const topFirst = [...coats].reverse()

  return (
    <aside className="stack" aria-labelledby="stack-heading">
      <div className="panel-head">
        <h2 id="stack-heading">Stack</h2>
        <AddCoatMenu />
      </div>
      <div className="stack-scroll">
        <ol className="slabs" reversed aria-label="Coats, the last one first">
          {topFirst.map(coat => (
            <Fragment key={coat.id}>
              {preshadeEnd === coat.id && <li className="preshade-mark">pre-shade up to here</li>}
              <li className="slab-item" ref={reorder.itemRef(coat.id)} style={reorder.styleOf(coat.id)}>
                <Slab
                  coat={coat}
                  paints={paints}
                  open={openCoat === coat.id}
                  held={reorder.held === coat.id}
                  grip={
                    <button
                      type="button"
                      className="grip"
                      aria-label={`Move ${coat.name || 'coat'}: arrow keys, or drag`}
                      aria-roledescription="sortable"
                      {...reorder.gripProps(coat.id)}
                    >
                      <Icon name="grip" />
                    </button>
                  }
                />
              </li>
            </Fragment>
          ))}
          <li className="slab-item">
            <PrimerSlab />
          </li>
        </ol>
        <p className="visually-hidden" role="status">
          {reorder.announcement}
        </p>
      </div>
    </aside>
  )
}

/** Id of the coat that ends the pre-shade, marked or by the default rule, when something lies over it. */
function endOf(recipe: Recipe): string | null {
  const index = preshadeEndIndex(recipe)
  return index === null || index === recipe.coats.length - 1 ? null : recipe.coats[index].id
}

function AddCoatMenu() {
  const commands = useCommands()
  return (
    <MenuTrigger>
      <Button className="button">
        <Icon name="plus" />
        Add a coat
      </Button>
      <Popover className="popover" offset={4}>
        <Menu className="options" onAction={kind => commands.addCoat(kind as Coat['kind'])}>
          <MenuItem id="mist" textValue="Sprayed" className="option">
            <Text slot="label">Sprayed</Text>
            <Text slot="description" className="about">
              From torches; starts with those of the coat below.
            </Text>
          </MenuItem>
          <MenuItem id="even" textValue="All over" className="option">
            <Text slot="label">All over</Text>
            <Text slot="description" className="about">
              One thickness everywhere, like a thinned base coat.
            </Text>
          </MenuItem>
          <MenuItem id="varnish" textValue="Varnish" className="option">
            <Text slot="label">Varnish</Text>
            <Text slot="description" className="about">
              Gloss, satin or matt: how dark and rich it all looks.
            </Text>
          </MenuItem>
        </Menu>
      </Popover>
    </MenuTrigger>
  )
}

function Slab(props: {
  readonly coat: Coat
  readonly paints: readonly Paint[]
  readonly open: boolean
  readonly held: boolean
  readonly grip: ReactNode
}) {
  const { coat, paints, open, held, grip } = props
  const commands = useCommands()
  const bodyId = `slab-body-${coat.id}`
  const head = useRef<HTMLDivElement>(null)
  // It may have been opened from the stage.
  useEffect(() => {
    if (open) head.current?.scrollIntoView({ block: 'nearest' })
  }, [open])
  return (
    <article
      className="slab"
      data-open={open || undefined}
      data-held={held || undefined}
      data-hidden={coat.hidden || undefined}
      aria-label={coat.name}
    >
      <FilmBand coat={coat} paints={paints} />
      <div className="slab-head" ref={head}>
        {grip}
        <Button
          className="slab-toggle"
          aria-expanded={open}
          {...(open ? { 'aria-controls': bodyId } : {})}
          onPress={() => commands.select({ openCoat: open ? null : coat.id, selectedTorch: null })}
        >
          <span className="slab-name">{coat.name || 'Unnamed coat'}</span>
          <span className="slab-count">
            <WarningCount coat={coat} />
            {countWords(coat)}
          </span>
          <span className="slab-words">{slabWords(coat)}</span>
          {coat.kind === 'mist' && <span className="slab-count">{passesWords(coat.torches.map(t => t.passes))}</span>}
        </Button>
        <IconButton
          icon={coat.hidden ? 'eye-off' : 'eye'}
          label={coat.hidden ? `Show ${coat.name}` : `Hide ${coat.name}`}
          className="compact"
          onPress={() => commands.hideCoat(coat.id, !coat.hidden)}
        />
      </div>
      {open && (
        <div className="slab-body" id={bodyId}>
          <CoatDetails coat={coat} paints={paints} />
        </div>
      )}
    </article>
  )
}

function countWords(coat: Coat): string {
  if (coat.hidden) return 'hidden'
  if (coat.kind === 'even') return `${round(coat.thicknessUm, 1)} µm`
  if (coat.kind === 'varnish') return ''
  return coat.torches.length === 1 ? '1 torch' : `${coat.torches.length} torches`
}

function slabWords(coat: Coat): string {
  const parts = [coatKindWords(coat), coat.kind === 'varnish' ? coat.finish : mixWords(coat.mix)]
  const off = Object.values(coat.parts).filter(state => state === 'absent').length
  if (off > 0) parts.push(`${off} ${off === 1 ? 'part' : 'parts'} off`)
  return parts.join(' · ')
}

function passesWords(passes: readonly number[]): string {
  if (passes.length === 0) return 'no torch yet'
  const [low, high] = [Math.min(...passes), Math.max(...passes)]
  const count = low === high ? round(high, 1) : `${round(low, 1)} to ${round(high, 1)}`
  return `${count} ${high === 1 ? 'pass' : 'passes'}`
}

function PrimerSlab() {
  const commands = useCommands()
  const primer = useDocument(d => d.recipe.primer)
  const paint = useDocument(d => d.recipe.paints.find(p => p.id === d.recipe.primer.paint))
  const open = useApp(s => s.session.openCoat === PRIMER)
  return (
    <article className="slab primer" data-open={open || undefined} aria-label="Primer">
      <span className="film" style={{ background: paintHex(paint) }} />
      <div className="slab-head">
        <span className="grip-place" />
        <Button
          className="slab-toggle"
          aria-expanded={open}
          onPress={() => commands.select({ openCoat: open ? null : PRIMER, selectedTorch: null })}
        >
          <span className="slab-name">{paint?.name ?? 'Primer'} primer</span>
          <span className="slab-words">all over · matt</span>
          <span className="slab-count">{round(primer.thicknessUm)} µm</span>
        </Button>
      </div>
      {open && (
        <div className="slab-body">
          <PaintPicker label="Primer" value={primer.paint} onto={PRIMER} />
          <Stepper
            label="Thickness"
            value={primer.thicknessUm}
            min={1}
            max={200}
            step={1}
            unit="µm"
            onChange={thicknessUm => commands.setPrimer({ thicknessUm })}
          />
        </div>
      )}
    </article>
  )
}
