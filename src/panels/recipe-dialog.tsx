import { useState } from 'react'
import { Button, TextArea, TextField } from 'react-aria-components'
import type { Recipe } from '../core/recipe/recipe.ts'
import {
  type RecipeSheet,
  recipeSheet,
  recipeSheetText,
  type SheetCoat,
  type SheetUse,
  usedWords,
} from '../core/recipe/recipe-sheet.ts'
import { useApp, useCommands, useDocument } from '../ui/use-app.ts'
import { Frame } from './cautions-dialog.tsx'
import { Stepper } from './controls.tsx'
import { figureTitle } from './figure-title.ts'
import { FilmBand } from './film-band.tsx'
import { NameField } from './name-field.tsx'
import { paintHex } from './paint-swatch.ts'
import { RecipePictures, SHEET_VIEWS } from './recipe-pictures.tsx'
import { VIEW_NAMES } from './views-bar.tsx'
import './recipe-dialog.css'

/** The recipe on one page: to be read here, printed, or copied. */
export function RecipeDialog() {
  const isOpen = useApp(s => s.session.dialog === 'recipe')
  return isOpen ? <OpenRecipe /> : null
}

const USUAL_SQUAD = 10

function OpenRecipe() {
  const commands = useCommands()
  const recipe = useDocument(d => d.recipe)
  const [squadSize, setSquadSize] = useState(USUAL_SQUAD)
  const sheet = useSheet(recipe, squadSize)
  const copy = async (text: string) => {
    try {
      await navigator.clipboard.writeText(text)
      commands.announce('Copied the recipe as text')
    } catch {
      commands.announce('This browser does not allow copying: select the page and copy it by hand')
    }
  }
  return (
    <Frame
      title="Recipe"
      wide
      isOpen
      onClose={() => commands.select({ dialog: null })}
      head={<Stepper label="Figures" value={squadSize} min={1} max={999} onChange={setSquadSize} />}
      foot={
        <>
          <Button
            className="button"
            isDisabled={sheet === null}
            onPress={() => sheet && void copy(recipeSheetText(sheet))}
          >
            Copy as text
          </Button>
          <Button className="button primary" onPress={() => window.print()}>
            Print
          </Button>
        </>
      }
    >
      {sheet ? (
        <Page sheet={sheet} recipe={recipe} />
      ) : (
        <p>A paint of this recipe has pigments unknown to this version.</p>
      )}
    </Frame>
  )
}

function useSheet(recipe: Recipe, squadSize: number): RecipeSheet | null {
  const reference = useDocument(d => d.figure)
  const figure = useApp(s => s.derived.figure)
  const caught = useApp(s => s.derived.caught)
  try {
    return recipeSheet({
      recipe,
      figure: figure && {
        title: figureTitle(reference),
        heightMm: figure.heightMm,
        box: figure.box,
        parts: figure.parts,
        caught,
      },
      squadSize,
      views: SHEET_VIEWS.map(view => VIEW_NAMES[view]),
    })
  } catch {
    // A pigment from a newer version: everything else on the page still works.
    return null
  }
}

function Page({ sheet, recipe }: { readonly sheet: RecipeSheet; readonly recipe: Recipe }) {
  const commands = useCommands()
  return (
    <article className="sheet">
      <header className="sheet-head">
        <NameField
          label="Name of the recipe"
          showLabel={false}
          className="sheet-name"
          value={recipe.name}
          onChange={name => commands.setRecipe({ ...recipe, name }, 'Rename recipe')}
        />
        <p>
          {sheet.figure}
          {sheet.squadSize > 1 && ` · ${sheet.squadSize} figures`}
        </p>
      </header>
      <RecipePictures />
      <ol className="sheet-steps">
        <li className="sheet-step">
          <span
            className="film"
            style={{ background: paintHex(recipe.paints.find(p => p.id === recipe.primer.paint)) }}
          />
          <h4>
            Primer <span>{withPigments(sheet.primer.paint, sheet.primer.pigments)}</span>
          </h4>
          <Facts
            facts={[
              ['Build', sheet.primer.thickness],
              ['Drying', sheet.primer.drying],
            ]}
          />
        </li>
        {sheet.coats.map(coat => (
          <Coat key={coat.id} coat={coat} squadSize={sheet.squadSize} recipe={recipe} />
        ))}
      </ol>
      <section className="sheet-columns">
        <div>
          <h4>A whole squad</h4>
          <p>{sheet.batch}</p>
          {sheet.use && <p>All sprayed coats: {wordsOfUse(sheet.use, sheet.squadSize)}.</p>}
          {sheet.hours && <p>{sheet.hours}</p>}
          <p>{sheet.provenance}</p>
          <TextField
            className="sheet-notes"
            aria-label="Notes"
            value={recipe.notes}
            maxLength={20_000}
            onChange={notes => commands.setNotes(notes)}
          >
            <h4>Notes</h4>
            <TextArea rows={3} placeholder="Anything to remember" />
          </TextField>
        </div>
        <div>
          <h4>Before you spray</h4>
          <ul>
            {sheet.cautions.map(line => (
              <li key={line}>{line}</li>
            ))}
          </ul>
        </div>
      </section>
    </article>
  )
}

function Coat(props: { readonly coat: SheetCoat; readonly squadSize: number; readonly recipe: Recipe }) {
  const { coat, squadSize, recipe } = props
  const own = recipe.coats.find(c => c.id === coat.id)
  return (
    <li className="sheet-step">
      {own && <FilmBand coat={own} paints={recipe.paints} />}
      <h4>
        {coat.number}. {coat.name} <span>{withPigments(coat.paint, coat.pigments)}</span>
        {coat.endsPreshade && <em>ends the pre-shade</em>}
      </h4>
      <Facts
        facts={[
          ['Drops', coat.mix],
          ['That is', coat.mixMl],
          ['Air', coat.pressure],
          ['Needle', coat.needle],
          ['Distance', coat.distance],
          ['Passes', coat.passes],
          ['Parts off', coat.partsOff.join(', ')],
          ['Sprayed apart', coat.partsApart.join(', ')],
        ]}
      />
      <div className="sheet-how">
        {coat.torches.length > 0 && (
          <ul>
            {coat.torches.map((torch, index) => (
              <li key={index}>
                <strong>{torch.name}</strong> {torch.passes}×, {torch.distance}: {torch.words}
              </li>
            ))}
          </ul>
        )}
        <Facts
          facts={[
            ['Build', coat.build],
            ['Drying', coat.drying],
            ['Use', coat.use && wordsOfUse(coat.use, squadSize)],
          ]}
        />
        {coat.heed.map(sentence => (
          <p key={sentence} className="sheet-warning">
            {sentence}
          </p>
        ))}
        {coat.warning && <p className="sheet-warning">{coat.warning}</p>}
      </div>
    </li>
  )
}

function Facts({ facts }: { readonly facts: readonly (readonly [name: string, value: string | null])[] }) {
  return (
    <dl>
      {facts.map(
        ([name, value]) =>
          value && (
            <div key={name}>
              <dt>{name}</dt>
              <dd>{value}</dd>
            </div>
          ),
      )}
    </dl>
  )
}

const withPigments = (paint: string, pigments: readonly string[]): string =>
  pigments.length > 0 ? `${paint}: ${pigments.join(' + ')}` : paint

function wordsOfUse(use: SheetUse, squadSize: number): string {
  const ml =
    squadSize > 1
      ? `${usedWords(use.squad)} for all ${squadSize}, ${usedWords(use.perFigure)} a figure`
      : usedWords(use.perFigure)
  return use.landing ? `${ml}; ${use.landing}` : ml
}
