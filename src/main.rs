//! The `sumpwright` program.
#![forbid(unsafe_code)]

use std::process::ExitCode;

fn main() -> ExitCode {
    sumpwright::cli::run(std::env::args_os())
}
