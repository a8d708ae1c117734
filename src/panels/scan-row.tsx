import { useEffect, useRef } from 'react'
import { Button, ProgressBar } from 'react-aria-components'
import { useApp, useCommands } from '../ui/use-app.ts'

/** Starts looking around, shows how far it is, and calls it off: one button, so that focus stays where it is. */
export function ScanRow(props: {
  readonly what: 'angles' | 'lights'
  readonly label: string
  /** Something was found before. */
  readonly again: boolean
  readonly isDisabled?: boolean
  readonly onStart: () => void
}) {
  const commands = useCommands()
  const fraction = useApp(s => (s.derived.scanning?.what === props.what ? s.derived.scanning.fraction : null))
  const row = useRef<HTMLDivElement>(null)
  const asked = useRef(false)
  // What is found appears below, and is looked at next.
  const bringUp = () => row.current?.scrollIntoView({ block: 'start' })
  // biome-ignore lint/correctness/useExhaustiveDependencies: when the first answer comes
  useEffect(() => {
    if (asked.current) bringUp()
  }, [props.again])
  const start = () => {
    asked.current = true
    bringUp()
    props.onStart()
  }
  const primary = !props.again && fraction === null
  return (
    <div className="scan-row" ref={row}>
      <Button
        className={`button ${primary ? 'primary' : ''}`}
        isDisabled={props.isDisabled ?? false}
        onPress={fraction === null ? start : commands.cancelScan}
      >
        {fraction === null ? props.label : 'Cancel'}
      </Button>
      {fraction !== null && (
        <ProgressBar aria-label={props.label} value={100 * fraction} className="scan-progress">
          <div className="scan-bar">
            <span style={{ scale: `${fraction} 1` }} />
          </div>
        </ProgressBar>
      )}
    </div>
  )
}
