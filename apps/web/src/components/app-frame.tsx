"use client";
import dynamic from "next/dynamic";
import { usePathname } from "next/navigation";
import { useId, useState, type ReactNode } from "react";
import { Icon } from "./icon.tsx";
import { jobsOf, type Job } from "./jobs.ts";
import { Link } from "./link.tsx";
import { Live } from "./live.tsx";
import { Mark } from "./mark.tsx";
import { Notice } from "./notice.tsx";
import { Day } from "./when.tsx";
import { useStillHere } from "./use-still-here.ts";
import { useWho, type SignedIn } from "./who.tsx";

/** Fetched when it is first opened: the desk's tablet loads every byte. */
const PersonMenu = dynamic(() => import("./person-menu.tsx").catch(() => ({ default: MenuAway })), { ssr: false });

/** What stands around every working screen: where, who, the way to the other jobs, and whether it is live. */
export function AppFrame({ children }: { children: ReactNode }) {
  const who = useWho();
  useStillHere();
  const path = usePathname();
  const jobs = jobsOf(who.staff.roles);
  return (
    <div className="flex min-h-dvh flex-col">
      <a href="#main" className="skip button" data-tone="primary">
        Skip to the page
      </a>
      <TopBar who={who} path={path} />
      <div className="flex flex-1">
        <nav aria-label="Jobs" className="screen-only hidden w-60 shrink-0 border-e border-hairline px-3 py-5 lg:block">
          <ul className="grid gap-4">
            {jobs.map((job) => (
              <li key={job.href}>
                <JobLink job={job} path={path} className="flex items-center gap-3 rounded-lg px-3" />
              </li>
            ))}
          </ul>
        </nav>
        <main id="main" tabIndex={-1} className="mx-auto w-full max-w-[90rem] min-w-0 flex-1 px-4 pt-6 pb-32 lg:px-8 lg:pb-12 print:p-0">
          {who.clock.ok ? null : <ClockNotice sentence={who.clock.sentence} />}
          {children}
        </main>
      </div>
      <BottomBar jobs={jobs} path={path} />
    </div>
  );
}

function TopBar({ who, path }: { who: SignedIn; path: string }) {
  const menu = useId();
  const [opened, setOpened] = useState(false);
  return (
    <header className="screen-only bg-deep text-on-deep">
      <div className="flex flex-wrap items-center gap-x-6 gap-y-2 px-4 py-2 lg:px-6">
        <Link href="/today" className="flex min-h-12 items-center gap-3 font-bold text-on-deep no-underline">
          <Mark />
          <span className="sr-only">Hangrail, </span>
          <span>{who.site.name}</span>
        </Link>
        <span className="hidden text-on-deep-soft md:inline">
          <Day day={who.today} />
        </span>
        <Live />
        <button type="button" popoverTarget={menu} className="ms-auto flex min-h-12 items-center gap-2 rounded-lg border-2 border-on-deep-soft px-3 font-semibold">
          <Icon name="person" /> {who.staff.name}
        </button>
        <div id={menu} key={path} popover="auto" onToggle={() => setOpened(true)} role="group" aria-label={who.staff.name} className="sheet inset-auto end-4 top-16 w-80 max-w-[calc(100vw-2rem)] text-ink shadow-lg">
          {opened ? <PersonMenu who={who} /> : null}
        </div>
      </div>
    </header>
  );
}

/** Without a network nobody signs out: what can be pressed has to be fetched first. */
function MenuAway() {
  return <p>The network is away. Change person or sign out when it is back; load the page again then.</p>;
}

function ClockNotice({ sentence }: { sentence: string | null }) {
  return (
    <div className="screen-only mb-6">
      <Notice kind="stop" title="Nothing can be handed out: the clock">
        <p>{sentence ?? "The server's clock cannot be trusted just now."}</p>
        <p>
          The manager puts it right and confirms it under <Link href="/centre/settings">Centre, settings</Link>.
        </p>
      </Notice>
    </div>
  );
}

/** On a small screen: four jobs in reach of the thumb, the rest behind More. */
function BottomBar({ jobs, path }: { jobs: readonly Job[]; path: string }) {
  const [open, setOpen] = useState(false);
  const first = jobs.slice(0, 4);
  const rest = jobs.slice(4);
  const cell = "flex h-full flex-col items-center justify-center gap-1 px-1 text-center text-[0.8rem] leading-tight";
  return (
    <nav aria-label="Jobs" className="screen-only fixed inset-x-0 bottom-0 z-10 border-t-2 border-edge bg-sheet lg:hidden">
      {open ? (
        <ul id="more-jobs" className="grid gap-4 border-b border-hairline p-4">
          {rest.map((job) => (
            <li key={job.href}>
              <JobLink job={job} path={path} className="flex items-center gap-3 rounded-lg px-3" onFollow={() => setOpen(false)} />
            </li>
          ))}
        </ul>
      ) : null}
      <ul className="grid auto-cols-fr grid-flow-col">
        {first.map((job) => (
          <li key={job.href} className="min-h-16">
            <JobLink job={job} path={path} className={cell} onFollow={() => setOpen(false)} />
          </li>
        ))}
        {rest.length === 0 ? null : (
          <li className="min-h-16">
            <button type="button" className={`w-full font-semibold ${cell}`} aria-expanded={open} aria-controls="more-jobs" onClick={() => setOpen(!open)}>
              <Icon name="more" /> {open ? "Less" : "More"}
            </button>
          </li>
        )}
      </ul>
    </nav>
  );
}

type JobLinkProps = { job: Job; path: string; className: string; onFollow?: () => void };

function JobLink({ job, path, className, onFollow = () => undefined }: JobLinkProps) {
  const here = path === job.href || path.startsWith(`${job.href}/`);
  return (
    <Link href={job.href} onClick={onFollow} aria-current={here ? "page" : undefined} className={`min-h-12 font-semibold text-ink no-underline ${here ? "bg-rest text-on-rest shadow-[inset_4px_0_0_var(--sea)]" : ""} ${className}`}>
      <Icon name={job.icon} />
      {job.name}
    </Link>
  );
}
