import { countStates, readBoard } from "@hangrail/db/board";
import { listOpenFaults } from "@hangrail/db/faults";
import { listOut } from "@hangrail/db/hires";
import { loadSetsById } from "@hangrail/db/set-facts";
import { listModels } from "@hangrail/db/sets";
import { listBaths, listRuns } from "@hangrail/db/wash-room";
import { readClock } from "@hangrail/db/sessions";
import { setView } from "./set-view.ts";
import { procedureFor, router } from "./trpc.ts";

const DUE_ROWS = 12;

/** The first page: what matters today, whoever signed in. The screen puts the parts of one's own roles first. */
export const today = router({
  summary: procedureFor().query(async ({ ctx }) => {
    const { db, site } = ctx;
    const [states, out, faults, runs, baths, models, clock, due] = await Promise.all([
      countStates(db, site.id),
      listOut(db, site.id),
      listOpenFaults(db, site.id, null),
      listRuns(db, site.id),
      listBaths(db, site.id),
      listModels(db, site.id),
      readClock(db, site.timeZone),
      readBoard(db, { site: site.id, search: null, states: [], model: null, sort: "dueOn", descending: false, offset: 0, limit: DUE_ROWS }),
    ]);
    const soon = await loadSetsById(db, site.id, due.rows.map((row) => row.id));
    return {
      today: clock.today,
      now: clock.now,
      states,
      out: { total: out.length, late: out.filter((row) => row.late), dueToday: out.filter((row) => row.backOn === clock.today) },
      faults: faults.filter((fault) => fault.severity !== "watch"),
      runs,
      baths,
      due: soon.map((set) => setView(set, null)),
      notJudged: models.filter((model) => model.limits === null && model.sets > 0).map(({ id, maker, name, kind, sets }) => ({ id, maker, name, kind, sets })),
    };
  }),
});
