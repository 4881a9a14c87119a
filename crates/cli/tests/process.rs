//! The built program as others start it: exit codes, streams, closed pipes, no display.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::{
    fs,
    path::Path,
    process::{Command, Output},
};

fn jarlight(words: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_jarlight"));
    command.args(words).current_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("../.."));
    // Whoever runs the tests may sit at a screen.
    command.env_remove("DISPLAY").env_remove("WAYLAND_DISPLAY");
    command
}

fn run(words: &[&str]) -> (Option<i32>, String, String) {
    let Output { status, stdout, stderr } = jarlight(words).output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (status.code(), text(stdout), text(stderr))
}

#[test]
fn exit_codes_tell_sound_files_from_faulty_ones_and_from_unreadable_ones() {
    let bad = "tests/fixtures/bad/syntax.scenario.ron";
    let warned = "tests/fixtures/bad/unused-scene.scenario.ron";
    for (words, code) in [
        (&["check", "scenarios"][..], 0),
        (&["check", bad], 1),
        (&["check", warned], 0),
        (&["check", warned, "--deny-warnings"], 1),
        (&["check", "no/such/file.ron"], 2),
        // What could not be read outranks what is wrong.
        (&["check", bad, "no/such/file.ron"], 2),
        (&["explain", bad], 2),
        (&["draw", "--design", "nothing", "-o", "nothing.svg"], 2),
        (&["explain-code", "syntax"], 0),
        (&["explain-code", "no-such-code"], 2),
        (&["--help"], 0),
        (&["--version"], 0),
        (&["--no-such-flag"], 2),
        (&["check"], 2),
    ] {
        assert_eq!(run(words).0, Some(code), "{words:?}");
    }
}

#[test]
fn what_was_asked_for_and_messages_are_kept_apart() {
    let (code, data, messages) = run(&["check", "tests/fixtures/bad/syntax.scenario.ron"]);
    assert_eq!(code, Some(1));
    assert!(data.starts_with("error[syntax]") && messages.is_empty(), "{data}{messages}");
    let (_, data, messages) = run(&["draw", "--design", "nothing", "-o", "nothing.svg"]);
    assert!(data.is_empty() && messages.starts_with("error[unknown-design]"), "{data}{messages}");
}

#[test]
fn a_reader_that_has_seen_enough_is_no_failure() {
    let (reader, writer) = std::io::pipe().unwrap();
    drop(reader);
    let done = jarlight(&["explain-code"]).stdout(writer).output().unwrap();
    assert_eq!(done.status.code(), Some(0));
    assert!(done.stderr.is_empty(), "{}", String::from_utf8_lossy(&done.stderr));
}

#[test]
#[cfg(not(any(windows, target_os = "macos")))]
fn without_a_display_one_line_names_the_terminal_commands() {
    let (code, data, messages) = run(&[]);
    assert_eq!(code, Some(2));
    assert!(data.is_empty());
    assert_eq!(messages.lines().count(), 1, "{messages}");
    assert!(messages.contains("check, draw, explain, reading, explain-code"), "{messages}");
}

#[test]
#[cfg(not(any(windows, target_os = "macos")))]
fn a_display_that_does_not_answer_is_told_in_one_line_too() {
    let home = tempfile::tempdir().unwrap();
    let mut command = jarlight(&["--home", home.path().to_str().unwrap()]);
    let done = command.env("DISPLAY", ":59999").output().unwrap();
    assert_eq!(done.status.code(), Some(2));
    let messages = String::from_utf8(done.stderr).unwrap();
    assert_eq!(messages.lines().count(), 1, "{messages}");
    assert!(messages.contains("check, draw, explain, reading, explain-code"), "{messages}");
}

#[test]
fn a_figure_appears_whole_or_not_at_all() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("edge.svg");
    let out = file.to_str().unwrap();
    assert_eq!(run(&["draw", "--design", "medium_pasted", "-o", out]).0, Some(0));
    let svg = fs::read_to_string(&file).unwrap();
    assert!(svg.trim_end().ends_with("</svg>"));
    // A figure that cannot be drawn leaves the old one as it was.
    let words = ["draw", "--design", "medium_pasted", "--condition", "x=1", "-o", out];
    assert_eq!(run(&words).0, Some(2));
    assert_eq!(fs::read_to_string(&file).unwrap(), svg);
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
}
