-- Settings of a plan's buffer, and its language server.
if vim.b.did_ftplugin then
  return
end
vim.b.did_ftplugin = 1

vim.bo.commentstring = "// %s"
vim.bo.comments = "://"
vim.bo.expandtab = true
vim.bo.shiftwidth = 2
vim.bo.softtabstop = 2
-- Words of the language have hyphens: open-coil, class-2.
vim.bo.iskeyword = vim.bo.iskeyword .. ",-"

vim.b.undo_ftplugin = "setlocal commentstring< comments< expandtab< shiftwidth< softtabstop< iskeyword<"
  .. " | silent! delcommand -buffer SpringlinePreview"

-- A function of Lua can be called this way on 0.7 too.
vim.cmd("command! -buffer SpringlinePreview lua require('springline').preview(vim.api.nvim_get_current_buf())")

-- With its parser built (see the README) tree-sitter colours; without, the syntax file does.
if vim.treesitter and vim.treesitter.start then
  pcall(vim.treesitter.start, vim.api.nvim_get_current_buf(), "springline")
end

require("springline").start(vim.api.nvim_get_current_buf())
