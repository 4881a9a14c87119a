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
    let version = jarlight(["--version"]).data;
    assert!(version.contains(", drawing recipes "), "{version}");
    let mut all = String::new();
    for command in [
        None,
        Some("check"),
        Some("draw"),
        Some("explain"),
        Some("reading"),
        Some("explain-code"),
        Some("schema"),
    ] {
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
        (vec!["--condition", "level_low"], "needs a severity such as level_low=0.6"),
        (vec!["--condition", "plate_dropped", "--age", "60"], "does not grow with time"),
        (
            vec!["--condition", "plate_cupping=0.5@positive_plate-9"],
            "has the id `positive_plate-9`",
        ),
        (vec!["--size", "80x80"], "from 100 to 10000"),
        (vec!["--text", "20"], "50..=300"),
        (vec!["--scale", "true", "--size", "800x600"], "cannot be used with"),
        (vec!["--close-up"], "needs a --condition"),
        (vec!["--sheet", "severities"], "needs a --condition"),
        (vec!["--sheet", "years", "--mechanism", "m_overcharg"], "`m_overcharge`"),
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

/// The number that an attribute of the first element behind a text has.
fn attribute(svg: &str, behind: &str, name: &str) -> f64 {
    let rest = svg.split_once(behind).unwrap_or_else(|| panic!("no {behind}")).1;
    let rest = rest.split_once(&format!("{name}=\"")).unwrap().1;
    let digits = rest.split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-')).next();
    digits.unwrap().parse().unwrap()
}

/// The words of a figure.
fn words(svg: &str) -> Vec<&str> {
    svg.split("</text>").filter_map(|t| t.rsplit_once('>')).map(|(_, words)| words).collect()
}

#[test]
fn at_true_scale_a_millimetre_is_a_millimetre() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("a.svg");
    for design in ["small_three_cell_jar", "medium_pasted", "round_plate"] {
        let out = file.to_str().unwrap();
        let ran = jarlight(["draw", "--design", design, "--scale", "true", "-o", out]);
        assert_eq!(ran.code, Some(0), "{}", ran.messages);
        let svg = fs::read_to_string(&file).unwrap();
        // One unit of the drawing is a millimetre of paper.
        let size = attribute(&svg, "<svg", "width");
        assert!(svg.contains(&format!("width=\"{size}mm\"")), "{design}");
        assert!(svg.contains(&format!("viewBox=\"0 0 {size} ")), "{design}");
        let labelled: f64 = words(&svg)
            .iter()
            .filter_map(|w| w.strip_suffix(" mm"))
            .filter_map(|n| n.parse().ok())
            .next_back()
            .unwrap();
        // The last four shapes are the blocks of the scale bar.
        let blocks: Vec<&str> = svg.split("<path d=\"M").collect();
        let x = |block: &str| -> Vec<f64> {
            let d = block.split('"').next().unwrap();
            let numbers = d.split(|c: char| c.is_ascii_alphabetic() || c == ' ');
            numbers.filter(|n| !n.is_empty()).step_by(2).map(|n| n.parse().unwrap()).collect()
        };
        let bar: Vec<f64> = blocks[blocks.len() - 4..].iter().flat_map(|b| x(b)).collect();
        let (low, high) = bar.iter().fold((f64::MAX, f64::MIN), |(l, h), v| (l.min(*v), h.max(*v)));
        assert!((high - low - labelled).abs() < 0.01, "{design}: {} for {labelled}", high - low);
    }
    // On paper that a reader measures in points, and in a picture with a note of its density.
    let page = folder.path().join("a.pdf");
    assert_eq!(draw(&page, &["--scale", "true", "--labels", "none"]).code, Some(0));
    draw(&file, &["--scale", "true", "--labels", "none"]);
    let wide = attribute(&fs::read_to_string(&file).unwrap(), "<svg", "width");
    let pdf = String::from_utf8_lossy(&fs::read(&page).unwrap()).into_owned();
    let media = pdf.split_once("/MediaBox").unwrap().1;
    let numbers: Vec<f64> =
        media.split(['[', ']', ' ']).take(7).filter_map(|n| n.parse().ok()).collect();
    assert!((numbers[2] - wide * 72.0 / 25.4).abs() < 0.01, "{numbers:?} for {wide} mm");
}

#[test]
fn size_text_and_labels_are_kept_in_every_format() {
    let folder = tempfile::tempdir().unwrap();
    let more = ["--view", "plan", "--size", "700x500", "--text", "130"];
    let file = |name: &str| folder.path().join(name);
    for name in ["a.svg", "a.png", "a.pdf"] {
        let ran = draw(&file(name), &more);
        assert_eq!(ran.code, Some(0), "{}", ran.messages);
    }
    let svg = fs::read_to_string(file("a.svg")).unwrap();
    assert!(svg.contains("viewBox=\"0 0 700 500\""));
    assert!(svg.contains("font-size=\"39\""), "the title is not 130 % of 30");
    let png = fs::read(file("a.png")).unwrap();
    let side = |at: usize| u32::from_be_bytes(png[at..at + 4].try_into().unwrap());
    assert_eq!((side(16), side(20)), (700, 500));
    let pdf = String::from_utf8_lossy(&fs::read(file("a.pdf")).unwrap()).into_owned();
    assert!(pdf.contains("525 375"), "the page is not 700 × 500 pixels");
    for (labels, named) in [("names", true), ("numbers", true), ("none", false)] {
        draw(&file("b.svg"), &["--labels", labels]);
        let svg = fs::read_to_string(file("b.svg")).unwrap();
        assert_eq!(words(&svg).contains(&"Retainer mat"), named, "{labels}");
    }
}

#[test]
fn a_page_holds_words_as_words_and_no_pictures() {
    let folder = tempfile::tempdir().unwrap();
    let page = folder.path().join("a.pdf");
    let words = ["--sheet", "severities", "--condition", "copper_contamination"];
    for more in [&[][..], &words] {
        assert_eq!(draw(&page, more).code, Some(0));
        let bytes = fs::read(&page).unwrap();
        let text = String::from_utf8_lossy(&bytes);
        assert!(!text.contains("/Subtype/Image") && !text.contains("/Subtype /Image"), "{more:?}");
        assert!(text.contains("/ToUnicode"), "the words cannot be copied");
    }
}

#[test]
fn age_tells_the_severity_that_is_left_out() {
    let folder = tempfile::tempdir().unwrap();
    let caption = |more: &[&str]| {
        let file = folder.path().join("a.svg");
        let ran = draw(&file, &[&["--labels", "none"], more].concat());
        assert_eq!(ran.code, Some(0), "{}", ran.messages);
        let svg = fs::read_to_string(&file).unwrap();
        words(&svg)
            .iter()
            .find(|w| w.contains("healthy") || w.contains("Shown"))
            .unwrap()
            .to_string()
    };
    // It begins at 12 months and is full grown at 150.
    let dark = |age| caption(&["--condition", "sediment_dark", "--age", age]);
    assert!(dark("12").contains("healthy"));
    assert!(dark("150").contains("extreme"), "{}", dark("150"));
    assert!(dark("80").contains("moderate") || dark("80").contains("slight"), "{}", dark("80"));
    // What is given stands.
    assert!(caption(&["--condition", "sediment_dark=0.2", "--age", "150"]).contains("trace"));
    assert!(caption(&["--look-alike", "h_glass_fibre"]).contains("fibre"));
}

#[test]
fn sheets_show_what_they_say() {
    let folder = tempfile::tempdir().unwrap();
    let sheet = |more: &[&str]| {
        let file = folder.path().join("a.svg");
        let words = ["draw", "-o", file.to_str().unwrap(), "--size", "160x120"];
        let ran = jarlight(words.into_iter().chain(more.iter().copied()));
        assert_eq!(ran.code, Some(0), "{more:?} {}", ran.messages);
        fs::read_to_string(&file).unwrap()
    };
    let grades = sheet(&["--sheet", "severities", "--condition", "sediment_light"]);
    for word in ["Normal", "trace", "slight", "moderate", "heavy", "extreme"] {
        assert!(words(&grades).contains(&word), "no {word}");
    }
    let years = sheet(&["--sheet", "years", "--condition", "sediment_light"]);
    for word in ["new", "6 months", "2 years", "20 years"] {
        assert!(words(&years).contains(&word), "no {word}");
    }
    let cause = sheet(&["--sheet", "years", "--mechanism", "m_overcharge"]);
    assert!(words(&cause).contains(&"20 years"));
    let compared = sheet(&["--sheet", "compare", "--condition", "pos_sulfate_sparkle"]);
    assert!(words(&compared).contains(&"Normal") && words(&compared).contains(&"moderate"));
    assert!(words(&compared).iter().any(|w| w.contains("ubbles")), "no look-alike");
    let named = ["--look-alike", "h_mould_marks"];
    let compared =
        sheet(&[&["--sheet", "compare", "--condition", "hydration_line"], &named[..]].concat());
    assert!(words(&compared).iter().any(|w| w.contains("ould")), "not the look-alike asked for");
    // What only one construction has is drawn on it.
    let tubes = sheet(&["--sheet", "compare", "--condition", "tube_burst=0.8"]);
    assert_ne!(tubes, sheet(&["--sheet", "compare", "--condition", "tube_burst=0.2"]));

    let file = folder.path().join("close.svg");
    assert_eq!(draw(&file, &["--close-up", "--condition", "sediment_dark=0.6"]).code, Some(0));
    assert!(!fs::read_to_string(&file).unwrap().contains("Edge view"));
}

#[test]
fn the_sheet_of_designs_has_every_view_and_theme() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("drawings");
    let words = ["draw", "--sheet", "designs", "--design", "small_three_cell_jar"];
    let more = ["--size", "400x300", "--labels", "none", "-o", out.to_str().unwrap()];
    let ran = jarlight(words.into_iter().chain(more));
    assert_eq!(ran.code, Some(0), "{}", ran.messages);
    let index = fs::read_to_string(out.join("index.html")).unwrap();
    for view in ["edge", "face", "plan", "peeled", "row", "rack"] {
        for theme in ["light", "dark", "contrast_light", "contrast_dark"] {
            for ending in ["svg", "png"] {
                let name = format!("small_three_cell_jar-{view}-{theme}.{ending}");
                assert!(index.contains(&name) && out.join(&name).is_file(), "{name}");
            }
        }
    }
}

#[test]
fn a_condition_that_only_stands_in_a_file_is_drawn() {
    let folder = tempfile::tempdir().unwrap();
    let catalogue = folder.path().join("catalogue");
    fs::create_dir(&catalogue).unwrap();
    let shipped = fs::read_to_string(path("assets/catalogue/conditions_floor.ron")).unwrap();
    let start = shipped.find("    (\n      id: \"sediment_light\"").unwrap();
    let entry = &shipped[start..start + shipped[start..].find("\n    ),").unwrap() + 7];
    let own = entry.replace("\"sediment_light\"", "\"golden_mud\"");
    let own = own.replace("light_sediment", "dust_cap").replace("Light", "Golden");
    let text = format!("Conditions(format: 1, conditions: [\n{own}\n])");
    fs::write(catalogue.join("conditions_own.ron"), text).unwrap();
    let assets = folder.path().to_str().unwrap();
    let file = folder.path().join("a.svg");
    let drawn = |condition: &str| {
        let out = file.to_str().unwrap();
        let words = ["draw", "--assets", assets, "--labels", "none", "-o", out, "--condition"];
        let ran = jarlight(words.into_iter().chain([condition]));
        assert_eq!(ran.code, Some(0), "{}", ran.messages);
        let svg = fs::read_to_string(&file).unwrap();
        svg.lines().filter(|l| !l.contains("<text")).map(str::to_owned).collect::<Vec<_>>()
    };
    let (none, some) = (drawn("golden_mud=0"), drawn("golden_mud=0.8"));
    assert!(none != some, "it is not drawn");
    assert!(some != drawn("sediment_light=0.8"), "it is drawn as its model");
    let out = file.to_str().unwrap();
    let words = ["draw", "--assets", assets, "--sheet", "severities", "-o", out];
    assert_eq!(jarlight(words.into_iter().chain(["--condition", "golden_mud"])).code, Some(0));
    assert_eq!(jarlight(["check", "--assets", assets, &path("scenarios/01_parts")]).code, Some(0));
}
