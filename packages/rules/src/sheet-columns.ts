/**
 * The columns Hangrail understands in a sheet of parts and in a sheet of past work,
 * with the names they go by in real spreadsheets.
 *
 * Names are compared without case, accents, spaces and punctuation, so "S/N", "s.n." and "SN" are one.
 * A name that could mean two columns ("dives", "hours", "service") is left out on purpose: it is asked about.
 */

export interface ColumnSpec<Name extends string> {
  readonly name: Name;
  /** The header Hangrail writes when it exports. */
  readonly title: string;
  readonly required: boolean;
  readonly alsoCalled: readonly string[];
}

export type FleetColumn =
  | "tag" | "position" | "maker" | "model" | "serial"
  | "boughtOn" | "inUseOn" | "lastUsedOn" | "servicedOn" | "inspectedOn"
  | "divesSinceService" | "hoursSinceService" | "divesSinceInspection" | "hoursSinceInspection"
  | "totalDives" | "note";

export type BookingColumn = "fromOn" | "untilOn" | "sets" | "valve" | "cold" | "oxygen" | "teaching" | "note";

export type HistoryColumn = "maker" | "serial" | "doneOn" | "work" | "divesAt" | "by" | "note";

const MAKER = ["manufacturer", "brand", "make", "made by", "hersteller", "marke", "fabricant", "marque", "fabricante", "marca", "produttore", "costruttore"];
const SERIAL = ["serial number", "serial no", "serial nr", "serial num", "serial #", "s/n", "ser no", "ser", "seriennummer", "serien nr", "serien-nr.", "numéro de série", "n° de série", "no de série", "n° série", "número de serie", "n.º de serie", "n° serie", "nº serie", "numero di serie", "matricola", "num. di serie"];
const NOTE = ["notes", "remark", "remarks", "comment", "comments", "bemerkung", "bemerkungen", "notiz", "notizen", "anmerkung", "remarque", "remarques", "commentaire", "commentaires", "observación", "observaciones", "nota", "notas", "osservazioni", "annotazioni"];

export const FLEET_COLUMNS: readonly ColumnSpec<FleetColumn>[] = [
  { name: "tag", title: "Set tag", required: true, alsoCalled: ["tag", "set", "set no", "set nr", "set number", "set id", "set #", "tag no", "tag number", "tag id", "reg set", "regulator set", "kit no", "kit number", "satz", "satznummer", "satz nr", "set-nummer", "jeu", "n° de jeu", "ensemble", "numéro de jeu", "equipo", "n° de equipo", "número de equipo", "conjunto", "gruppo", "n° gruppo", "etichetta", "etiqueta", "étiquette"] },
  { name: "position", title: "Position", required: true, alsoCalled: ["component", "part", "item", "role", "type", "kind", "component type", "part type", "item type", "bauteil", "teil", "komponente", "art", "élément", "composant", "pièce", "componente", "pieza", "elemento", "parte", "posición", "posizione", "tipo"] },
  { name: "maker", title: "Maker", required: true, alsoCalled: MAKER },
  { name: "model", title: "Model", required: true, alsoCalled: ["model name", "modell", "modèle", "modelo", "modello"] },
  { name: "serial", title: "Serial", required: true, alsoCalled: SERIAL },
  { name: "boughtOn", title: "Bought on", required: false, alsoCalled: ["bought", "date bought", "purchased", "purchased on", "purchase date", "date of purchase", "date purchased", "kaufdatum", "gekauft", "gekauft am", "anschaffung", "anschaffungsdatum", "date d'achat", "acheté le", "achat", "fecha de compra", "comprado", "comprado el", "data acquisto", "data di acquisto", "acquistato il"] },
  { name: "inUseOn", title: "In use on", required: false, alsoCalled: ["in use", "in use from", "in use since", "in service from", "in service since", "date in service", "put into service", "put in service", "first used", "first used on", "first use", "date of first use", "first day of use", "in betrieb seit", "inbetriebnahme", "im einsatz seit", "mise en service", "date de mise en service", "en service depuis", "en uso desde", "puesta en servicio", "fecha de puesta en servicio", "in uso dal", "messa in servizio", "data messa in servizio"] },
  { name: "lastUsedOn", title: "Last used on", required: false, alsoCalled: ["last used", "last use", "date last used", "last dived", "last dive", "zuletzt benutzt", "zuletzt benutzt am", "letzter einsatz", "letzte benutzung", "dernière utilisation", "utilisé le", "último uso", "ultimo uso", "ultimo utilizzo"] },
  { name: "servicedOn", title: "Serviced on", required: false, alsoCalled: ["serviced", "last service", "last serviced", "last serviced on", "last service date", "date of last service", "service date", "date serviced", "last service on", "letzter service", "letzte revision", "letzte wartung", "service am", "revision am", "gewartet am", "revidiert am", "dernière révision", "dernier entretien", "révisé le", "date de révision", "última revisión", "fecha de revisión", "revisado el", "ultima revisione", "data revisione", "revisionato il"] },
  { name: "inspectedOn", title: "Inspected on", required: false, alsoCalled: ["inspected", "last inspection", "last inspected", "last inspected on", "last inspection date", "date of last inspection", "inspection date", "date inspected", "letzte inspektion", "letzte prüfung", "letzte sichtprüfung", "geprüft am", "inspiziert am", "dernière inspection", "dernier contrôle", "inspecté le", "contrôlé le", "última inspección", "fecha de inspección", "inspeccionado el", "ultima ispezione", "ultimo controllo", "ispezionato il", "data ispezione"] },
  { name: "divesSinceService", title: "Dives since service", required: false, alsoCalled: ["dives since last service", "dives since serviced", "dives after service", "tauchgänge seit service", "tauchgänge seit revision", "tg seit service", "tg seit revision", "tauchgänge seit wartung", "plongées depuis révision", "plongées depuis la révision", "plongées depuis entretien", "inmersiones desde revisión", "inmersiones desde la revisión", "immersioni da revisione", "immersioni dalla revisione", "immersioni dall'ultima revisione"] },
  { name: "hoursSinceService", title: "Hours since service", required: false, alsoCalled: ["hours since last service", "hrs since service", "dive hours since service", "stunden seit service", "stunden seit revision", "std seit service", "std seit revision", "stunden seit wartung", "heures depuis révision", "heures depuis la révision", "heures depuis entretien", "horas desde revisión", "horas desde la revisión", "ore da revisione", "ore dalla revisione", "ore dall'ultima revisione"] },
  { name: "divesSinceInspection", title: "Dives since inspection", required: false, alsoCalled: ["dives since last inspection", "dives since inspected", "dives after inspection", "tauchgänge seit inspektion", "tauchgänge seit prüfung", "tg seit inspektion", "tg seit prüfung", "plongées depuis inspection", "plongées depuis l'inspection", "plongées depuis contrôle", "inmersiones desde inspección", "inmersiones desde la inspección", "immersioni da ispezione", "immersioni dall'ispezione", "immersioni dal controllo"] },
  { name: "hoursSinceInspection", title: "Hours since inspection", required: false, alsoCalled: ["hours since last inspection", "hrs since inspection", "dive hours since inspection", "stunden seit inspektion", "stunden seit prüfung", "std seit inspektion", "std seit prüfung", "heures depuis inspection", "heures depuis l'inspection", "heures depuis contrôle", "horas desde inspección", "horas desde la inspección", "ore da ispezione", "ore dall'ispezione", "ore dal controllo"] },
  { name: "totalDives", title: "Total dives", required: false, alsoCalled: ["dives total", "total no of dives", "total number of dives", "dives in total", "all dives", "lifetime dives", "dives ever", "tauchgänge gesamt", "tauchgänge insgesamt", "tg gesamt", "gesamtzahl tauchgänge", "plongées total", "total plongées", "total des plongées", "nombre total de plongées", "inmersiones totales", "total inmersiones", "total de inmersiones", "immersioni totali", "totale immersioni"] },
  { name: "note", title: "Note", required: false, alsoCalled: NOTE },
];

export const HISTORY_COLUMNS: readonly ColumnSpec<HistoryColumn>[] = [
  { name: "maker", title: "Maker", required: true, alsoCalled: MAKER },
  { name: "serial", title: "Serial", required: true, alsoCalled: SERIAL },
  { name: "doneOn", title: "Done on", required: true, alsoCalled: ["date", "date done", "done", "day", "work date", "date of work", "datum", "erledigt am", "durchgeführt am", "fait le", "date des travaux", "fecha", "hecho el", "data", "eseguito il", "fatto il"] },
  { name: "work", title: "Work", required: true, alsoCalled: ["work done", "type of work", "kind of work", "job", "type", "kind", "arbeit", "art der arbeit", "travail", "travaux", "type de travail", "trabajo", "tipo de trabajo", "lavoro", "tipo di lavoro", "intervention", "intervento", "tipo"] },
  { name: "divesAt", title: "Dives at", required: false, alsoCalled: ["dives at service", "dives at the time", "dives then", "count at work", "dive count", "dives at work", "total dives at work", "tauchgänge bei arbeit", "tauchgänge", "tauchgänge damals", "plongées à cette date", "plongées", "inmersiones", "inmersiones en la fecha", "immersioni", "immersioni alla data"] },
  { name: "by", title: "By", required: false, alsoCalled: ["done by", "technician", "tech", "who", "serviced by", "carried out by", "techniker", "durchgeführt von", "von", "technicien", "fait par", "par", "técnico", "hecho por", "por", "tecnico", "eseguito da", "da"] },
  { name: "note", title: "Note", required: false, alsoCalled: NOTE },
];

export const BOOKING_COLUMNS: readonly ColumnSpec<BookingColumn>[] = [
  { name: "fromOn", title: "From", required: true, alsoCalled: ["from", "first day", "start", "start date", "starts", "starts on", "begin", "begins", "date from", "arrival", "arrives", "von", "ab", "beginn", "anreise", "du", "début", "arrivée", "desde", "inicio", "llegada", "dal", "inizio", "arrivo"] },
  { name: "untilOn", title: "Until", required: true, alsoCalled: ["until", "to", "last day", "end", "end date", "ends", "ends on", "date to", "till", "departure", "leaves", "bis", "ende", "abreise", "au", "fin", "départ", "hasta", "salida", "al", "fine", "partenza"] },
  { name: "sets", title: "Sets", required: true, alsoCalled: ["number of sets", "how many", "how many sets", "quantity", "qty", "count", "divers", "anzahl", "sätze", "taucher", "nombre", "jeux", "plongeurs", "cantidad", "equipos", "buceadores", "numero", "quantità", "subacquei"] },
  { name: "valve", title: "Valve", required: false, alsoCalled: ["cylinder valve", "connection", "tank valve", "ventil", "anschluss", "flaschenventil", "robinetterie", "raccord", "grifería", "conexión", "rubinetteria", "attacco"] },
  { name: "cold", title: "Cold water", required: false, alsoCalled: ["cold", "coldwater", "kaltwasser", "kalt", "eau froide", "froid", "agua fría", "frío", "acqua fredda", "freddo"] },
  { name: "oxygen", title: "Oxygen %", required: false, alsoCalled: ["oxygen", "o2", "o2 %", "gas", "nitrox", "mix", "sauerstoff", "oxygène", "gaz", "oxígeno", "ossigeno", "miscela"] },
  { name: "teaching", title: "Teaching", required: false, alsoCalled: ["course", "training", "lesson", "class", "kurs", "ausbildung", "cours", "formation", "curso", "enseñanza", "corso", "didattica"] },
  { name: "note", title: "Note", required: false, alsoCalled: NOTE },
];
