import { PageTabs } from "../../../components/page-tabs.tsx";

const tabs = [
  { href: "/sets", name: "Every set" },
  { href: "/sets/out-of-service", name: "Out of service" },
];

/** The two ways to look at the fleet. */
export const SetsTabs = () => <PageTabs label="Views of the sets" tabs={tabs} className="mb-6" />;
