import type { NamedView } from '../document/document.ts'
import { useCommands, useDocument } from '../ui/use-app.ts'
import { Segments } from './controls.tsx'
import './views-bar.css'

/** On screen and in print. */
export const VIEW_NAMES: { readonly [V in NamedView]: string } = {
  table: 'Across the table',
  hand: 'In hand',
  shelf: 'On the shelf',
  underneath: 'Underneath',
  front: 'Front',
  back: 'Back',
  left: 'Left',
  right: 'Right',
}

const choices = (views: readonly NamedView[]) => views.map(id => ({ id, label: VIEW_NAMES[id] }))
const LOOKED_FROM = choices(['table', 'hand', 'shelf', 'underneath'])
const SIDES = choices(['front', 'back', 'left', 'right'])

/** From where people look. The view that is left by turning the figure is no longer marked. */
export function ViewsBar() {
  const commands = useCommands()
  const view = useDocument(d => d.camera.view)
  // Two figures beside each other leave no corner free, but a strip above them.
  const inRow = useDocument(d => d.compare.kind !== 'off' && d.compare.arrangement.kind === 'side-by-side')
  const within = (list: readonly { readonly id: NamedView }[]) => list.find(v => v.id === view)?.id ?? null
  return (
    <nav className="views" data-row={inRow || undefined} aria-label="Views">
      <Segments
        className="upright"
        orientation={inRow ? 'horizontal' : 'vertical'}
        label="Seen from"
        choices={LOOKED_FROM}
        value={within(LOOKED_FROM)}
        onChange={commands.goToView}
      />
      <Segments className="sides" label="Sides" choices={SIDES} value={within(SIDES)} onChange={commands.goToView} />
    </nav>
  )
}
