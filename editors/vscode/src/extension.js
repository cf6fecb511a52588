// The client: starts `springline lsp` and hands it the settings. What the server says is all there is.
const crypto = require("crypto");
const vscode = require("vscode");
const { LanguageClient } = require("vscode-languageclient/node");
const { choose } = require("./program");

let client;

function program(context) {
  const configured = vscode.workspace.getConfiguration("springline").get("path", "");
  return choose(configured, context.extensionPath);
}

async function start(context) {
  const run = { command: program(context), args: ["lsp"] };
  client = new LanguageClient(
    "springline",
    "Springline",
    { run, debug: run },
    {
      documentSelector: [{ language: "springline" }],
      synchronize: { configurationSection: "springline" },
      initializationOptions: settings(),
    },
  );
  try {
    await client.start();
  } catch (error) {
    const choice = await vscode.window.showErrorMessage(
      `The Springline server \`${run.command} lsp\` does not start: ${error.message}`,
      "Open settings",
    );
    if (choice) {
      vscode.commands.executeCommand("workbench.action.openSettings", "springline.path");
    }
  }
}

function settings() {
  const all = vscode.workspace.getConfiguration("springline");
  return {
    inlayHints: all.get("inlayHints"),
    codeLens: all.get("codeLens"),
    closedFiles: all.get("closedFiles"),
    typingPause: all.get("typingPause"),
    // What this extension runs itself; lenses and actions are sent for these only.
    commands: ["check", "schedule", "course", "print", "cursor"].map((name) => `springline.${name}`),
  };
}

// The preview: the server makes the page, this panel shows it beside the text. It follows the cursor,
// until a moment of the course is chosen on the page.
let panel;
let shown;
let chosen = null;
let typing = false;
let waiting;

async function ask(whole) {
  const target = shown;
  if (!panel || !target || !client?.isRunning()) return;
  const params = { textDocument: { uri: target.document.uri.toString() } };
  if (chosen === null) {
    params.position = client.code2ProtocolConverter.asPosition(target.selection.active);
  } else {
    params.at = chosen;
  }
  if (whole) params.nonce = crypto.randomBytes(16).toString("hex");
  let found = null;
  try {
    found = await client.sendRequest("springline/preview", params);
  } catch {
    // The text has moved on; the change that moved it asks again.
  }
  if (!found || !panel || target !== shown) return;
  if (whole) panel.webview.html = found.html;
  else panel.webview.postMessage({ html: found.html, cursor: chosen === null });
}

// Many keys in a row are one question.
function askSoon() {
  clearTimeout(waiting);
  waiting = setTimeout(() => ask(false), 60);
}

function isPlan(editor) {
  return editor?.document.languageId === "springline";
}

async function preview(context) {
  if (!isPlan(vscode.window.activeTextEditor)) return;
  shown = vscode.window.activeTextEditor;
  chosen = null;
  if (panel) return panel.reveal(undefined, true);
  const beside = { viewColumn: vscode.ViewColumn.Beside, preserveFocus: true };
  const options = { enableScripts: true, localResourceRoots: [], retainContextWhenHidden: true };
  panel = vscode.window.createWebviewPanel("springline.preview", "Springline preview", beside, options);
  panel.onDidDispose(() => (panel = undefined), null, context.subscriptions);
  panel.webview.onDidReceiveMessage((message) => {
    chosen = Number.isInteger(message.at) ? message.at : null;
    ask(false);
  });
  await ask(true);
}

function follow(context) {
  const window = vscode.window;
  context.subscriptions.push(
    window.onDidChangeActiveTextEditor((editor) => {
      if (!isPlan(editor) || editor === shown) return;
      [shown, chosen] = [editor, null];
      askSoon();
    }),
    window.onDidChangeTextEditorSelection((event) => {
      // Typing moves the cursor too; it does not undo what was chosen on the page.
      const { Keyboard, Mouse } = vscode.TextEditorSelectionChangeKind;
      const moved = event.kind === Mouse || (event.kind === Keyboard && !typing);
      typing = false;
      if (event.textEditor !== shown || !moved) return;
      chosen = null;
      askSoon();
    }),
    vscode.workspace.onDidChangeTextDocument((event) => {
      if (event.document !== shown?.document) return;
      typing = true;
      askSoon();
    }),
  );
}

// Commands of the lenses run the program itself, where the user sees what it says.
function inTerminal(context, command, uri) {
  const target = uri ? vscode.Uri.parse(uri) : vscode.window.activeTextEditor?.document.uri;
  if (!target || target.scheme !== "file") {
    vscode.window.showInformationMessage("Save the case first; it is read from its file.");
    return;
  }
  const terminal = vscode.window.createTerminal({
    name: `springline ${command}`,
    shellPath: program(context),
    shellArgs: [command, target.fsPath],
    isTransient: true,
  });
  terminal.show(true);
}

// After an edit: the cursor goes where something is still to be written.
function goTo(uri, position) {
  const editor = vscode.window.activeTextEditor;
  if (!editor || editor.document.uri.toString() !== vscode.Uri.parse(uri).toString()) return;
  const at = client.protocol2CodeConverter.asPosition(position);
  editor.selection = new vscode.Selection(at, at);
  editor.revealRange(new vscode.Range(at, at));
}

exports.activate = async (context) => {
  const commands = vscode.commands;
  context.subscriptions.push(
    ...["print", "course", "schedule", "check"].map((name) =>
      commands.registerCommand(`springline.${name}`, (uri) => inTerminal(context, name, uri)),
    ),
    commands.registerCommand("springline.cursor", goTo),
    commands.registerCommand("springline.preview", () => preview(context)),
    commands.registerCommand("springline.restart", async () => {
      await client?.stop();
      await start(context);
    }),
  );
  follow(context);
  await start(context);
};

exports.deactivate = () => client?.stop();
