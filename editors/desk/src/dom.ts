// Makes elements. Text is always text: nothing here reads markup.

type Child = Node | string | null | undefined | false;
type Value = string | number | boolean | null | undefined | ((event: never) => void);

export function h<K extends keyof HTMLElementTagNameMap>(
  tag: K,
  attributes: Record<string, Value> = {},
  ...children: (Child | Child[])[]
): HTMLElementTagNameMap[K] {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (typeof value === "function") {
      element.addEventListener(name, value as EventListener);
    } else if (value === true) {
      element.setAttribute(name, "");
    } else if (value !== false && value !== null && value !== undefined) {
      element.setAttribute(name, String(value));
    }
  }
  element.append(...children.flat().filter(isThere));
  return element;
}

function isThere(child: Child): child is Node | string {
  return child !== null && child !== undefined && child !== false;
}

/** Replaces what is inside, but leaves it alone where nothing changes. The focus stays on what has the same name. */
export function fill(element: Element, ...children: (Child | Child[])[]): void {
  const made = h("div", {}, ...children);
  if (element.innerHTML !== made.innerHTML || made.querySelector(REACHED)) {
    const focused = document.activeElement;
    const name = focused && focused !== element && element.contains(focused) ? nameOf(focused) : null;
    element.replaceChildren(...made.childNodes);
    if (name !== null) [...element.querySelectorAll<HTMLElement>(REACHED)].find((one) => nameOf(one) === name)?.focus({ preventScroll: true });
  }
}

/** What the Tab key reaches. */
const REACHED = "button, input, select, summary, a";

function nameOf(element: Element): string {
  return `${element.tagName} ${element.id || (element.getAttribute("aria-label") ?? element.textContent ?? "")}`;
}

/** Said by screen readers, politely; the words stay until others come. */
export function announce(words: string): void {
  const region = document.getElementById("spoken");
  if (region && region.textContent !== words) region.textContent = words;
}

export function button(
  label: string,
  click: () => void,
  attributes: Record<string, Value> = {},
): HTMLButtonElement {
  return h("button", { type: "button", click, ...attributes }, label);
}

let count = 0;

/** An id that no other element has. */
export function fresh(stem: string): string {
  count += 1;
  return `${stem}-${count}`;
}
