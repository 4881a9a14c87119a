//! The program `jarlight`: hands the command line, the streams and the screen to the library.

use jarlight_cli::{Out, Then, run, window};
use std::{env, io, process::ExitCode};

fn main() -> ExitCode {
    let (mut data, mut messages) = (io::stdout().lock(), io::stderr().lock());
    let mut out = Out::new(&mut data, &mut messages);
    match run(env::args_os(), &mut out) {
        Then::Exit(code) => code.into(),
        Then::Window(args) => window::open(args, display(), &mut out).into(),
    }
}

/// Whether there is a screen to open a window on; asking the window system itself would print
/// its own messages.
fn display() -> bool {
    let set = |name| env::var_os(name).is_some_and(|value| !value.is_empty());
    cfg!(any(windows, target_os = "macos")) || set("DISPLAY") || set("WAYLAND_DISPLAY")
}
