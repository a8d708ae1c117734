import type { ReactNode } from 'react'
import { Button, Dialog, Heading, Modal, ModalOverlay } from 'react-aria-components'
import { CAUTIONS } from '../core/recipe/cautions.ts'
import { useApp, useCommands } from '../ui/use-app.ts'
import { IconButton } from './controls.tsx'

/** The frame of every dialog: escape and a click beside it close it. */
export function Frame(props: {
  readonly title: string
  readonly wide?: boolean
  readonly isOpen: boolean
  readonly onClose: () => void
  readonly head?: ReactNode
  readonly foot?: ReactNode
  readonly children: ReactNode
}) {
  const { title, wide, isOpen, onClose, head, foot, children } = props
  return (
    <ModalOverlay
      className="backdrop"
      isDismissable
      isOpen={isOpen}
      onOpenChange={open => {
        if (!open) onClose()
      }}
    >
      <Modal className={wide ? 'modal wide' : 'modal'}>
        <Dialog className="dialog">
          <div className="dialog-head">
            <Heading slot="title" level={2}>
              {title}
            </Heading>
            {head}
            <IconButton icon="close" label="Close" onPress={onClose} />
          </div>
          <div className="dialog-body">{children}</div>
          {foot && <div className="dialog-foot">{foot}</div>}
        </Dialog>
      </Modal>
    </ModalOverlay>
  )
}

/** Shown on first use, and always one click away. */
export function CautionsDialog() {
  const commands = useCommands()
  const ready = useApp(s => s.session.ready)
  const seen = useApp(s => s.preferences.cautionsSeen)
  const asked = useApp(s => s.session.dialog === 'cautions')
  const busy = useApp(s => s.session.dialog !== null)
  const close = () => {
    commands.setPreferences({ cautionsSeen: true })
    if (asked) commands.select({ dialog: null })
  }
  return (
    <Frame
      title="Before you spray"
      isOpen={asked || (ready && !seen && !busy)}
      onClose={close}
      foot={
        <Button className="button primary" autoFocus onPress={close}>
          I have read this
        </Button>
      }
    >
      <ol className="cautions">
        {CAUTIONS.map(caution => (
          <li key={caution.title}>
            <p>
              <strong>{caution.title}.</strong> {caution.text}
            </p>
          </li>
        ))}
      </ol>
    </Frame>
  )
}
