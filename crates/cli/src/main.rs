//! The program `jarlight`: hands the command line, the streams and the screen to the library.

use jarlight_cli::{
    Out, Then, run,
    window::{self, Surroundings},
};
use std::{env, io, path::PathBuf, process::ExitCode};

fn main() -> ExitCode {
    let (mut data, mut messages) = (io::stdout().lock(), io::stderr().lock());
    let mut out = Out::new(&mut data, &mut messages);
    match run(env::args_os(), &mut out) {
        Then::Exit(code) => code.into(),
        Then::Window(args) => window::open(args, &surroundings(), &mut out).into(),
    }
}

/// What the environment says of screen and folders.
fn surroundings() -> Surroundings {
    let path = |name| env::var_os(name).filter(|v| !v.is_empty()).map(PathBuf::from);
    let set = |name| path(name).is_some();
    // Asking the window system itself would print its own messages.
    let display =
        cfg!(any(windows, target_os = "macos")) || set("DISPLAY") || set("WAYLAND_DISPLAY");
    let data = if cfg!(windows) { "LOCALAPPDATA" } else { "XDG_DATA_HOME" };
    Surroundings { display, home: path("JARLIGHT_HOME"), data: path(data), user: env::home_dir() }
}
