import { Button, ProgressBar } from 'react-aria-components'
import { useApp, useCommands } from '../ui/use-app.ts'

/** Starts looking around, shows how far it is, and calls it off. */
export function ScanRow(props: {
  readonly what: 'angles' | 'lights'
  readonly label: string
  readonly again: boolean
  readonly isDisabled: boolean
  readonly onStart: () => void
}) {
  const commands = useCommands()
  const fraction = useApp(s => (s.derived.scanning?.what === props.what ? s.derived.scanning.fraction : null))
  if (fraction === null)
    return (
      <div className="scan-row">
        <Button
          className={`button ${props.again ? '' : 'primary'}`}
          isDisabled={props.isDisabled}
          onPress={props.onStart}
        >
          {props.label}
        </Button>
      </div>
    )
  return (
    <div className="scan-row">
      <ProgressBar aria-label={props.label} value={100 * fraction}>
        <div className="scan-bar">
          <span style={{ scale: `${fraction} 1` }} />
        </div>
      </ProgressBar>
      <Button className="button" autoFocus onPress={commands.cancelScan}>
        Cancel
      </Button>
    </div>
  )
}
