//! The language server as a separate program; `springline lsp` is the same.

fn main() -> std::process::ExitCode {
    springline_lsp::run_stdio()
}
