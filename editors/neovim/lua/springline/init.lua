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

--- The folder that a plan's house file may lie in: the project, or the plan's own folder.
local function root_of(buffer)
  local folder = vim.fn.fnamemodify(vim.api.nvim_buf_get_name(buffer), ":p:h")
  local project = vim.fn.finddir(".git", vim.fn.escape(folder, " ,;") .. ";")
  if project == "" then
    return folder
  end
  return vim.fn.fnamemodify(project, ":p:h:h")
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
  local root = root_of(buffer)
  local config = {
    name = "springline",
    cmd = M.config.cmd,
    root_dir = root,
    init_options = M.config.settings,
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
