/** What stands on a hire slip, in whole sentences. */

/** What is checked together with the hirer before every hire. */
export const preDiveChecks: readonly string[] = [
  "Cap off: inlet filter clean and dry, hoses sound at both ends, mouthpieces whole and tied.",
  "Every fitting tight by hand; nothing turns.",
  "Not yet on the cylinder: breathe in gently from each second stage. No air comes.",
  "Gauge on zero.",
  "On the right valve: open it slowly, gauge turned away from faces. Listen: no hiss.",
  "Shut the valve: the needle stands still for a minute. Open it fully again, purge each second stage once.",
  "Two to four breaths from each second stage while watching the gauge: the needle does not move.",
  "Cylinder label and analysis agree with the gas on this slip.",
];

/** What the hirer signs. */
export const hirerPromise = "I have seen the sets and done the checks above. I bring them back on the day named, rinsed with the cap on, and report every problem, however small.";

/** What no screen and no paper replaces. */
export const paperCautions: readonly string[] = [
  "The makers' manuals and bulletins come before this paper; work on a set is done only by somebody authorised for its make.",
  "Local law and codes come first. The limits used are those this centre entered.",
  "A ready set still needs the pre-dive check. This is no dive plan.",
  "Sets are disinfected by the product's label and the maker's approval; products are never mixed.",
];

