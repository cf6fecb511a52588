//! `springline lsp`: runs the language server on standard input and output.

use std::process::ExitCode;

pub fn run() -> ExitCode {
    springline_lsp::run_stdio()
}
