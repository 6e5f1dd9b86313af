/** Instants in the reader's own words. */
const FORMAT: Intl.DateTimeFormatOptions = {
  year: "numeric",
  month: "short",
  day: "numeric",
  hour: "2-digit",
  minute: "2-digit",
  hourCycle: "h23",
};

/** An ISO instant in the reader's locale and zone; as it stands when it is none. */
export function when(instant: string): string {
  const date = new Date(instant);
  return Number.isNaN(date.getTime()) ? instant : date.toLocaleString(undefined, FORMAT);
}

/** A name as a file may be called. */
export function fileName(name: string, ending: string): string {
  const plain = name.replace(/[^\p{L}\p{N}._-]+/gu, "-").replace(/^[-.]+|[-.]+$/g, "");
  return `${plain || "site"}.${ending}`;
}
