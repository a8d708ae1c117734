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
import { PAINT_SHELF } from '../core/film/paint-shelf.ts'
import type { Paint, PaintId } from '../core/recipe/recipe.ts'
import { useCommands, useDocument } from '../ui/use-app.ts'
import { Icon } from './icons.tsx'
import { madeOf } from './made-of.ts'
import { paintHex } from './paint-swatch.ts'

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
                <PaintSection title="In this recipe" paints={paints} />
                {shelf.length > 0 && <PaintSection title="On the shelf, by pigment" paints={shelf} />}
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
