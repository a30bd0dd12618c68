//! The binary: hands the arguments to `pintle::commands`.
fn main() {}
