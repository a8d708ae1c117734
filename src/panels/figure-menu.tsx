import { useEffect, useState } from 'react'
import {
  Button,
  Header,
  Menu,
  MenuItem,
  MenuSection,
  MenuTrigger,
  Popover,
  Separator,
  Text,
} from 'react-aria-components'
import type { BuiltInFigure } from '../app/built-in-figures.ts'
import { useApp, useCommands, useDocument } from '../ui/use-app.ts'
import { figureTitle } from './figure-title.ts'
import { Icon } from './icons.tsx'

const OPEN = ':open'

/** Which figure stands on the stage, and what else could. */
export function FigureMenu({ onOpenFigure }: { readonly onOpenFigure: () => void }) {
  const commands = useCommands()
  const reference = useDocument(d => d.figure)
  const figure = useApp(s => s.derived.figure)
  const triangles = useApp(s => s.derived.file?.triangles)
  const figures = useBuiltInFigures()
  return (
    <MenuTrigger>
      <Button className="button plain figure-facts">
        <strong>{figureTitle(reference)}</strong>
        {figure && (
          <span className="quiet">
            {Math.round(figure.heightMm * 10) / 10} mm
            {triangles !== undefined && (
              <span className="wide-only"> · {triangles.toLocaleString('en-GB')} triangles</span>
            )}
          </span>
        )}
        <Icon name="down" />
      </Button>
      <Popover className="popover" offset={4}>
        <Menu
          className="options"
          onAction={key => (key === OPEN ? onOpenFigure() : void commands.openBuiltIn(String(key)))}
        >
          <MenuItem id={OPEN} className="option" textValue="Open a figure">
            <Text slot="label">Open a figure…</Text>
            <Text slot="description" className="about">
              STL, OBJ, PLY, GLB, glTF or 3MF. It stays on this machine.
            </Text>
          </MenuItem>
          <Separator />
          <MenuSection>
            <Header className="option-heading">Built-in figures</Header>
            {figures.map(entry => (
              <MenuItem key={entry.name} id={entry.name} textValue={entry.title} className="option">
                <Text slot="label">{entry.title}</Text>
                <Text slot="description" className="about">
                  {entry.about}
                </Text>
              </MenuItem>
            ))}
          </MenuSection>
        </Menu>
      </Popover>
    </MenuTrigger>
  )
}

/** Fetched once somebody looks; without the list there is nothing to choose from, and opening files still works. */
function useBuiltInFigures(): readonly BuiltInFigure[] {
  const commands = useCommands()
  const [figures, setFigures] = useState<readonly BuiltInFigure[]>([])
  useEffect(() => {
    let left = false
    void commands.builtInFigures().then(list => !left && setFigures(list))
    return () => {
      left = true
    }
  }, [commands])
  return figures
}
