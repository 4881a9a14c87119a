//! Each broken file is checked by `jarlight check` and must give exactly what stands in the text
//! beside it: code, line and column of every fault.

use jarlight_model::diag::Code;
use jarlight_tests::{files, golden, jarlight, root};
use std::{collections::BTreeSet, fs, path::PathBuf};

/// Faults of text and meaning, and those that only the drawing knows.
const FOLDERS: [&str; 2] = ["tests/fixtures/bad", "tests/fixtures/bad_drawn"];

fn broken() -> Vec<PathBuf> {
    FOLDERS.iter().flat_map(|f| files(&root().join(f), ".ron")).collect()
}

/// `code line:col` of every diagnostic in the report.
fn faults(report: &str) -> String {
    let mut out = String::new();
    let mut lines = report.lines().peekable();
    while let Some(line) = lines.next() {
        let code = ["error[", "warning["].iter().find_map(|w| line.strip_prefix(w));
        let Some((code, _)) = code.and_then(|c| c.split_once(']')) else { continue };
        let place = lines.peek().and_then(|l| l.trim_start().strip_prefix("--> ")).unwrap();
        let mut numbers = place.rsplitn(3, ':');
        let (col, line) = (numbers.next().unwrap(), numbers.next().unwrap_or(""));
        if line.chars().all(|c| c.is_ascii_digit()) && !line.is_empty() {
            out += &format!("{code} {line}:{col}\n");
        } else {
            out += &format!("{code}\n");
        }
    }
    out
}

#[test]
fn every_broken_file_gives_its_faults_at_their_places() {
    let broken = broken();
    assert!(broken.len() >= 15, "only {} files", broken.len());
    let mut wrong = String::new();
    for file in broken {
        let name = file.strip_prefix(root()).unwrap().display().to_string();
        let expected = fs::read_to_string(file.with_extension("txt")).unwrap();
        let ran = jarlight(["check", "--deny-warnings", file.to_str().unwrap()]);
        let met = faults(&ran.data);
        if met != expected || ran.code != Some(1) {
            wrong += &format!("{name}: exit {:?}\nexpected {expected}met {met}", ran.code);
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn every_code_has_a_broken_file_and_a_page() {
    let mut met = BTreeSet::new();
    for file in broken() {
        let text = fs::read_to_string(file.with_extension("txt")).unwrap();
        met.extend(text.lines().filter_map(|l| l.split(' ').next()).map(str::to_owned));
    }
    // A missing file and a file over the limit cannot be kept; tests of the commands make them.
    met.extend(["unreadable".to_owned(), "too-big".to_owned()]);
    for code in Code::ALL {
        assert!(met.contains(code.as_str()), "no broken file gives {code}");
        let page = jarlight(["explain-code", code.as_str()]);
        assert_eq!(page.code, Some(0), "{code}");
        assert!(page.data.contains(code.doc()), "{code}");
    }
}

#[test]
fn a_whole_folder_reports_all_its_files() {
    let folder = root().join(FOLDERS[0]);
    let ran = jarlight(["check", folder.to_str().unwrap()]);
    assert_eq!(ran.code, Some(1));
    for file in files(&folder, ".ron") {
        let name = file.to_str().unwrap();
        assert!(ran.data.contains(&format!("--> {name}")), "{name} is not in the report");
    }
}

#[test]
fn the_report_reads_as_it_should() {
    let file = root().join("tests/fixtures/bad/unclosed-bracket.scenario.ron");
    let ran = jarlight(["check", file.to_str().unwrap()]);
    let text = ran.data.replace(file.to_str().unwrap(), "FILE");
    golden("text/unclosed-bracket.txt", &text);
}

#[test]
fn a_photograph_is_checked_with_the_picture_beside_it() {
    let sound = jarlight(["check", &jarlight_tests::path("tests/cases/cell.photo.ron")]);
    assert_eq!(sound.code, Some(0), "{}", sound.data);
    let text = fs::read_to_string(root().join("tests/cases/cell.photo.ron")).unwrap();
    let picture = fs::read(root().join("tests/cases/cell.png")).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("cell.photo.ron");
    let met = |text: &str, picture: &[u8]| {
        fs::write(&file, text).unwrap();
        fs::write(folder.path().join("cell.png"), picture).unwrap();
        faults(&jarlight(["check", file.to_str().unwrap()]).data)
    };
    assert_eq!(met(&text, &picture), "");
    assert_eq!(met(&text.replace("right: 100", "right: 121"), &picture), "out-of-range 6:48\n");
    assert_eq!(met(&text, &picture[..picture.len() / 2]), "bad-picture 3:14\n");
    assert_eq!(met(&text.replace("positive_plate", "positiv_plate"), &picture), {
        "unknown-part 6:22\n"
    });
}
