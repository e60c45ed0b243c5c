import { PageHead } from "../../../../components/page-head.tsx";
import { PrintButton } from "../../../../components/print-button.tsx";
import { MorningSheet } from "./morning-sheet.tsx";

export const metadata = { title: "Morning sheet" };

export default function MorningPage() {
  return (
    <>
      <PageHead title="Morning sheet" lead="The sets that are ready at this hour, on paper: what the desk works from should the server fail today.">
        <PrintButton>Print for today</PrintButton>
      </PageHead>
      <MorningSheet />
    </>
  );
}
