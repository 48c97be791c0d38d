use std::process::ExitCode;

fn main() -> ExitCode {
    potwatch::command::run(std::env::args_os()).into()
}
