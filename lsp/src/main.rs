//! The language server as a program of its own; `springline lsp` is the same.

fn main() -> std::process::ExitCode {
    springline_lsp::run_stdio()
}
