import type { ReactNode } from 'react'
import { Button, Disclosure, DisclosurePanel, Heading } from 'react-aria-components'
import { useApp, useCommands } from '../ui/use-app.ts'
import { Icon } from './icons.tsx'

/** A folding section of the reading column. Which are open is kept in this browser. */
export function ReadingSection(props: {
  readonly id: string
  readonly title: string
  /** A word or number beside the title, also while folded. */
  readonly aside?: ReactNode
  readonly children: ReactNode
}) {
  const commands = useCommands()
  const open = useApp(s => s.preferences.openSections)
  const isOpen = open.includes(props.id)
  return (
    <Disclosure
      className="reading-section"
      isExpanded={isOpen}
      onExpandedChange={expanded =>
        commands.setPreferences({
          openSections: expanded ? [...open, props.id] : open.filter(id => id !== props.id),
        })
      }
    >
      <Heading level={3} className="reading-section-heading">
        <Button slot="trigger" className="reading-section-button">
          <Icon name="right" />
          {props.title}
          {props.aside !== undefined && <span className="aside">{props.aside}</span>}
        </Button>
      </Heading>
      {/* What is folded away computes and draws nothing. */}
      <DisclosurePanel>{isOpen && <div className="reading-section-body">{props.children}</div>}</DisclosurePanel>
    </Disclosure>
  )
}
