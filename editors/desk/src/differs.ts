// A file that someone else changed while there is unsaved text: both side by side. Nothing is written before it is
// decided.

import { MergeView } from "@codemirror/merge";
import { EditorState } from "@codemirror/state";
import { EditorView, lineNumbers } from "@codemirror/view";
import { button, h } from "./dom.ts";
import type { OtherText } from "./messages.ts";
import type { Plan } from "./plan.ts";

export function showDifference(plan: Plan, other: OtherText): void {
  document.querySelector("dialog.differs")?.remove();
  const nonce = EditorView.cspNonce.of(document.querySelector<HTMLScriptElement>("script[nonce]")?.nonce ?? "");
  const label = (text: string) => EditorView.contentAttributes.of({ "aria-label": text, tabindex: "0" });
  const merge = other.gone ? null : new MergeView({
    a: { doc: other.text, extensions: [nonce, lineNumbers(), EditorView.lineWrapping, EditorState.readOnly.of(true), label("The file as it is now")] },
    b: { doc: plan.text, extensions: [nonce, lineNumbers(), EditorView.lineWrapping, label("Your text")] },
    revertControls: "a-to-b",
    renderRevertControl: () => h("button", { type: "button", title: "Take this piece over" }, "\u2192"),
    highlightChanges: true,
    gutter: false,
  });
  const decide = (text: string) => {
    dialog.close();
    void plan.decided(text, other.base);
  };
  const dialog = h("dialog", { class: "differs", "aria-labelledby": "differs-title", close: () => { merge?.destroy(); dialog.remove(); } },
    h("h2", { id: "differs-title" }, other.gone ? "The file was removed" : "The file was changed outside"),
    h("p", {}, other.gone
      ? "Your text is still here. It can be written again under the same name."
      : "You have text that is not saved. Left is the file as it is now, right is yours; pieces can be taken over with the arrows. Nothing is written yet."),
    merge ? h("div", { class: "merge" }, merge.dom) : null,
    h("p", { class: "actions" },
      other.gone
        ? button("Write it again", () => decide(plan.text))
        : [
            button("Keep mine", () => decide(plan.text)),
            button("Take theirs", () => decide(other.text)),
            button("Keep what stands right", () => decide(merge?.b.state.doc.toString() ?? plan.text)),
          ],
      button("Decide later", () => dialog.close())));
  document.body.append(dialog);
  dialog.showModal();
}
