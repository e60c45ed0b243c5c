import { addPerson, authorise, closePerson, revokeDevice, ROLES_OF_STAFF, setRoles, setSecret } from "@hangrail/db/people-acts";
import { listDevices, listPeople } from "@hangrail/db/people";
import { z } from "zod";
import { day, id, words } from "./inputs.ts";
import { hashSecret } from "./secrets.ts";
import { login, password, pin } from "./session.ts";
import { newRequest, procedureFor, router } from "./trpc.ts";

const roles = z.array(z.enum(ROLES_OF_STAFF)).max(4).transform((list) => [...new Set(list)]);

/** People and devices of the session's site: the manager's. */
export const people = router({
  list: procedureFor("manager").query(({ ctx }) => listPeople(ctx.db, ctx.site.id)),

  add: procedureFor("manager")
    .input(z.strictObject({ name: words(80, 1), login, password, pin, roles: roles.refine((list) => list.length > 0, "Give at least one role.") }))
    .mutation(async ({ ctx, input }) => {
      const [passwordHash, pinHash] = await Promise.all([hashSecret(input.password), hashSecret(input.pin)]);
      return addPerson(ctx.db, ctx.who(newRequest()), { name: input.name, login: input.login, passwordHash, pinHash }, input.roles);
    }),

  setRoles: procedureFor("manager")
    .input(z.strictObject({ staffId: id, roles }))
    .mutation(({ ctx, input }) => setRoles(ctx.db, ctx.who(newRequest()), input.staffId, input.roles)),

  resetSecret: procedureFor("manager")
    .input(z.strictObject({ staffId: id, password: password.optional(), pin: pin.optional() }))
    .mutation(async ({ ctx, input }) =>
      setSecret(
        ctx.db,
        ctx.who(newRequest()),
        input.staffId,
        input.password === undefined ? null : await hashSecret(input.password),
        input.pin === undefined ? null : await hashSecret(input.pin),
        ctx.session.id,
      ),
    ),

  close: procedureFor("manager")
    .input(z.strictObject({ staffId: id }))
    .mutation(({ ctx, input }) => closePerson(ctx.db, ctx.who(newRequest()), input.staffId)),

  authorise: procedureFor("manager")
    .input(
      z
        .strictObject({ staffId: id, maker: words(80, 1), oxygenClean: z.boolean(), from: day, until: day, evidence: words(300, 1) })
        .refine(({ from, until }) => from <= until, { path: ["until"], message: "The last day lies before the first." }),
    )
    .mutation(({ ctx, input: i }) => authorise(ctx.db, ctx.who(newRequest()), i.staffId, i.maker, i.oxygenClean, i.from, i.until, i.evidence)),

  devices: procedureFor("manager").query(({ ctx }) => listDevices(ctx.db, ctx.site.id)),

  revokeDevice: procedureFor("manager")
    .input(z.strictObject({ deviceId: id }))
    .mutation(({ ctx, input }) => revokeDevice(ctx.db, ctx.who(newRequest()), input.deviceId)),
});
