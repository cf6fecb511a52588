-- For Neovim 0.11 and later: vim.lsp.enable("springline"). What `require("springline").setup` was given
-- holds here too.
local springline = require("springline")

return {
  cmd = springline.config.cmd,
  filetypes = { "springline" },
  root_dir = function(buffer, on_dir)
    on_dir(springline.root_of(buffer))
  end,
  init_options = springline.init_options(),
  settings = { springline = springline.config.settings },
}
