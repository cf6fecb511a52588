// The line to the program: requests, notices and the server's own requests, over one socket. A broken line is
// mended by itself; a program that has ended is said.

import { LINE_WORDS } from "./deskWords.ts";

export class Failure extends Error {
  constructor(message: string, readonly code: number) {
    super(message);
  }
}

/** The text has changed since it was asked about, its visit is gone, or nobody waits any more. */
export function isStale(error: unknown): boolean {
  return error instanceof Failure && [-32801, -32800, -32602, LOST].includes(error.code);
}

export const LOST = -1;
const ENDED = 4001;
const REFUSED = 4003;

export type LineState = "open" | "lost" | "ended" | "refused";
type Handler = (params: never) => unknown;
interface Waiting { resolve(value: unknown): void; reject(error: Failure): void }

interface Incoming {
  id?: number | string | null;
  method?: string;
  params?: unknown;
  result?: unknown;
  error?: { code: number; message: string };
}

/** Waits between tries, in ms. */
const TRIES = [250, 500, 1000, 2000, 5000];

export class Wire {
  private socket: WebSocket | null = null;
  private waiting = new Map<number, Waiting>();
  private handlers = new Map<string, Handler>();
  private count = 0;
  private tries = 0;
  state: LineState = "lost";
  /** Set from outside: what makes a fresh connection usable, and what hears of changes. */
  opened: () => Promise<void> = async () => {};
  changed: (state: LineState) => void = () => {};

  connect(): void {
    const socket = new WebSocket(`ws://${location.host}/socket`);
    this.socket = socket;
    socket.onopen = () => {
      this.opened().then(
        () => {
          this.tries = 0;
          this.turn("open");
        },
        (error: unknown) => {
          if (error instanceof Failure && error.code !== LOST) this.turn("refused");
          socket.close();
        },
      );
    };
    socket.onmessage = (event) => this.hear(String(event.data));
    socket.onclose = (event) => this.closed(event.code);
  }

  private closed(code: number): void {
    for (const one of this.waiting.values()) one.reject(new Failure(LINE_WORDS.broken, LOST));
    this.waiting.clear();
    if (code === ENDED) return this.turn("ended");
    if (code === REFUSED || this.state === "refused") return this.turn("refused");
    this.turn("lost");
    const pause = TRIES[Math.min(this.tries, TRIES.length - 1)];
    this.tries += 1;
    setTimeout(() => this.connect(), pause);
  }

  private turn(state: LineState): void {
    if (this.state === state) return;
    this.state = state;
    this.changed(state);
  }

  private send(message: object): void {
    if (this.socket?.readyState === WebSocket.OPEN) {
      this.socket.send(JSON.stringify({ jsonrpc: "2.0", ...message }));
    }
  }

  request<T>(method: string, params: unknown, signal?: AbortSignal): Promise<T> {
    if (this.socket?.readyState !== WebSocket.OPEN) {
      return Promise.reject(new Failure(LINE_WORDS.broken, LOST));
    }
    this.count += 1;
    const id = this.count;
    return new Promise<T>((resolve, reject) => {
      this.waiting.set(id, { resolve: resolve as (value: unknown) => void, reject });
      signal?.addEventListener("abort", () => {
        if (this.waiting.delete(id)) {
          this.notify("$/cancelRequest", { id });
          reject(new Failure(LINE_WORDS.unwanted, -32800));
        }
      });
      this.send({ id, method, params });
    });
  }

  notify(method: string, params: unknown): void {
    this.send({ method, params });
  }

  on(method: string, handler: Handler): void {
    this.handlers.set(method, handler);
  }

  private hear(text: string): void {
    const message = JSON.parse(text) as Incoming;
    if (message.method === undefined) {
      const one = this.waiting.get(Number(message.id));
      this.waiting.delete(Number(message.id));
      if (message.error) one?.reject(new Failure(message.error.message, message.error.code));
      else one?.resolve(message.result);
      return;
    }
    const handler = this.handlers.get(message.method);
    const result = handler?.(message.params as never) ?? null;
    // A request of the server's; what the page does not know is answered with nothing.
    if (message.id !== undefined && message.id !== null) this.send({ id: message.id, result });
  }
}

/** Asks one question at a time; while it is under way only the newest of the next is remembered. */
export class Newest {
  private busy = false;
  private next: (() => Promise<void>) | null = null;

  /** A question that another file's change overtook is asked once more, a few times at most. */
  ask(question: () => Promise<void>, tries = 4): void {
    if (this.busy) {
      this.next = question;
      return;
    }
    this.busy = true;
    let overtaken = false;
    question()
      .catch((error: unknown) => {
        overtaken = isStale(error);
        if (!overtaken) console.error(error);
      })
      .finally(() => {
        this.busy = false;
        const next = this.next;
        this.next = null;
        if (next) this.ask(next);
        else if (overtaken && tries > 0) this.ask(question, tries - 1);
      });
  }
}
