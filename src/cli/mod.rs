//! Row 13. The command line: words in, answers and files out. No computing is done here.

mod args;
mod commands;
mod demo;
mod exit;
mod gather;
mod licences;
mod progress;

use std::io::Write;
use std::process::ExitCode;

use clap::{CommandFactory, Parser};

use args::{Cli, Command};
use exit::{Ending, Stop};

/// Serves the page at a port; hears a function that is told the address. Given by the program, since
/// command line and page never import each other.
pub type Serve = dyn Fn(u16, &dyn Fn(&str)) -> Result<(), String>;

/// Runs the program on the words of the command line.
pub fn run(serve: &Serve) -> ExitCode {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(e) => {
            // Help and version are answers, not faults; clap knows which stream each goes to.
            let ending = if e.use_stderr() {
                Ending::Usage
            } else {
                Ending::Answered
            };
            let _ = e.print();
            return ending.into();
        }
    };
    match answer(&cli, serve) {
        Ok(ending) => ending.into(),
        Err(stop) => {
            let _ = writeln!(std::io::stderr(), "birdbath: {}", stop.text);
            stop.ending.into()
        }
    }
}

fn answer(cli: &Cli, serve: &Serve) -> Result<Ending, Stop> {
    if let Some(shell) = cli.completions {
        let mut script = Vec::new();
        clap_complete::generate(shell, &mut Cli::command(), "birdbath", &mut script);
        say(&String::from_utf8_lossy(&script));
        return Ok(Ending::Answered);
    }
    if cli.licences {
        say(&licences::text());
        return Ok(Ending::Answered);
    }
    let quiet = cli.quiet;
    match &cli.command {
        None => {
            say(&Cli::command().render_help().to_string());
            Ok(Ending::Usage)
        }
        Some(Command::Demo(a)) => demo::demo(a, quiet),
        Some(Command::New(a)) => commands::new(a, quiet),
        Some(Command::Read(a)) => commands::read(a, quiet),
        Some(Command::Flat(a)) => commands::flat(a, quiet),
        Some(Command::Fill(a)) => commands::fill(a, quiet),
        Some(Command::Pour(a)) => commands::pour(a, quiet),
        Some(Command::Sheets(a)) => commands::sheets(a, quiet),
        Some(Command::Submittal(a)) => commands::submittal(a, quiet),
        Some(Command::Recheck(a)) => commands::recheck(a, quiet),
        Some(Command::Run(a)) => commands::run(a, quiet),
        Some(Command::Serve(a)) => commands::serve(a, quiet, serve),
    }
}

/// Prints an answer. A reader that went away (`| head`) is no fault of ours.
fn say(text: &str) {
    let mut out = std::io::stdout().lock();
    let _ = out.write_all(text.as_bytes());
    if !text.ends_with('\n') {
        let _ = out.write_all(b"\n");
    }
    let _ = out.flush();
}

/// A remark beside the answer.
fn remark(quiet: bool, text: &str) {
    if !quiet {
        let _ = writeln!(std::io::stderr(), "{text}");
    }
}
