import { useState } from 'react'
import {
  Button,
  Dialog,
  DialogTrigger,
  Header,
  ListBox,
  ListBoxItem,
  ListBoxSection,
  Popover,
  Text,
} from 'react-aria-components'
import type { PaintTask } from '../app/app-state.ts'
import { DARK_VALUE, LIGHT_VALUE } from '../core/film/grey-ground.ts'
import { type AtSaturation, atSaturation, hexOverValue } from '../core/film/kept-at-saturation.ts'
import { PAINT_SHELF } from '../core/film/paint-shelf.ts'
import type { Paint, PaintId } from '../core/recipe/recipe.ts'
import { useCommands, useDocument } from '../ui/use-app.ts'
import { round, Segments } from './controls.tsx'
import { Icon } from './icons.tsx'
import { madeOf } from './made-of.ts'
import { paintHex } from './paint-swatch.ts'

const ORDERS = [
  { id: 'name', label: 'Recipe and shelf' },
  { id: 'kept', label: 'What shows through' },
] as const

interface PaintPickerProps {
  readonly label: string
  readonly value: PaintId
  /** The coat, or the primer, that gets what is chosen. */
  readonly onto: PaintTask['onto']
}

/** The recipe's paints, the shelf, and the way to paints of one's own. */
export function PaintPicker({ label, value, onto }: PaintPickerProps) {
  const commands = useCommands()
  const paints = useDocument(d => d.recipe.paints)
  const chosen = paints.find(p => p.id === value)
  const [order, setOrder] = useState<'name' | 'kept'>('name')
  const shelf = PAINT_SHELF.filter(s => !paints.some(p => p.id === s.id))

  return (
    <DialogTrigger>
      <Button className="paint-button" aria-label={`${label}: ${chosen?.name ?? 'none'}`}>
        <span className="swatch" style={{ background: paintHex(chosen) }} />
        <span className="paint-name">
          {chosen?.name ?? 'No paint'}
          {chosen && <span className="paint-about">{madeOf(chosen)}</span>}
        </span>
        <Icon name="down" />
      </Button>
      <Popover className="popover paint-popover" offset={4} placement="bottom start">
        <Dialog className="popover-body" aria-label={label}>
          {({ close }) => (
            <>
              <div className="paint-actions">
                <Button
                  className="button"
                  onPress={() => {
                    close()
                    commands.openPaint({ paint: null, onto })
                  }}
                >
                  <Icon name="plus" />
                  New paint
                </Button>
                {chosen && (
                  <Button
                    className="button plain"
                    onPress={() => {
                      close()
                      commands.openPaint({ paint: chosen.id, onto })
                    }}
                  >
                    Edit this paint
                  </Button>
                )}
              </div>
              <Segments label="Order" choices={ORDERS} value={order} onChange={setOrder} />
              {order === 'kept' && (
                <p className="quiet small">
                  Each as thick as the same strength of colour takes: how much of the light and dark under it still
                  shows.
                </p>
              )}
              <ListBox
                aria-label={label}
                className="paint-list"
                selectionMode="single"
                selectedKeys={[value]}
                onSelectionChange={keys => {
                  const [id] = [...(keys as Set<string>)]
                  const paint = [...paints, ...shelf].find(p => p.id === id)
                  if (paint) commands.putPaint(paint, onto)
                  close()
                }}
              >
                {order === 'name' && <PaintSection title="In this recipe" paints={paints} />}
                {order === 'name' && shelf.length > 0 && (
                  <PaintSection title="On the shelf, by pigment" paints={shelf} />
                )}
                {order === 'kept' && <KeptSection paints={[...paints, ...shelf]} />}
              </ListBox>
            </>
          )}
        </Dialog>
      </Popover>
    </DialogTrigger>
  )
}

function PaintSection({ title, paints }: { readonly title: string; readonly paints: readonly Paint[] }) {
  return (
    <ListBoxSection>
      <Header className="option-heading">{title}</Header>
      {paints.map(paint => (
        <ListBoxItem key={paint.id} id={paint.id} textValue={paint.name} className="option">
          <span className="swatch small-swatch" style={{ background: paintHex(paint) }} />
          <Text slot="label">
            {paint.name}
            <span className="paint-about">{madeOf(paint)}</span>
          </Text>
          <span className="tick">
            <Icon name="tick" />
          </span>
        </ListBoxItem>
      ))}
    </ListBoxSection>
  )
}

/** Coloured paints, the kindest to the pre-shade first; each as it looks over a dark and over a light grey. */
function KeptSection({ paints }: { readonly paints: readonly Paint[] }) {
  const rows = paints
    .map(paint => ({ paint, at: atSaturation(paint) }))
    .filter((row): row is { paint: Paint; at: AtSaturation } => row.at !== null)
    .sort((a, b) => b.at.kept - a.at.kept)
  return (
    <ListBoxSection>
      <Header className="option-heading">Colours, the most see-through first</Header>
      {rows.map(({ paint, at }) => {
        const percent = `${Math.round(100 * at.kept)} %`
        return (
          <ListBoxItem
            key={paint.id}
            id={paint.id}
            textValue={`${paint.name}, ${percent} of the contrast left`}
            className="option kept-option"
          >
            <span className="kept-patches">
              {[DARK_VALUE, LIGHT_VALUE].map(value => (
                <i key={value} style={{ background: hexOverValue(paint, at.thicknessUm, value) }} />
              ))}
            </span>
            <Text slot="label">
              {paint.name}
              <span className="paint-about">at {round(at.thicknessUm, 1)} µm dry</span>
            </Text>
            <span className="kept-number">{percent}</span>
            <span className="tick">
              <Icon name="tick" />
            </span>
          </ListBoxItem>
        )
      })}
    </ListBoxSection>
  )
}
