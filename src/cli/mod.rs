//! Row 13. The command line: words in, answers and files out. No computing is done here.

mod args;
mod commands;
mod demo;
mod exit;
mod gather;
mod hand;
mod licences;
mod paper;
mod progress;
mod room;
mod screen;
mod starter;

use std::process::ExitCode;

use clap::{CommandFactory, Parser};

use args::{Cli, Command};
use exit::{Ending, Stop};
use screen::{complain, printed, say};

/// Serves the page at a port; hears a function that is told the address. Given by the program, since
/// command line and page never import each other.
pub type Serve = dyn Fn(u16, &dyn Fn(&str)) -> Result<(), String>;

/// Runs the program on the words of the command line.
pub fn run(serve: &Serve) -> ExitCode {
    crate::files::outlive_size_limits();
    let ended = match Cli::try_parse() {
        Ok(cli) => answer(&cli, serve),
        Err(e) => not_a_command(&e),
    };
    match ended {
        Ok(ending) => ending.into(),
        Err(stop) => {
            complain(&format!("birdbath: {}", stop.text));
            stop.ending.into()
        }
    }
}

/// Help and version are answers, not faults. A fault repeats the user's own words, which are shown harmlessly.
fn not_a_command(e: &clap::Error) -> Result<Ending, Stop> {
    if e.use_stderr() {
        complain(e.render().to_string().trim_end());
        return Ok(Ending::Usage);
    }
    printed(e.print())?;
    Ok(Ending::Answered)
}

fn answer(cli: &Cli, serve: &Serve) -> Result<Ending, Stop> {
    if let Some(shell) = cli.completions {
        let mut script = Vec::new();
        clap_complete::generate(shell, &mut Cli::command(), "birdbath", &mut script);
        say(&String::from_utf8_lossy(&script))?;
        return Ok(Ending::Answered);
    }
    if cli.licences {
        say(&licences::text())?;
        return Ok(Ending::Answered);
    }
    let quiet = cli.quiet;
    match &cli.command {
        None => {
            say(&Cli::command().render_help().to_string())?;
            Ok(Ending::Usage)
        }
        Some(Command::Demo(a)) => demo::demo(a, quiet),
        Some(Command::New(a)) => commands::new(a, quiet),
        Some(Command::Job(a)) => starter::starter(a, quiet),
        Some(Command::Read(a)) => commands::read(a, quiet),
        Some(Command::Flat(a)) => commands::flat(a, quiet),
        Some(Command::Fill(a)) => commands::fill(a, quiet),
        Some(Command::Pour(a)) => commands::pour(a, quiet),
        Some(Command::Sheets(a)) => paper::sheets(a, quiet),
        Some(Command::Submittal(a)) => paper::submittal(a, quiet),
        Some(Command::Recheck(a)) => commands::recheck(a, quiet),
        Some(Command::Run(a)) => paper::run(a, quiet),
        Some(Command::Serve(a)) => commands::serve(a, quiet, serve),
    }
}
