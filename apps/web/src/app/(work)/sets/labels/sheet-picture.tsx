import { layOut, type LabelSheet, type PlacedLabel } from "./label-sheets.ts";
import { codePath, QUIET, tagCode } from "./tag-code.ts";

/** One sheet at its true size: what is printed, shown small before, and saved as a file. Black on white, whatever the screen's colours. */
export function SheetPicture({ sheet, labels, title }: { sheet: LabelSheet; labels: readonly PlacedLabel[]; title: string }) {
  return (
    <svg xmlns="http://www.w3.org/2000/svg" viewBox={`0 0 ${sheet.width} ${sheet.height}`} width={`${sheet.width}mm`} height={`${sheet.height}mm`} role="img" aria-label={title} className={`label-sheet label-sheet-${sheet.paper}`}>
      <rect width={sheet.width} height={sheet.height} fill="#fff" />
      {labels.map(({ tag, x, y }) => {
        const { code, text } = layOut(sheet, tag);
        const modules = tagCode(tag);
        const scale = code.side / (modules.length + 2 * QUIET);
        return (
          <g key={`${x} ${y}`} transform={`translate(${x} ${y})`}>
            <path d={codePath(modules)} transform={`translate(${code.x} ${code.y}) scale(${scale})`} fill="#000" shapeRendering="crispEdges" />
            <text x={text.x} y={text.y} fontSize={text.size} fontFamily="ui-monospace, Menlo, Consolas, 'DejaVu Sans Mono', monospace" fontWeight="700" fill="#000">
              {tag}
            </text>
          </g>
        );
      })}
    </svg>
  );
}
