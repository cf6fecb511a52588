// Dates and counts as they are read aloud.

const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
const DAYS = ["Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"];

function parts(date: string): [number, number, number] {
  const [year = 0, month = 1, day = 1] = date.split("-").map(Number);
  return [year, month, day];
}

/** "24 Nov 2026" */
export function day(date: string): string {
  const [year, month, number] = parts(date);
  return `${number} ${MONTHS[month - 1] ?? ""} ${year}`;
}

/** "Tue 24 Nov 2026" */
export function weekday(date: string): string {
  const [year, month, number] = parts(date);
  const name = DAYS[new Date(Date.UTC(year, month - 1, number)).getUTCDay()] ?? "";
  return `${name} ${day(date)}`;
}

export function after(date: string, days: number): string {
  const [year, month, number] = parts(date);
  return new Date(Date.UTC(year, month - 1, number + days)).toISOString().slice(0, 10);
}

export function many(count: number, one: string, more = `${one}s`): string {
  return `${count} ${count === 1 ? one : more}`;
}

/** "2 h 10 min" */
export function time(minutes: number): string {
  const whole = Math.round(minutes);
  const hours = Math.floor(whole / 60);
  const rest = whole % 60;
  return [hours > 0 && `${hours} h`, (rest > 0 || hours === 0) && `${rest} min`].filter(Boolean).join(" ");
}

/** A word of the language as words: "wire-change" is "wire change". */
export function plain(word: string): string {
  return word.replaceAll("-", " ");
}

export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
