import { useState } from 'react'
import {
  Button,
  Dialog,
  DialogTrigger,
  Header,
  Input,
  Label,
  ListBox,
  ListBoxItem,
  ListBoxSection,
  Popover,
  Text,
  TextField,
} from 'react-aria-components'
import { PAINT_SHELF } from '../core/film/paint-shelf.ts'
import type { Paint, PaintBody, PaintId } from '../core/recipe/recipe.ts'
import { useCommands, useDocument } from '../ui/use-app.ts'
import { Segments } from './controls.tsx'
import { Icon } from './icons.tsx'
import { madeOf } from './made-of.ts'
import { paintHex } from './paint-swatch.ts'

type Covering = Extract<PaintBody, { kind: 'quick' }>['covering']

const COVERINGS: readonly { readonly id: Covering; readonly label: string }[] = [
  { id: 'see-through', label: 'See-through' },
  { id: 'half', label: 'Half' },
  { id: 'covers', label: 'Covers' },
]

interface PaintPickerProps {
  readonly label: string
  readonly value: PaintId
  readonly onChange: (id: PaintId) => void
}

/** The recipe's paints, the shelf, and a quick paint of one's own. */
export function PaintPicker({ label, value, onChange }: PaintPickerProps) {
  const commands = useCommands()
  const paints = useDocument(d => d.recipe.paints)
  const chosen = paints.find(p => p.id === value)
  const shelf = PAINT_SHELF.filter(s => !paints.some(p => p.id === s.id))

  const choose = (id: PaintId) => {
    const fromShelf = shelf.find(p => p.id === id)
    if (fromShelf) commands.addPaint(fromShelf)
    onChange(id)
  }

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
              <ListBox
                aria-label={label}
                className="paint-list"
                selectionMode="single"
                selectedKeys={[value]}
                onSelectionChange={keys => {
                  const [id] = [...(keys as Set<string>)]
                  if (id !== undefined) choose(id)
                  close()
                }}
              >
                <PaintSection title="In this recipe" paints={paints} />
                {shelf.length > 0 && <PaintSection title="On the shelf, by pigment" paints={shelf} />}
              </ListBox>
              <QuickPaint
                onMade={paint => {
                  commands.addPaint(paint)
                  onChange(paint.id)
                  close()
                }}
              />
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

function QuickPaint({ onMade }: { readonly onMade: (paint: Paint) => void }) {
  const [hex, setHex] = useState('#5b7fa6')
  const [name, setName] = useState('')
  const [covering, setCovering] = useState<Covering>('half')
  const paints = useDocument(d => d.recipe.paints)
  return (
    <section className="quick-paint" aria-label="A paint of your own">
      <div className="group-head">
        <h3>A paint of your own</h3>
        <span className="guess">a guess</span>
      </div>
      <div className="colour-well">
        <input
          type="color"
          aria-label="Its colour, painted thickly"
          value={hex}
          onChange={event => setHex(event.target.value)}
        />
        <TextField className="text-field" aria-label="Name" value={name} onChange={setName}>
          <Label className="visually-hidden">Name</Label>
          <Input placeholder="Name on the pot" />
        </TextField>
      </div>
      <Segments label="How well it covers" choices={COVERINGS} value={covering} onChange={setCovering} />
      <Button
        className="button"
        onPress={() =>
          onMade({
            id: freeId(paints),
            name: name.trim() || 'My paint',
            volumeSolids: PAINT_SHELF[0].volumeSolids,
            dropletUm: PAINT_SHELF[0].dropletUm,
            body: { kind: 'quick', hex, covering },
          })
        }
      >
        Use it
      </Button>
    </section>
  )
}

function freeId(paints: readonly Paint[]): PaintId {
  let n = 1
  while (paints.some(p => p.id === `own_${n}`)) n++
  return `own_${n}`
}
