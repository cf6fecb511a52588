// Drawings come as SVG text from the program. The one place where markup is read: it goes through a policy that the
// browser enforces, and only elements and attributes that draw are taken over.

const SVG = "http://www.w3.org/2000/svg";

const ELEMENTS = new Set([
  "svg", "g", "path", "line", "polyline", "polygon", "rect", "circle", "ellipse", "text", "tspan", "title", "desc",
  "defs", "clipPath", "pattern", "marker",
]);

/** No address, no handler, no style. */
const ATTRIBUTES =
  /^(id|class|role|aria-[a-z]+|data-[a-z-]+|viewBox|width|height|x|y|x1|x2|y1|y2|dx|dy|cx|cy|r|rx|ry|d|points|transform|fill|fill-opacity|fill-rule|stroke|stroke-[a-z]+|opacity|font-[a-z]+|text-anchor|dominant-baseline|clip-path|patternUnits|preserveAspectRatio|rotate|textLength|lengthAdjust|letter-spacing|vector-effect|marker-[a-z]+|orient|refX|refY|markerWidth|markerHeight|xml:space|paint-order)$/;

interface Policy { createHTML(text: string): string }
interface Factory { createPolicy(name: string, rules: { createHTML(text: string): string }): Policy }

// Browsers without trusted types read the text as it is, by the same walk below.
const factory = (globalThis as { trustedTypes?: Factory }).trustedTypes;
const policy = factory?.createPolicy("springline-drawing", { createHTML: (text) => text });

export function drawing(text: string): SVGSVGElement {
  const trusted = policy ? policy.createHTML(text) : text;
  const read = new DOMParser().parseFromString(trusted, "image/svg+xml").documentElement;
  const copied = copy(read);
  return copied instanceof SVGSVGElement ? copied : document.createElementNS(SVG, "svg");
}

function copy(element: Element): Element | null {
  if (element.namespaceURI !== SVG || !ELEMENTS.has(element.localName)) return null;
  const made = document.createElementNS(SVG, element.localName);
  for (const { name, value } of element.attributes) {
    if (ATTRIBUTES.test(name) && !/url\(\s*['"]?[^#'"]/i.test(value)) made.setAttribute(name, value);
  }
  for (const child of element.childNodes) {
    if (child instanceof Element) {
      const inner = copy(child);
      if (inner) made.append(inner);
    } else if (child.nodeType === Node.TEXT_NODE) {
      made.append(child.textContent ?? "");
    }
  }
  return made;
}

export function svg<K extends keyof SVGElementTagNameMap>(
  tag: K,
  attributes: Record<string, string | number>,
): SVGElementTagNameMap[K] {
  const made = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, String(value));
  return made;
}
