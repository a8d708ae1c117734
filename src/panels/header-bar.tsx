import { useRef } from 'react'
import { Button, Menu, MenuItem, MenuTrigger, Popover, Text, TooltipTrigger } from 'react-aria-components'
import { useApp, useCommands } from '../ui/use-app.ts'
import { Tip } from './controls.tsx'
import { FigureMenu } from './figure-menu.tsx'
import { Icon } from './icons.tsx'
import { saveAs } from './save-as.ts'
import './header-bar.css'

/** What can be opened: meshes, the files that come with them, and our own. */
export const OPENABLE = '.stl,.obj,.ply,.glb,.gltf,.bin,.3mf,.png,.jpg,.jpeg,.mtl,.json'

export function HeaderBar({ onOpenFigure }: { readonly onOpenFigure: () => void }) {
  const commands = useCommands()
  const startSeen = useApp(s => s.preferences.startSeen)
  return (
    <header className="header">
      <h1 className="wordmark">greycoat</h1>
      <FigureMenu onOpenFigure={onOpenFigure} />
      <div className="header-end">
        <UndoButtons />
        <div className="header-group">
          <Button className="button plain" onPress={onOpenFigure}>
            Open
          </Button>
          <SaveMenu />
          <Button className="button plain" onPress={() => commands.select({ dialog: 'recipe' })}>
            Recipe
          </Button>
          <Button className="button plain" onPress={() => commands.select({ dialog: 'export' })}>
            Export
          </Button>
        </div>
        <div className="header-group">
          <Button
            className={startSeen ? 'button plain' : 'button primary'}
            onPress={() => commands.select({ dialog: 'start', startStep: 0 })}
          >
            Start
          </Button>
          <Button className="button plain" onPress={() => commands.learn(null)}>
            Learn
          </Button>
          <CautionsButton />
        </div>
      </div>
    </header>
  )
}

function UndoButtons() {
  const commands = useCommands()
  const undone = useApp(s => s.history.past.at(-1)?.label ?? null)
  const redone = useApp(s => s.history.future[0]?.label ?? null)
  return (
    <div className="header-group">
      <TooltipTrigger delay={300} closeDelay={80}>
        <Button
          className="button plain"
          isDisabled={undone === null}
          onPress={commands.undo}
          aria-label={undone === null ? 'Undo' : `Undo ${lower(undone)}`}
          aria-keyshortcuts="Control+Z"
        >
          <Icon name="undo" />
          <span className="wide-only">Undo</span>
        </Button>
        <Tip>{undone === null ? 'Nothing to undo' : `Undo ${lower(undone)} · Ctrl Z`}</Tip>
      </TooltipTrigger>
      <TooltipTrigger delay={300} closeDelay={80}>
        <Button
          className="button plain icon"
          isDisabled={redone === null}
          onPress={commands.redo}
          aria-label={redone === null ? 'Redo' : `Redo ${lower(redone)}`}
          aria-keyshortcuts="Control+Shift+Z"
        >
          <Icon name="redo" />
        </Button>
        <Tip>{redone === null ? 'Nothing to redo' : `Redo ${lower(redone)} · Ctrl Shift Z`}</Tip>
      </TooltipTrigger>
    </div>
  )
}

function SaveMenu() {
  const commands = useCommands()
  const save = (what: 'document' | 'recipe') => {
    const { fileName, text } = what === 'document' ? commands.documentFile() : commands.recipeFile()
    saveAs(fileName, new Blob([text], { type: 'application/json' }))
    commands.announce(`Saved ${fileName}`)
  }
  return (
    <MenuTrigger>
      <Button className="button plain">Save</Button>
      <Popover className="popover" offset={4}>
        <Menu className="options" onAction={key => save(key as 'document' | 'recipe')}>
          <MenuItem id="document" textValue="Save everything" className="option">
            <Text slot="label">Save everything</Text>
            <Text slot="description" className="about">
              Recipe, torches, views and which figure they belong to; the mesh itself stays in its own file. Ctrl S
            </Text>
          </MenuItem>
          <MenuItem id="recipe" textValue="Save the recipe alone" className="option">
            <Text slot="label">Save the recipe alone</Text>
            <Text slot="description" className="about">
              To put on another figure, or to compare with.
            </Text>
          </MenuItem>
        </Menu>
      </Popover>
    </MenuTrigger>
  )
}

/** Always in sight, and never more than one click from the cautions. */
export function CautionsButton({ compact = false }: { readonly compact?: boolean }) {
  const commands = useCommands()
  const returnTo = useRef<HTMLButtonElement>(null)
  return (
    <Button
      ref={returnTo}
      className={compact ? 'button plain caution-link' : 'button plain'}
      onPress={() => commands.select({ dialog: 'cautions' })}
    >
      <Icon name="caution" />
      Cautions
    </Button>
  )
}

const lower = (label: string): string => label[0].toLowerCase() + label.slice(1)
