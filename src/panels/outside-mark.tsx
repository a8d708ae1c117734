import { ToggleButton } from 'react-aria-components'
import { screenGamut } from '../ui/screen-gamut.ts'
import { useApp, useCommands, useDocument } from '../ui/use-app.ts'
import { percent } from './reading-panel.tsx'

/** Below this share nobody would look for it. */
const LEAST = 0.005

/** Says how much of the picture the screen cannot show as it is, and marks it when asked. */
export function OutsideMark() {
  const commands = useCommands()
  const painted = useDocument(d => d.look.kind === 'painted')
  const outside = useApp(s => s.derived.outside)
  const marked = useApp(s => s.preferences.markOutside)
  const share = outside?.[screenGamut()] ?? 0
  if (!painted || share < LEAST) return null
  return (
    <ToggleButton
      className="button outside-mark"
      isSelected={marked}
      onChange={markOutside => commands.setPreferences({ markOutside })}
    >
      <span className="hatch" aria-hidden="true" />
      {percent(share)} % lies outside this screen’s colours
    </ToggleButton>
  )
}
