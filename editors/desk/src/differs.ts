// A file that someone else changed while there is unsaved text: both side by side. Nothing is written before it is
// decided.

import { MergeView } from "@codemirror/merge";
import { EditorState } from "@codemirror/state";
import { EditorView, lineNumbers } from "@codemirror/view";
import { WORDS } from "./deskWords.ts";
import { button, h } from "./dom.ts";
import type { OtherText } from "./messages.ts";
import type { Plan } from "./plan.ts";

export function showDifference(plan: Plan, other: OtherText): void {
  document.querySelector("dialog.differs")?.remove();
  const nonce = EditorView.cspNonce.of(document.querySelector<HTMLScriptElement>("script[nonce]")?.nonce ?? "");
  const label = (text: string) => EditorView.contentAttributes.of({ "aria-label": text, tabindex: "0" });
  const merge = other.gone ? null : new MergeView({
    a: { doc: other.text, extensions: [nonce, lineNumbers(), EditorView.lineWrapping, EditorState.readOnly.of(true), label(WORDS.differs.file)] },
    b: { doc: plan.text, extensions: [nonce, lineNumbers(), EditorView.lineWrapping, label(WORDS.differs.own)] },
    revertControls: "a-to-b",
    renderRevertControl: () => h("button", { type: "button", title: WORDS.differs.take }, "\u2192"),
    highlightChanges: true,
    gutter: false,
  });
  const decide = (text: string) => {
    dialog.close();
    void plan.decided(text, other.base);
  };
  const dialog = h("dialog", { class: "differs", "aria-labelledby": "differs-title", close: () => { merge?.destroy(); dialog.remove(); } },
    h("h2", { id: "differs-title" }, other.gone ? WORDS.differs.gone : WORDS.differs.changed),
    h("p", {}, other.gone
      ? WORDS.differs.whyGone
      : WORDS.differs.whyChanged),
    merge ? h("div", { class: "merge" }, merge.dom) : null,
    h("p", { class: "actions" },
      other.gone
        ? button(WORDS.differs.again, () => decide(plan.text))
        : [
            button(WORDS.differs.mine, () => decide(plan.text)),
            button(WORDS.differs.theirs, () => decide(other.text)),
            button(WORDS.differs.right, () => decide(merge?.b.state.doc.toString() ?? plan.text)),
          ],
      button(WORDS.differs.later, () => dialog.close())));
  document.body.append(dialog);
  dialog.showModal();
}
