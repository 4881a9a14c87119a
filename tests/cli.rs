//! The terminal commands: exit codes, what they write, and what they refuse.

use jarlight_tests::{golden, jarlight, path};
use std::{fs, path::Path};

fn draw(file: &Path, more: &[&str]) -> jarlight_tests::Ran {
    let words = ["draw", "--design", "medium_pasted", "-o", file.to_str().unwrap()];
    jarlight(words.into_iter().chain(more.iter().copied()))
}

/// The ids of all elements of an SVG text, in order.
fn ids(svg: &str) -> Vec<&str> {
    svg.split(" id=\"").skip(1).map(|rest| rest.split('"').next().unwrap()).collect()
}

#[test]
fn help_and_version_are_asked_for_and_so_succeed() {
    for words in [vec!["--help"], vec!["-h"], vec!["check", "--help"], vec!["--version"]] {
        let ran = jarlight(words.iter().copied());
        assert_eq!(ran.code, Some(0), "{words:?}");
        assert!(ran.messages.is_empty() && ran.data.contains("jarlight"), "{ran:?}");
    }
    let mut all = String::new();
    for command in
        [None, Some("check"), Some("draw"), Some("explain"), Some("explain-code"), Some("schema")]
    {
        all += &jarlight(command.into_iter().chain(["-h"])).data;
        all += "\n";
    }
    golden("text/help.txt", &all);
}

#[test]
fn no_command_asks_for_the_window() {
    assert_eq!(jarlight([]).code, None);
    assert_eq!(jarlight(["--assets", "somewhere"]).code, None);
}

#[test]
fn a_slip_of_the_pen_is_answered_with_the_nearest_word() {
    let edge = Path::new("/nowhere/edge.svg");
    for (ran, near) in [
        (jarlight(["chek", "x"]), "'check'"),
        (draw(edge, &["--condition", "sediment_dork=0.5"]), "`sediment_dark`"),
        (draw(edge, &["--view", "egde"]), "'edge'"),
        (jarlight(["draw", "--design", "medium_paste", "-o", "x.svg"]), "`medium_pasted`"),
        (jarlight(["explain-code", "unknown-prat"]), "`unknown-part`"),
        (jarlight(["check", &path("scenarios/01_part")]), "01_parts`"),
    ] {
        assert_eq!(ran.code, Some(2), "{ran:?}");
        assert!((ran.messages + &ran.data).contains(near), "no {near}");
    }
}

#[test]
fn our_own_content_is_sound() {
    let ran = jarlight(["check", &path("assets"), &path("scenarios"), "--deny-warnings"]);
    assert_eq!(ran.code, Some(0), "{}", ran.data);
    // Replaced by itself the catalogue is the same.
    let ran = jarlight(["check", &path("scenarios"), "--assets", &path("assets")]);
    assert_eq!(ran.code, Some(0), "{}", ran.data);
}

#[test]
fn what_cannot_be_read_is_named_and_exits_with_2() {
    let folder = tempfile::tempdir().unwrap();
    let big = folder.path().join("big.ron");
    fs::write(&big, " ".repeat(1024 * 1024 + 1)).unwrap();
    let ran = jarlight(["check", big.to_str().unwrap()]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.data.starts_with("error[too-big]: the file has 1048577 bytes"), "{}", ran.data);

    let missing = folder.path().join("bag.ron");
    let ran = jarlight(["check", missing.to_str().unwrap()]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.data.contains("error[unreadable]"), "{}", ran.data);
    assert!(ran.data.contains("big.ron`?"), "{}", ran.data);

    let empty = folder.path().join("empty");
    fs::create_dir(&empty).unwrap();
    assert_eq!(jarlight(["check", empty.to_str().unwrap()]).code, Some(2));

    // The limit itself is still read: one comment that fills the file.
    let text = "Case(format: 1, findings: {})";
    fs::write(&big, format!("{text}//{}", "x".repeat(1024 * 1024 - text.len() - 2))).unwrap();
    assert_eq!(jarlight(["check", big.to_str().unwrap()]).code, Some(0));
}

#[test]
fn the_kind_is_told_by_the_content_whatever_the_name() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("holiday.txt");
    fs::write(&file, "Case(format: 1, age_month: 3)").unwrap();
    let ran = jarlight(["check", file.to_str().unwrap()]);
    assert_eq!(ran.code, Some(1));
    assert!(ran.data.contains("did you mean `age_months`?"), "{}", ran.data);
}

#[test]
fn warnings_count_only_when_they_are_denied() {
    let file = path("tests/fixtures/bad/unused-scene.scenario.ron");
    assert_eq!(jarlight(["check", &file]).code, Some(0));
    assert_eq!(jarlight(["check", &file, "--deny-warnings"]).code, Some(1));
}

#[test]
fn the_edge_view_has_one_group_for_each_part() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("edge.svg");
    let ran = draw(&file, &["--view", "edge"]);
    assert_eq!((ran.code, ran.data.as_str(), ran.messages.as_str()), (Some(0), "", ""));
    let svg = fs::read_to_string(&file).unwrap();
    let head =
        "<g id=\"positive_plate-3\" data-part=\"positive_plate\"><title>Positive plate 3</title>";
    assert!(svg.contains(head));
    let all = ids(&svg);
    for (part, n) in [
        ("positive_plate", 6),
        ("negative_plate_end", 2),
        ("negative_plate_inside", 5),
        ("separator", 12),
        ("retainer_mat", 12),
    ] {
        let wanted: Vec<String> = (1..=n).map(|i| format!("{part}-{i}")).collect();
        let met: Vec<&&str> = all.iter().filter(|id| id.contains(part)).collect();
        assert_eq!(met, wanted.iter().collect::<Vec<_>>(), "{part}");
    }
    let mut single = all.clone();
    single.sort_unstable();
    single.dedup();
    assert_eq!(single.len(), all.len(), "an id stands twice");
    let groups = svg.matches("data-part=\"").count();
    let parts = all.iter().filter(|id| id.contains('-')).count();
    assert_eq!(groups, parts, "an id that is no part looks like one");
}

#[test]
fn plates_are_numbered_from_the_left() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("edge.svg");
    draw(&file, &["--labels", "none"]);
    let svg = fs::read_to_string(&file).unwrap();
    let left = |id: &str| -> f64 {
        let group = svg.split(&format!("<g id=\"{id}\"")).nth(1).unwrap();
        let path = group.split("<path d=\"M").nth(1).unwrap();
        let number = path.split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'));
        number.filter(|n| !n.is_empty()).map(|n| n.parse().unwrap()).next().unwrap()
    };
    for part in ["positive_plate", "separator", "negative_plate_inside"] {
        for i in 1..5 {
            let (a, b) = (left(&format!("{part}-{i}")), left(&format!("{part}-{}", i + 1)));
            assert!(a < b, "{part}-{i} at {a}, the next at {b}");
        }
    }
}

#[test]
fn a_figure_is_replaced_and_the_same_words_give_the_same_bytes() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("a.svg");
    fs::write(&file, "old").unwrap();
    let words = ["--view", "face", "--seed", "7", "--condition", "sediment_dark=0.6"];
    assert_eq!(draw(&file, &words).code, Some(0));
    let first = fs::read(&file).unwrap();
    assert_eq!(draw(&file, &words).code, Some(0));
    assert!(fs::read(&file).unwrap() == first, "the second figure differs");
    assert!(first.starts_with(b"<"));
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "something was left behind");
    draw(&file, &["--view", "face", "--seed", "8", "--condition", "sediment_dark=0.6"]);
    assert!(fs::read(&file).unwrap() != first, "the seed changes nothing");
}

#[test]
fn conditions_change_the_picture_more_as_they_grow() {
    let folder = tempfile::tempdir().unwrap();
    let drawn = |words: &[&str]| {
        let file = folder.path().join("a.svg");
        let ran = draw(&file, words);
        assert_eq!(ran.code, Some(0), "{words:?} {}", ran.messages);
        let svg = fs::read_to_string(&file).unwrap();
        // The caption tells the condition, so it is left out of the comparison.
        svg.lines().filter(|l| !l.contains("<text")).map(str::to_owned).collect::<Vec<_>>()
    };
    let healthy = drawn(&["--labels", "none"]);
    for id in [
        "sediment_light",
        "sediment_dark",
        "pos_sulfate_sparkle",
        "pos_plate_growth",
        "level_low",
        "post_seal_creep",
    ] {
        let at = |s: f64| drawn(&["--labels", "none", "--condition", &format!("{id}={s}")]);
        let (half, whole) = (at(0.5), at(1.0));
        // The pictures are too long to be printed.
        assert!(at(0.0) == healthy, "{id} at 0 is not healthy");
        assert!(half != healthy, "{id} at 0.5 looks healthy");
        assert!(whole != half, "{id} at 1 looks like 0.5");
    }
}

#[test]
fn the_lamp_shows_what_glints() {
    let folder = tempfile::tempdir().unwrap();
    let size = |lamp: &str| {
        let file = folder.path().join("a.svg");
        let words = ["--condition", "pos_sulfate_sparkle=0.8", "--lamp", lamp];
        assert_eq!(draw(&file, &words).code, Some(0), "{lamp}");
        fs::read(&file).unwrap().len()
    };
    let (auto, off, here, away) = (size("auto"), size("off"), size("60,150"), size("-900,-900"));
    assert!(auto > off && here > off, "{auto} {here} {off}");
    assert_eq!(away, off);
}

#[test]
fn pictures_and_pages_are_what_their_ending_says() {
    let folder = tempfile::tempdir().unwrap();
    for (name, magic) in [("a.png", &b"\x89PNG\r\n\x1a\n"[..]), ("a.PDF", b"%PDF-")] {
        let file = folder.path().join(name);
        assert_eq!(draw(&file, &["--view", "plan", "--theme", "dark"]).code, Some(0), "{name}");
        assert!(fs::read(&file).unwrap().starts_with(magic), "{name}");
    }
    let ran = draw(&folder.path().join("a.jpg"), &[]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.messages.contains(".svg, .png or .pdf"), "{}", ran.messages);
}

#[test]
fn what_cannot_be_drawn_or_written_says_why() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("a.svg");
    for (words, why) in [
        (vec!["--condition", "level_low=1.5"], "from 0 to 1"),
        (vec!["--condition", "level_low"], "expected an id"),
        (vec!["--lamp", "left"], "expected auto, off"),
    ] {
        let ran = draw(&file, &words);
        assert_eq!(ran.code, Some(2), "{words:?}");
        assert!(ran.messages.contains(why), "{}", ran.messages);
    }
    let ran = draw(&folder.path().join("no/such/folder/a.svg"), &[]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.messages.contains("cannot be written"), "{}", ran.messages);

    let design = path("tests/fixtures/bad_drawn/impossible-design.design.ron");
    let ran = jarlight(["draw", "--design", &design, "-o", file.to_str().unwrap()]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.messages.starts_with("error[impossible-design]"), "{}", ran.messages);
    assert!(ran.messages.contains("20 + 1.5 = 21.5 mm"), "{}", ran.messages);
    assert!(!file.exists());
}

#[test]
fn a_folder_of_assets_replaces_and_adds() {
    let folder = tempfile::tempdir().unwrap();
    let designs = folder.path().join("designs");
    fs::create_dir(&designs).unwrap();
    let text = fs::read_to_string(path("assets/designs/medium_pasted.ron")).unwrap();
    let four = text.replace("positives: 6", "positives: 4");
    fs::write(designs.join("medium_pasted.ron"), &four).unwrap();
    let own = text.replace("\"medium_pasted\"", "\"my_own\"");
    fs::write(designs.join("my_own.ron"), own).unwrap();
    let assets = folder.path().to_str().unwrap();
    let file = folder.path().join("a.svg");
    let count = |design: &str| {
        let out = file.to_str().unwrap();
        let ran = jarlight(["draw", "--assets", assets, "--design", design, "-o", out]);
        assert_eq!(ran.code, Some(0), "{}", ran.messages);
        let svg = fs::read_to_string(&file).unwrap();
        svg.matches("data-part=\"positive_plate\"").count()
    };
    assert_eq!((count("medium_pasted"), count("my_own")), (4, 6));

    // The same id in a file of another name is an error, since one would hide the other.
    fs::write(designs.join("again.ron"), &four).unwrap();
    let words = ["draw", "--assets", assets, "--design", "my_own", "-o", "x.svg"];
    let ran = jarlight(words);
    assert_eq!(ran.code, Some(2));
    assert!(ran.messages.contains("error[repeated-id]"), "{}", ran.messages);

    let ran = jarlight(["explain", "x.ron", "--assets", "/no/such/folder"]);
    assert_eq!(ran.code, Some(2));
}
