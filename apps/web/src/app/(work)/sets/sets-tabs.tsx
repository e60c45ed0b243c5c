import { PageTabs } from "../../../components/page-tabs.tsx";

const tabs = [
  { href: "/sets", name: "Every set" },
  { href: "/sets/out-of-service", name: "Out of service" },
  { href: "/sets/labels", name: "Labels" },
];

/** The ways to look at the fleet. */
export const SetsTabs = () => <PageTabs label="Views of the sets" tabs={tabs} className="mb-6" />;
