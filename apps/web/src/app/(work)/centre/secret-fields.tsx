"use client";
import { Field } from "../../../components/field.tsx";
import { pinLength } from "../../../components/pin-pad.tsx";

/** A new password and a new PIN; read them back with `newSecrets`. */
export function SecretFields({ required, wrong }: { required: boolean; wrong: Readonly<Record<string, string>> }) {
  return (
    <>
      <Field label="New password" name="password" error={wrong["password"]} type="password" hint="At least 10 characters; several words are easy to keep." required={required} minLength={10} maxLength={200} autoComplete="new-password" />
      <Field label="New PIN" name="pin" error={wrong["pin"]} type="password" inputMode="numeric" hint="Six digits." required={required} pattern={`[0-9]{${pinLength}}`} maxLength={pinLength} />
    </>
  );
}

/** Only what was filled in; a password keeps its blanks. */
export function newSecrets(form: FormData): { password?: string; pin?: string } {
  const password = String(form.get("password") ?? "");
  const pin = String(form.get("pin") ?? "");
  return { ...(password === "" ? {} : { password }), ...(pin === "" ? {} : { pin }) };
}
