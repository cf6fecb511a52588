-- What a doctor would do: open a case, make a mistake, ask, complete, settle the layout.
local found = io.open("found.txt", "w")

local function say(...)
  found:write(table.concat({ ... }, " "), "\n")
  found:flush()
end

local function attempt()
  require("springline").setup({
    cmd = { os.getenv("SPRINGLINE_LSP") },
    settings = { today = "2026-11-24" },
  })
  vim.cmd("filetype plugin on")
  vim.cmd("syntax on")
  vim.cmd("edit case.spring")
  local buffer = vim.api.nvim_get_current_buf()
  say("filetype", vim.bo.filetype)

  local get = vim.lsp.get_clients or vim.lsp.get_active_clients
  local function client()
    return get({ bufnr = buffer })[1] or get()[1]
  end
  assert(vim.wait(20000, function()
    local c = client()
    return c ~= nil and c.initialized ~= false and c.server_capabilities ~= nil
  end), "no client")
  say("attached", client().name, client().offset_encoding or "")

  local function errors()
    return vim.diagnostic.get(buffer, { severity = vim.diagnostic.severity.ERROR })
  end
  local function ask(method, params, patience)
    local answers = vim.lsp.buf_request_sync(buffer, method, params, patience or 20000) or {}
    for _, answer in pairs(answers) do
      assert(answer.err == nil and answer.error == nil, method .. ": " .. vim.inspect(answer))
      return answer.result
    end
  end
  local function place(line, column)
    vim.api.nvim_win_set_cursor(0, { line, column })
    return vim.lsp.util.make_position_params(0, client().offset_encoding)
  end
  local function line_of(pattern)
    for i, text in ipairs(vim.api.nvim_buf_get_lines(buffer, 0, -1, false)) do
      local column = text:find(pattern)
      if column then
        return i, column - 1
      end
    end
    error("no line with " .. pattern)
  end

  -- The whole check has been made when a lens can be shown; then nothing is wrong yet.
  ask("textDocument/codeLens", { textDocument = vim.lsp.util.make_text_document_params(buffer) })
  vim.wait(300, function() return false end)
  say("first", tostring(#errors()))

  -- A comment with a wide character before it, and a misspelt word after.
  vim.api.nvim_buf_set_lines(buffer, 2, 3, false, { "// 😀 é", "usee saltmarsh" })
  assert(vim.wait(20000, function() return #errors() > 0 end), "the mistake is not found")
  say("broken", tostring(errors()[1].lnum))
  vim.api.nvim_buf_set_lines(buffer, 3, 4, false, { "use   saltmarsh // 😀" })
  assert(vim.wait(20000, function() return #errors() == 0 end), "the mistake does not go away")

  local line, column = line_of("12, 22")
  local hover = ask("textDocument/hover", place(line, column))
  say("hover", (hover.contents.value:gsub("\n", " "):match("upper right lateral incisor")) or hover.contents.value)

  line = line_of("follow usual")
  vim.api.nvim_buf_set_lines(buffer, line, line, false, { "  change align, wire " })
  -- In normal mode a cursor cannot stand behind the last character.
  local behind = place(line + 1, 0)
  behind.position = { line = line, character = 21 }
  local offers = ask("textDocument/completion", behind)
  for _, offer in ipairs(offers.items or offers) do
    if offer.label == "niti-14" then
      say("offered", offer.label, offer.detail)
    end
  end
  vim.api.nvim_buf_set_lines(buffer, line, line + 1, false, { "  change align,   wire niti-12" })

  -- A draft is on the menu of the arch; its edit comes once it is chosen.
  local here = place(line_of("follow usual"))
  local actions = ask("textDocument/codeAction", {
    textDocument = here.textDocument,
    range = { start = here.position, ["end"] = here.position },
    context = { diagnostics = {} },
  })
  for _, action in ipairs(actions) do
    if action.title == "draft the steps of this arch" then
      local before = table.concat(vim.api.nvim_buf_get_lines(buffer, 0, -1, false), "\n")
      local chosen = ask("codeAction/resolve", action, 60000)
      if chosen.edit then
        vim.lsp.util.apply_workspace_edit(chosen.edit, client().offset_encoding)
        say("drafted", tostring(table.concat(vim.api.nvim_buf_get_lines(buffer, 0, -1, false), "\n"):match("drafted %d+%-%d+%-%d+")))
        vim.api.nvim_buf_set_lines(buffer, 0, -1, false, vim.split(before, "\n"))
      else
        say("drafted nothing")
      end
    end
  end

  local row, from = line_of("bonded")
  say("coloured", vim.fn.synIDattr(vim.fn.synID(row, from + 1, 1), "name"))

  local function keep(name)
    local lines = vim.api.nvim_buf_get_lines(buffer, 0, -1, false)
    local file = io.open(name, "w")
    file:write(table.concat(lines, "\n"), "\n")
    file:close()
  end
  keep("before.txt")
  local edits = ask("textDocument/formatting", {
    textDocument = vim.lsp.util.make_text_document_params(buffer),
    options = { tabSize = 2, insertSpaces = true },
  })
  vim.lsp.util.apply_text_edits(edits, buffer, client().offset_encoding)
  keep("after.txt")
end

local good, why = xpcall(attempt, debug.traceback)
if not good then
  io.stderr:write(tostring(why), "\n")
  vim.cmd("cquit 1")
end
vim.cmd("quitall!")
