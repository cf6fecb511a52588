// The client: starts `springline lsp` and hands it the settings. What the server says is all there is.
const vscode = require("vscode");
const { LanguageClient } = require("vscode-languageclient/node");

let client;

function program() {
  return vscode.workspace.getConfiguration("springline").get("path", "springline");
}

async function start(context) {
  const run = { command: program(), args: ["lsp"] };
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
  return { inlayHints: all.get("inlayHints"), codeLens: all.get("codeLens") };
}

// Commands of the lenses run the program itself, where the user sees what it says.
function inTerminal(command, uri) {
  const target = uri ? vscode.Uri.parse(uri) : vscode.window.activeTextEditor?.document.uri;
  if (!target || target.scheme !== "file") {
    vscode.window.showInformationMessage("Save the case first; it is read from its file.");
    return;
  }
  const terminal = vscode.window.createTerminal({
    name: `springline ${command}`,
    shellPath: program(),
    shellArgs: [command, target.fsPath],
    isTransient: true,
  });
  terminal.show(true);
}

exports.activate = async (context) => {
  const commands = vscode.commands;
  context.subscriptions.push(
    commands.registerCommand("springline.print", (uri) => inTerminal("print", uri)),
    commands.registerCommand("springline.course", (uri) => inTerminal("course", uri)),
    commands.registerCommand("springline.restart", async () => {
      await client?.stop();
      await start(context);
    }),
  );
  await start(context);
};

exports.deactivate = () => client?.stop();
