// A name gets another one wherever it means the same. What other files of the folder use keeps its name here: their texts
// are not open, and a plan that kept the old name would be broken.

import { showDialog } from "@codemirror/view";
import { WORDS } from "./deskWords.ts";
import { position } from "./language.ts";
import type { Range, WorkspaceEdit } from "./messages.ts";
import type { Plan } from "./plan.ts";
import type { Wire } from "./wire.ts";

/** The name at the cursor. */
export async function rename(wire: Wire, plan: Plan): Promise<void> {
  const { view, uri } = plan;
  const asked = { textDocument: { uri }, position: position(view.state.doc, view.state.selection.main.head) };
  const found = await wire.request<{ range: Range; placeholder: string } | null>("textDocument/prepareRename", asked).catch(() => null);
  if (!found || !plan.writer) return tell(plan, WORDS.rename.none);
  const input = { name: "name", value: found.placeholder, autocomplete: "off" };
  const { result } = showDialog(view, { label: WORDS.rename.label(found.placeholder), input, submitLabel: WORDS.rename.rename, focus: true, top: true });
  const newName = new FormData((await result) ?? undefined).get("name");
  if (typeof newName !== "string" || newName.trim() === "" || newName === found.placeholder) return view.focus();
  try {
    const edit = await wire.request<WorkspaceEdit | null>("textDocument/rename", { ...asked, newName: newName.trim() });
    const others = filesOf(edit).filter((one) => one !== uri).length;
    if (others > 0) return tell(plan, WORDS.rename.elsewhere(others));
    plan.apply(edit ?? undefined, "rename");
    view.focus();
  } catch (error) {
    tell(plan, error instanceof Error ? error.message : String(error));
  }
}

function tell(plan: Plan, says: string): void {
  showDialog(plan.view, { label: says, submitLabel: WORDS.rename.close, focus: true, top: true });
}

function filesOf(edit: WorkspaceEdit | null): string[] {
  const versioned = (edit?.documentChanges ?? []).map((one) => one.textDocument?.uri ?? "");
  return [...Object.keys(edit?.changes ?? {}), ...versioned];
}
