/** What goes wrong at the demo centre, in the hirers' and hands' own words, and what the bench then found. */
import type { FaultCode } from "@hangrail/rules/faults";
import type { Role } from "@hangrail/rules/models";

export interface FaultStory {
  readonly code: FaultCode;
  readonly weight: number;
  /** The positions it is found at; none = the set as a whole. */
  readonly at: readonly Role[];
  readonly words: readonly string[];
  readonly mended: string;
}

const SECOND: readonly Role[] = ["primary", "primary", "alternate"];

export const FAULT_STORIES: readonly FaultStory[] = [
  { code: "SS-01", weight: 16, at: SECOND, words: ["Blew for a moment when I jumped in, stopped when I turned it over", "Spits air after the purge, then stops"], mended: "Turned down a little and checked in the tank" },
  { code: "SS-02", weight: 9, at: SECOND, words: ["Would not stop blowing at the surface, lost 40 bar", "Free flow on the boat, we shut the cylinder"], mended: "Seat and orifice replaced, set anew" },
  { code: "SS-04", weight: 13, at: SECOND, words: ["A sip of water with every breath, worse head down", "Wet breather from the second dive on"], mended: "Exhaust valve replaced, holds vacuum" },
  { code: "SS-03", weight: 8, at: ["primary"], words: ["Hard to breathe at 25 m", "Felt like sucking through a straw"], mended: "Lever and seat set anew, cracking effort within the manual" },
  { code: "SS-07", weight: 12, at: SECOND, words: ["Bite tabs chewed through", "Mouthpiece came off in my hand, the tie is gone"], mended: "New mouthpiece and tie" },
  { code: "SS-10", weight: 5, at: SECOND, words: ["Full of sand, it lay on the beach", "Purge crunches"], mended: "Opened, rinsed out and put together again" },
  { code: "SS-05", weight: 4, at: ["primary"], words: ["Hums like a bee when breathing in slowly"], mended: "Diaphragm seated anew, quiet in the tank" },
  { code: "FS-01", weight: 8, at: ["first-stage"], words: ["Second stage began to hiss after ten minutes on deck", "Ticks and hisses when it stands under pressure"], mended: "High-pressure seat replaced, no creep over five minutes" },
  { code: "FS-04", weight: 3, at: ["first-stage"], words: ["String of small bubbles from the first stage"], mended: "Body ring replaced, dry under water" },
  { code: "FS-05", weight: 9, at: ["first-stage"], words: ["Hisses at the cylinder, we changed the ring and it still did", "Bubbles where it meets the valve"], mended: "Sealing ring and face cleaned, tight at 200 bar" },
  { code: "FS-08", weight: 3, at: ["first-stage"], words: ["The cap was off when it went into the rinse tank"], mended: "Opened, dried, filter and rings replaced" },
  { code: "PG-02", weight: 4, at: ["gauge"], words: ["Needle stuck at 120 and then dropped", "Needle swings with each breath"], mended: "Swivel and gauge checked against the master" },
  { code: "PG-05", weight: 4, at: ["gauge"], words: ["Fog behind the glass", "Glass cracked on the ladder"], mended: "Gauge checked against the master at three pressures" },
  { code: "HO-01", weight: 4, at: ["hose", "inflator-hose"], words: ["Cracks in the cover near the fitting", "Cover came loose and slides"], mended: "Hose shortened to the sound part and pressed anew" },
  { code: "HO-06", weight: 4, at: ["hose", "inflator-hose"], words: ["Could turn the fitting with two fingers"], mended: "Tightened and marked" },
  { code: "IN-01", weight: 3, at: ["inflator-hose"], words: ["Jacket filled by itself on the safety stop"], mended: "Coupling cleaned, core replaced" },
  { code: "IN-02", weight: 5, at: ["inflator-hose"], words: ["Coupling would not click in", "Small leak at the inflator coupling"], mended: "Coupling rinsed, ring replaced" },
  { code: "TX-01", weight: 4, at: ["transmitter"], words: ["Computer lost the pressure for half the dive"], mended: "New battery, reads the same as the gauge" },
];

/** Said by the bench when a fault could not be found again. */
export const NOT_FOUND = ["Under pressure for an hour, nothing to find", "Checked in the tank by two of us, works as it should", "Could not make it happen again; told the desk to look next time"];
