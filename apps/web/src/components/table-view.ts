"use client";
import { usePathname, useSearchParams } from "next/navigation";
import { useCallback, useMemo } from "react";

/** Which part of a table is shown: what the server is asked for, and what stands in the address. */
export type TableView = {
  /** First page is 1. */
  page: number;
  pageSize: number;
  /** The column's id. */
  sort: string;
  descending: boolean;
  hidden: readonly string[];
  change: (next: Partial<ViewState>) => void;
};
type ViewState = { page: number; sort: string; descending: boolean; hidden: readonly string[] };

type ViewDefaults = { sort: string; descending?: boolean; pageSize?: number; hidden?: readonly string[] };

/**
 * A table's page, sort and hidden columns, kept in the address: a link to it shows the
 * same, and Back goes back. `name` keeps two tables of one page apart.
 */
export function useTableView(name: string, defaults: ViewDefaults): TableView {
  const params = useSearchParams();
  const path = usePathname();
  const key = useCallback((part: string) => (name === "" ? part : `${name}-${part}`), [name]);
  const { sort: firstSort, descending: firstDescending = false, pageSize = 50 } = defaults;
  const firstHidden = (defaults.hidden ?? []).join(" ");

  return useMemo(() => {
    const page = Number(params.get(key("page")));
    const state: ViewState = {
      page: Number.isSafeInteger(page) && page > 0 ? page : 1,
      sort: params.get(key("sort")) ?? firstSort,
      descending: params.has(key("sort")) ? params.get(key("down")) === "1" : firstDescending,
      hidden: (params.get(key("hide")) ?? firstHidden).split(" ").filter((id) => id !== ""),
    };
    const change = (next: Partial<ViewState>) => {
      // Another order begins again at its first page.
      const whole = { ...state, ...("sort" in next || "descending" in next ? { page: 1 } : {}), ...next };
      const address = new URLSearchParams(params);
      address.set(key("page"), String(whole.page));
      address.set(key("sort"), whole.sort);
      address.set(key("down"), whole.descending ? "1" : "0");
      address.set(key("hide"), whole.hidden.join(" "));
      window.history.pushState(null, "", `${path}?${address.toString()}`);
    };
    return { ...state, pageSize, change };
  }, [params, path, key, firstSort, firstDescending, firstHidden, pageSize]);
}
