-- Springline in Neovim: starts the language server, on 0.7 as on current releases.
local M = {}

M.config = {
  cmd = { "springline", "lsp" },
  -- As in the server's settings: { inlayHints = { force = false } } and the like.
  settings = {},
  capabilities = nil,
  on_attach = nil,
}

--- Changes the configuration; call it before the first plan is opened.
function M.setup(options)
  M.config = vim.tbl_deep_extend("force", M.config, options or {})
end

--- The name that a buffer's `use` line asks for.
local function house_of(buffer)
  for _, line in ipairs(vim.api.nvim_buf_get_lines(buffer, 0, 40, false)) do
    local name = line:match("^%s*use%s+(%S+)")
    if name then
      return name
    end
  end
end

--- The folder that a plan's house file may lie in: the project, a worktree of it (whose `.git` is a file),
--- the folder of the house, or the plan's own.
function M.root_of(buffer)
  local folder = vim.fn.fnamemodify(vim.api.nvim_buf_get_name(buffer), ":p:h")
  local upwards = vim.fn.escape(folder, " ,;") .. ";"
  local project = vim.fn.finddir(".git", upwards)
  if project ~= "" then
    project = vim.fn.fnamemodify(project, ":p:h:h")
  end
  local worktree = vim.fn.findfile(".git", upwards)
  if worktree ~= "" then
    worktree = vim.fn.fnamemodify(worktree, ":p:h")
  end
  -- The nearer of the two.
  if #project > 0 or #worktree > 0 then
    return #worktree > #project and worktree or project
  end
  local house = house_of(buffer)
  if house then
    local file = vim.fn.findfile(house .. ".spring", upwards)
    if file ~= "" then
      return vim.fn.fnamemodify(file, ":p:h")
    end
  end
  return folder
end

--- What the server is told at the start: the settings, and the commands that are run here.
function M.init_options()
  local commands = {}
  for name in pairs(M.commands) do
    commands[#commands + 1] = name
  end
  table.sort(commands)
  return vim.tbl_extend("force", M.config.settings, { commands = commands })
end

--- Runs a command of the program on a file, where the user sees what it says.
local function in_terminal(command)
  return function(action)
    local file = vim.uri_to_fname(action.arguments[1])
    vim.cmd("botright new")
    vim.fn.termopen({ M.config.cmd[1], command, file })
  end
end

M.commands = {
  ["springline.check"] = in_terminal("check"),
  ["springline.schedule"] = in_terminal("schedule"),
  ["springline.course"] = in_terminal("forecast"),
  ["springline.print"] = in_terminal("print"),
  -- After an edit: where something is still to be written.
  ["springline.cursor"] = function(action)
    local at = action.arguments[2]
    local line = vim.api.nvim_buf_get_lines(0, at.line, at.line + 1, false)[1] or ""
    -- The server counts in UTF-16 unless it was asked otherwise; what it writes here is ASCII.
    vim.api.nvim_win_set_cursor(0, { at.line + 1, math.min(at.character, #line) })
    vim.cmd("startinsert")
  end,
}

--- Tells nvim-treesitter where the grammar lies, on its old and on its new branch.
function M.register_parser()
  local here = vim.fn.fnamemodify(debug.getinfo(1, "S").source:sub(2), ":p:h:h:h:h")
  local path = here .. "/tree-sitter"
  local found, parsers = pcall(require, "nvim-treesitter.parsers")
  if not found then
    return false
  end
  local list = type(parsers.get_parser_configs) == "function" and parsers.get_parser_configs() or parsers
  list.springline = {
    install_info = { url = path, path = path, files = { "src/parser.c" } },
    filetype = "springline",
  }
  return true
end

-- One server for each folder, on releases whose client does not see to that itself.
local clients = {}

--- Starts the server for a buffer, or joins the one that serves its folder.
function M.start(buffer)
  local command = M.config.cmd[1]
  if vim.fn.executable(command) == 0 then
    vim.notify_once("springline: `" .. command .. "` is not installed or not on the path", vim.log.levels.WARN)
    return nil
  end
  -- Where the user has enabled the configuration of 0.11, that starts it.
  if vim.lsp.is_enabled and vim.lsp.is_enabled("springline") then
    return nil
  end
  if vim.lsp.commands then
    for name, run in pairs(M.commands) do
      vim.lsp.commands[name] = vim.lsp.commands[name] or run
    end
  end
  local root = M.root_of(buffer)
  local config = {
    name = "springline",
    cmd = M.config.cmd,
    root_dir = root,
    init_options = M.init_options(),
    settings = { springline = M.config.settings },
    capabilities = M.config.capabilities or vim.lsp.protocol.make_client_capabilities(),
    on_attach = M.config.on_attach,
  }
  if vim.lsp.start then
    return vim.lsp.start(config, { bufnr = buffer })
  end
  local known = clients[root]
  if known == nil or vim.lsp.get_client_by_id(known) == nil then
    known = vim.lsp.start_client(config)
    clients[root] = known
  end
  if known then
    vim.lsp.buf_attach_client(buffer, known)
  end
  return known
end

--- Serves the preview of a buffer's plan on this machine and says where. It ends with Neovim.
function M.preview(buffer)
  local file = vim.api.nvim_buf_get_name(buffer)
  local job = vim.fn.jobstart({ M.config.cmd[1], "preview", file }, {
    on_stdout = function(_, lines)
      local address = table.concat(lines, ""):match("http://%S+")
      if not address then
        return
      end
      vim.b[buffer].springline_preview = address
      if vim.ui.open then
        vim.ui.open(address)
      end
      vim.notify("springline: the preview is at " .. address)
    end,
  })
  if job <= 0 then
    vim.notify("springline: the preview does not start", vim.log.levels.WARN)
  end
end

return M
