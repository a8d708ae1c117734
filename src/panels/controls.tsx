import { type ReactNode, useCallback, useEffect, useRef, useState } from 'react'
import {
  Button,
  type ButtonProps,
  Disclosure,
  DisclosurePanel,
  Group,
  Heading,
  Input,
  Label,
  ListBox,
  ListBoxItem,
  NumberField,
  OverlayArrow,
  Popover,
  Select,
  SelectValue,
  Slider,
  SliderOutput,
  SliderThumb,
  SliderTrack,
  Switch,
  Text,
  ToggleButton,
  ToggleButtonGroup,
  Tooltip,
  TooltipTrigger,
} from 'react-aria-components'
import { useCommands } from '../ui/use-app.ts'
import { Icon, type IconName } from './icons.tsx'
import './controls.css'

/** Shows a sentence on hover, on focus and on tap. */
export function Explained({ children, why }: { readonly children: ReactNode; readonly why: string }) {
  const [open, setOpen] = useState(false)
  return (
    <TooltipTrigger isOpen={open} onOpenChange={setOpen} delay={350} closeDelay={80}>
      <Button slot={null} className="explained" onPress={() => setOpen(true)}>
        {children}
      </Button>
      <Tip>{why}</Tip>
    </TooltipTrigger>
  )
}

export function Tip({ children }: { readonly children: ReactNode }) {
  return (
    <Tooltip className="tooltip" offset={6}>
      <OverlayArrow />
      {children}
    </Tooltip>
  )
}

type IconButtonProps = Omit<ButtonProps, 'children' | 'className'> & {
  readonly icon: IconName
  readonly label: string
  readonly className?: string
}

export function IconButton({ icon, label, className = '', ...props }: IconButtonProps) {
  return (
    <TooltipTrigger delay={500} closeDelay={80}>
      <Button {...props} aria-label={label} className={`button plain icon ${className}`}>
        <Icon name={icon} />
      </Button>
      <Tip>{label}</Tip>
    </TooltipTrigger>
  )
}

export interface Choice<K extends string> {
  readonly id: K
  readonly label: string
  readonly about?: string
}

/** One of a few, all in sight. */
export function Segments<K extends string>(props: {
  readonly label: string
  readonly choices: readonly Choice<K>[]
  readonly value: K | null
  readonly onChange: (value: K) => void
  readonly className?: string
  readonly orientation?: 'horizontal' | 'vertical'
}) {
  const { label, choices, value, onChange, className = '', orientation = 'horizontal' } = props
  return (
    <ToggleButtonGroup
      aria-label={label}
      className={`segments ${className}`}
      orientation={orientation}
      selectionMode="single"
      disallowEmptySelection={value !== null}
      selectedKeys={value === null ? [] : [value]}
      onSelectionChange={keys => {
        const [key] = [...keys]
        if (key !== undefined) onChange(key as K)
      }}
    >
      {choices.map(choice => (
        <ToggleButton key={choice.id} id={choice.id} className="segment">
          {choice.label}
        </ToggleButton>
      ))}
    </ToggleButtonGroup>
  )
}

/** One of several, folded away. */
export function Choose<K extends string>(props: {
  readonly label: string
  readonly choices: readonly Choice<K>[]
  readonly value: K | null
  readonly onChange: (value: K) => void
  readonly showLabel?: boolean
  readonly placeholder?: string
}) {
  const { label, choices, value, onChange, showLabel = true, placeholder = '' } = props
  return (
    <Select
      className="field choose"
      aria-label={label}
      selectedKey={value}
      onSelectionChange={key => key !== null && onChange(key as K)}
      placeholder={placeholder}
    >
      {showLabel && <Label>{label}</Label>}
      <Button className="select-button">
        <SelectValue className="select-value">{({ selectedText }) => selectedText || placeholder}</SelectValue>
        <Icon name="down" />
      </Button>
      <Popover className="popover" offset={4}>
        <ListBox className="options">
          {choices.map(choice => (
            <ListBoxItem key={choice.id} id={choice.id} textValue={choice.label} className="option">
              <Text slot="label">{choice.label}</Text>
              <span className="tick">
                <Icon name="tick" />
              </span>
              {choice.about && (
                <Text slot="description" className="about">
                  {choice.about}
                </Text>
              )}
            </ListBoxItem>
          ))}
        </ListBox>
      </Popover>
    </Select>
  )
}

interface NumberProps {
  readonly label: string
  readonly value: number
  readonly min: number
  readonly max: number
  readonly step?: number
  readonly unit?: string
  readonly digits?: number
}

/** A number that can be typed, or stepped by buttons and arrow keys. */
export function Stepper(
  props: NumberProps & {
    readonly onChange: (value: number) => void
    readonly showLabel?: boolean
    readonly hint?: ReactNode
    readonly isDisabled?: boolean
  },
) {
  const { label, value, min, max, step = 1, unit, digits = 0, onChange, showLabel = true, hint, isDisabled } = props
  return (
    <NumberField
      className="field number"
      aria-label={unit ? `${label}, ${unit}` : label}
      value={value}
      minValue={min}
      maxValue={max}
      step={step}
      isDisabled={isDisabled ?? false}
      formatOptions={{ maximumFractionDigits: digits, minimumFractionDigits: 0 }}
      onChange={next => Number.isFinite(next) && onChange(next)}
    >
      {showLabel && (
        <Label>
          {label}
          {hint}
        </Label>
      )}
      <Group className={`stepper ${max >= 1000 || digits > 2 ? 'long' : unit ? 'wide' : ''}`}>
        <Button slot="decrement" aria-label={`Less ${label.toLowerCase()}`}>
          <Icon name="minus" />
        </Button>
        <Input />
        {unit && <span className="suffix">{unit}</span>}
        <Button slot="increment" aria-label={`More ${label.toLowerCase()}`}>
          <Icon name="plus" />
        </Button>
      </Group>
    </NumberField>
  )
}

/** Keys that rest this long have arrived where they were meant to: the answer is refined, ms. */
const KEYS_REST_MS = 600

/** A number to be dragged; one drag is one step of undo, and so are arrow keys that follow one another. */
export function Drag(
  props: NumberProps & {
    readonly gesture: string
    readonly onChange: (value: number, gesture: string) => void
    readonly shown?: string
    readonly track?: string
    /** The track alone, where a number field beside it has the name and the number. */
    readonly bare?: boolean
  },
) {
  const { label, value, min, max, step = 1, unit = '', digits = 0, gesture, onChange, shown, track, bare } = props
  const commands = useCommands()
  const byKey = useRef(false)
  const rest = useRef<ReturnType<typeof setTimeout>>(undefined)
  const endKeys = useCallback(() => {
    clearTimeout(rest.current)
    if (byKey.current) commands.endGesture()
    byKey.current = false
  }, [commands])
  useEffect(() => endKeys, [endKeys])
  return (
    <Slider
      className="slider"
      {...(bare ? { 'aria-label': label } : {})}
      value={Math.min(max, Math.max(min, value))}
      minValue={min}
      maxValue={max}
      step={step}
      onChange={next => onChange(next as number, gesture)}
      onChangeEnd={() => byKey.current || commands.endGesture()}
      style={track === undefined ? {} : ({ '--track': track } as React.CSSProperties)}
    >
      {!bare && <Label>{label}</Label>}
      {!bare && (
        <SliderOutput>
          {shown ?? `${round(value, digits)}${unit === '°' || unit === '' ? unit : ` ${unit}`}`}
        </SliderOutput>
      )}
      <SliderTrack
        className="slider-track"
        onPointerDownCapture={() => {
          byKey.current = false
        }}
      >
        <SliderThumb
          className="slider-thumb"
          onKeyDown={() => {
            byKey.current = true
            clearTimeout(rest.current)
          }}
          onKeyUp={() => {
            clearTimeout(rest.current)
            rest.current = setTimeout(endKeys, KEYS_REST_MS)
          }}
          onBlur={endKeys}
        />
      </SliderTrack>
    </Slider>
  )
}

export function Toggle(props: {
  readonly children: ReactNode
  readonly isSelected: boolean
  readonly onChange: (on: boolean) => void
}) {
  return (
    <Switch className="switch" isSelected={props.isSelected} onChange={props.onChange}>
      <span className="rail" />
      <span>{props.children}</span>
    </Switch>
  )
}

/** Something that is there when asked for. */
export function Fold(props: {
  readonly title: string
  readonly aside?: ReactNode
  readonly level?: 3 | 4
  /** What is costly is there only while it is seen. */
  readonly onlyWhileOpen?: boolean
  readonly children: ReactNode
}) {
  const [open, setOpen] = useState(false)
  return (
    <Disclosure className="fold" isExpanded={open} onExpandedChange={setOpen}>
      <Heading level={props.level ?? 4} className="fold-heading">
        <Button slot="trigger" className="fold-button">
          <Icon name="right" />
          {props.title}
          {props.aside && <span className="aside">{props.aside}</span>}
        </Button>
      </Heading>
      <DisclosurePanel>
        {(open || !props.onlyWhileOpen) && <div className="fold-body">{props.children}</div>}
      </DisclosurePanel>
    </Disclosure>
  )
}

/** Number as shown: no trailing zeros, a real minus sign. */
export const round = (value: number, digits = 0): string =>
  value.toLocaleString('en-GB', { maximumFractionDigits: digits }).replace('-', '−')
