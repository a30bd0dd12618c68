//! The binary: hands over to `pintle::commands` and returns its exit status.

use std::process::ExitCode;

fn main() -> ExitCode {
    ExitCode::from(pintle::commands::run())
}
