/**
 * Usual cautions for spraying and solvents, most important first. They defer to safety data sheets and local rules.
 * Sources: HSE guide for small mobile sprayers and HSG53; OSHA 1910.107, 1910.134 and 1910.242(b); NIOSH Pocket Guide
 * for isopropanol; EN 149 and EN 14387 for filters. Pigments and 'non-toxic' labels: from memory.
 */
export const CAUTIONS: readonly { readonly title: string; readonly text: string }[] = [
  {
    title: 'Do not breathe the mist',
    text: 'Any airbrush mist can be inhaled, water-based paint included; “non-toxic” on a label is not about spraying. Keep others out of it, and wait until it has cleared.',
  },
  {
    title: 'Extract first, then protect',
    text: 'Spray into a booth that is vented outdoors, with a fresh filter. A mask, gloves and eye protection come on top, not instead.',
  },
  {
    title: 'The right filter',
    text: 'A particle filter (FFP2, FFP3, N95, P100) stops droplets and dust but not vapour. Solvent paints and thinners need a combined filter against organic vapour and particles. It must seal on clean-shaven skin, and it gives no oxygen.',
  },
  {
    title: 'Never two-part urethane at home',
    text: 'Paints with isocyanates need air-fed breathing apparatus; filter masks are not suitable.',
  },
  {
    title: 'No flames, no sparks',
    text: 'Isopropanol gives vapour that ignites from 12 °C, and many thinners do so not much above. No smoking, heaters or sparking motors near it; solvent-soaked rags go into a closed metal bin.',
  },
  {
    title: 'Read the label',
    text: 'Sections 2, 5, 7 and 8 of the safety data sheet say what is in the pot and what to wear. Do not spray or dry-sand cadmium, cobalt, lead or chromate pigments.',
  },
  {
    title: 'Sanding',
    text: 'Wet-sand resin and primer, extract or wear a P2 or P3 filter, wipe up damp. Uncured resin makes skin allergic: nitrile or neoprene gloves, not latex.',
  },
  {
    title: 'Compressed air',
    text: 'Set the regulator to the working pressure, drain the water, let the pressure off before you unplug. Never point it at skin or eyes, never blow clothes clean.',
  },
  {
    title: 'Afterwards',
    text: 'Wash your hands, no food or drink where you spray, and no paint or solvent down the drain. Keep children, pets, pregnant people and people with asthma away.',
  },
  {
    title: 'When something is wrong',
    text: 'Cough, wheeze, dizziness or a rash: stop, go into fresh air, get medical advice and bring the safety data sheet.',
  },
]

export const CAUTIONS_DEFER =
  'Greycoat plans paint; it is no safety advice. The safety data sheets of your products and your local rules come first.'
