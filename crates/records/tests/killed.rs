//! A program that is killed right after an answer has kept it.

use jarlight_records::{Record, Store, What};
use std::{path::PathBuf, process::Command};

const FOLDER: &str = "JARLIGHT_KILLED_CHILD";

fn record(i: u8) -> Record {
    Record {
        id: format!("{i:032x}"),
        at_ms: u64::from(i),
        learner: "learner".to_owned(),
        what: What::LearnerAdded { name: format!("Learner {i}") },
    }
}

/// The child's side: writes, then waits to be killed with signal 9; nothing is closed or flushed.
#[test]
fn child_that_is_killed() {
    let Ok(folder) = std::env::var(FOLDER) else { return };
    let folder = PathBuf::from(folder);
    let store = Store::open(&folder.join("records.sqlite3")).unwrap();
    for i in 1..=20 {
        store.append(&record(i)).unwrap();
    }
    std::fs::write(folder.join("written"), "20").unwrap();
    // The parent kills it long before this ends.
    std::thread::sleep(std::time::Duration::from_secs(120));
}

#[test]
fn nothing_that_was_appended_is_lost_by_kill_9() {
    let folder = tempfile::tempdir().unwrap();
    let mut child = Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "child_that_is_killed", "--nocapture"])
        .env(FOLDER, folder.path())
        .spawn()
        .unwrap();
    let mark = folder.path().join("written");
    for _ in 0..600 {
        if mark.exists() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(50));
    }
    assert!(mark.exists(), "the child did not write within 30 seconds");
    // On Unix this is signal 9.
    child.kill().unwrap();
    child.wait().unwrap();
    let store = Store::open(&folder.path().join("records.sqlite3")).unwrap();
    assert_eq!(store.learners().unwrap().len(), 1);
    let tally = store.learners().unwrap();
    assert_eq!(tally[0].name, "Learner 20", "the last of twenty names is the one that counts");
}
