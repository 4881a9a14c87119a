//! The program `jarlight`: the terminal commands, and what opens the window.
//!
//! A library, so that tests call the commands in process. It holds no knowledge of its own.

mod args;
mod assets;
mod check;
mod draw;
mod explain;
mod explain_code;
mod files;
mod out;
mod places;
mod reading;
mod report;
mod schema;
pub mod window;

pub use args::WindowArgs;
pub use out::Out;

use args::{Command, Typed};
use clap::Parser as _;
use std::{ffi::OsString, sync::LazyLock};

/// The version of the program, the commit it was built from where the build said so, and the
/// version of the drawing recipes, by which an old picture can be told from a new one.
pub(crate) fn version() -> &'static str {
    static VERSION: LazyLock<String> = LazyLock::new(|| {
        let built = match option_env!("JARLIGHT_COMMIT") {
            Some(commit) if !commit.is_empty() => format!(" ({commit})"),
            _ => String::new(),
        };
        let recipes = jarlight_geometry::overlay::RECIPES;
        format!("{}{built}, drawing recipes {recipes}", env!("CARGO_PKG_VERSION"))
    });
    &VERSION
}

/// What is left to do after the command line was obeyed.
#[derive(Debug)]
pub enum Then {
    /// Leave with this exit code.
    Exit(u8),
    /// Open the window.
    Window(WindowArgs),
}

/// Obeys a command line; the first word is the name of the program.
///
/// Exit codes: 0 done and nothing wrong found; 1 the checked files have errors, or warnings with
/// `--deny-warnings`; 2 the command could not be carried out.
pub fn run(words: impl IntoIterator<Item = OsString>, out: &mut Out<'_>) -> Then {
    let typed = match Typed::try_parse_from(words) {
        Ok(typed) => typed,
        Err(e) if e.use_stderr() => {
            out.message(&e.to_string());
            return Then::Exit(2);
        }
        // Help and version were asked for.
        Err(e) => return Then::Exit(if out.line(&e.to_string()).is_ok() { 0 } else { 2 }),
    };
    let dir = typed.window.assets.as_deref();
    let done = match &typed.command {
        None => return Then::Window(typed.window),
        Some(Command::Check(args)) => check::run(args, dir, out).map_err(Into::into),
        Some(Command::Draw(args)) => draw::run(args, dir).map(|()| 0),
        Some(Command::Explain(args)) => explain::run(args, dir, out).map(|()| 0),
        Some(Command::Reading(args)) => reading::run(args, dir, out).map(|()| 0),
        Some(Command::ExplainCode(args)) => {
            explain_code::run(args.code.as_deref(), out).map_err(Into::into)
        }
        Some(Command::Schema(args)) => schema::run(args, dir, out).map(|()| 0),
    };
    Then::Exit(done.unwrap_or_else(|e| {
        let text = format!("{e:#}");
        // Diagnostics bring their own first word.
        let plain = !text.starts_with("error[") && !text.starts_with("warning[");
        out.message(&if plain { format!("error: {text}") } else { text });
        2
    }))
}
