//! What an author meets: sound files, faulty files, and agreement with the `ron` crate.

use super::*;
use crate::diag::Source;
use proptest::prelude::*;

authored_record! {
    /// A record for these tests.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Lesson {
        /// Title.
        pub title: String,
        /// Steps.
        pub steps: Vec<Step>,
        /// Minutes.
        pub minutes: u32 = 5,
    }
}

authored_enum! {
    /// An enum for these tests.
    #[derive(Clone, Debug, PartialEq)]
    pub enum Step {
        /// A word.
        Rest,
        /// Values.
        Point(String, f64),
        /// Fields.
        Ask { stem: String, hint: Option<String> = None },
    }
}

fn check(text: &str, expected: &[&str]) {
    let read = read_file::<Lesson>(&Source::new("t.ron", text));
    let met: Vec<String> = read
        .diagnostics
        .iter()
        .map(|d| {
            let p = d.place.as_ref().expect("a place");
            format!("{} {}:{}", d.code, p.line, p.col)
        })
        .collect();
    assert_eq!(met, expected, "{text}\n{:#?}", read.diagnostics);
    assert_eq!(read.value.is_some() && expected.is_empty(), expected.is_empty());
}

#[test]
fn a_sound_file_is_read() {
    let text = "// head\nLesson(\n title: \"A\", /* b */ steps: [Rest, Point(\"x\", -1.5e1),\n \
                Ask(stem: \"Why?\", hint: \"look\"), Ask(stem: \"?\")],)";
    let read = read_file::<Lesson>(&Source::new("t.ron", text));
    let lesson = read.value.unwrap();
    assert_eq!(lesson.minutes, 5);
    assert_eq!(lesson.steps[1], Step::Point("x".into(), -15.0));
    assert_eq!(lesson.steps[2], Step::Ask { stem: "Why?".into(), hint: Some("look".into()) });
}

#[test]
fn every_mistake_of_a_file_is_reported() {
    check(
        "(\n  titel: \"A\",\n  steps: [Rset, Point(\"x\"), Ask(hint: 3)],\n  minutes: -1,\n)",
        &[
            "unknown-field 2:3",
            "unknown-value 3:11",
            "wrong-type 3:17",
            "missing-field 3:29",
            "wrong-type 3:39",
            "out-of-range 4:12",
        ],
    );
}

authored_record! {
    /// A record with two names that are close.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Close {
        /// How thick one is.
        pub positive: f64,
        /// How many there are.
        pub positives: u32,
    }
}

#[test]
fn a_missing_field_beside_one_of_a_close_name_is_reported() {
    let read = read_file::<Close>(&Source::new("t.ron", "(positive: 1)"));
    let codes: Vec<_> = read.diagnostics.iter().map(|d| d.code.as_str()).collect();
    assert_eq!(codes, ["missing-field"]);
    let read = read_file::<Close>(&Source::new("t.ron", "(positive: 1, positivs: 2)"));
    let codes: Vec<_> = read.diagnostics.iter().map(|d| d.code.as_str()).collect();
    assert_eq!(codes, ["unknown-field"]);
}

#[test]
fn a_syntax_error_ends_its_value_only() {
    check(
        "(\n  title: ,\n  steps: [Point(\"x\", 1.2.3), Rest],\n  minuts: 4,\n)",
        &["syntax 2:10", "syntax 3:22", "unknown-field 4:3"],
    );
}

#[test]
fn a_missing_comma_is_named_and_nothing_after_it_is_lost() {
    check("(\n title: \"A\"\n steps: [Rest Rset],\n)", &["syntax 3:2", "unknown-value 3:15"]);
}

#[test]
fn an_open_text_is_found_on_its_own_line() {
    check(
        "(\n title: \"A,\n steps: [Ask(stem: \"b\"), Rset],\n)",
        &["unclosed-string 2:9", "unknown-value 3:26"],
    );
}

#[test]
fn a_wrong_closing_bracket_is_named_with_its_partner() {
    check("(\n title: \"A\",\n steps: [Rest),\n minuts: 3,\n", &["unclosed-bracket 3:14"]);
    check(
        "(\n title: \"A\",\n steps: [Rest},\n minuts: 3,\n)",
        &["unclosed-bracket 3:14", "unknown-field 4:2"],
    );
}

#[test]
fn what_ron_lets_pass_is_refused() {
    check("(title: \"A\", steps: [Point(\"x\", inf)])", &["not-finite 1:33"]);
    check("(title: \"A\", steps: [Point(\"x\", -NaN)])", &["not-finite 1:33"]);
    check("#![enable(implicit_some)]\n(title: \"A\", steps: [])", &["extension-line 1:1"]);
    check("(title: \"A\", steps: [], steps: [])", &["repeated-field 1:25"]);
    let deep = format!("(title: \"A\", steps: {}{})", "[".repeat(60), "]".repeat(60));
    let read = read_file::<Lesson>(&Source::new("t.ron", &deep));
    assert!(read.diagnostics.iter().any(|d| d.code == crate::diag::Code::TooDeep));
}

/// A random value, printed as RON, and read back by both readers.
fn any_node() -> impl Strategy<Value = Kind> {
    let leaf = prop_oneof![
        any::<bool>().prop_map(Kind::Bool),
        any::<i64>().prop_map(|w| Kind::Number { value: w as f64, whole: Some(w.into()) }),
        (-1e9..1e9f64).prop_map(|value| Kind::Number { value, whole: None }),
        "[ -~äß\u{3bc}\n]{0,12}".prop_map(Kind::Text),
        proptest::char::range('!', '~').prop_map(Kind::Char),
    ];
    leaf.prop_recursive(4, 24, 4, |inner| {
        let node = inner.prop_map(|kind| Node { at: 0..0, kind });
        prop_oneof![
            proptest::collection::vec(node.clone(), 0..4).prop_map(Kind::List),
            proptest::collection::vec(("[a-z]{1,6}", node.clone()), 0..4).prop_map(|v| {
                let key = |k| Node { at: 0..0, kind: Kind::Text(k) };
                Kind::Map(v.into_iter().map(|(k, n)| (key(k), n)).collect())
            }),
            proptest::collection::vec(node.clone(), 2..4).prop_map(|v| Kind::Tuple(None, v)),
            proptest::collection::vec(("f_[a-z]{1,6}", node), 1..4).prop_map(|v| {
                let name = |text| Name { text, at: 0..0 };
                Kind::Record(None, v.into_iter().map(|(k, n)| (name(k), n)).collect())
            }),
        ]
    })
}

fn print(kind: &Kind, out: &mut String) {
    use std::fmt::Write as _;
    let list = |items: &[Node], open: char, close: char, out: &mut String| {
        out.push(open);
        for item in items {
            print(&item.kind, out);
            out.push_str(", ");
        }
        out.push(close);
    };
    match kind {
        Kind::Bool(b) => write!(out, "{b}").unwrap(),
        Kind::Number { whole: Some(w), .. } => write!(out, "{w}").unwrap(),
        Kind::Number { value, .. } => write!(out, "{value:?}").unwrap(),
        Kind::Text(t) => out.push_str(&ron::to_string(t).unwrap()),
        Kind::Char(c) => out.push_str(&ron::to_string(c).unwrap()),
        Kind::List(items) => list(items, '[', ']', out),
        Kind::Tuple(_, items) => list(items, '(', ')', out),
        Kind::Map(pairs) => {
            out.push_str("{ // map\n");
            for (k, v) in pairs {
                print(&k.kind, out);
                out.push_str(" : ");
                print(&v.kind, out);
                out.push(',');
            }
            out.push('}');
        }
        Kind::Record(_, fields) => {
            out.push_str("(/* record */");
            for (k, v) in fields {
                write!(out, "{}: ", k.text).unwrap();
                print(&v.kind, out);
                out.push_str(",\n");
            }
            out.push(')');
        }
        Kind::Word(_) | Kind::Bad => unreachable!("not generated"),
    }
}

/// Both trees say the same: `ron::Value` keeps records as maps and knows no places.
fn agrees(ours: &Kind, theirs: &ron::Value) -> bool {
    use ron::Value as V;
    match (ours, theirs) {
        (Kind::Bool(a), V::Bool(b)) => a == b,
        (Kind::Number { value, whole }, V::Number(n)) => {
            let theirs = n.into_f64();
            let exact = !matches!(n, ron::value::Number::F32(_));
            let equal = if exact { *value == theirs } else { (*value as f32) as f64 == theirs };
            equal && (whole.is_some() || !matches!(n, ron::value::Number::I64(_)))
        }
        (Kind::Text(a), V::String(b)) => a == b,
        (Kind::Char(a), V::Char(b)) => a == b,
        (Kind::List(a) | Kind::Tuple(_, a), V::Seq(b)) => {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| agrees(&a.kind, b))
        }
        (Kind::Map(pairs), V::Map(map)) => {
            let last =
                |k: &str| pairs.iter().rev().find(|(key, _)| key.kind == Kind::Text(k.into()));
            map.iter().all(|(k, v)| match k {
                V::String(k) => last(k).is_some_and(|(_, n)| agrees(&n.kind, v)),
                _ => false,
            })
        }
        (Kind::Record(_, fields), V::Map(map)) => {
            let last = |k: &str| fields.iter().rev().find(|(name, _)| name.text == k);
            map.iter().all(|(k, v)| match k {
                V::String(k) => last(k).is_some_and(|(_, n)| agrees(&n.kind, v)),
                _ => false,
            })
        }
        _ => false,
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(10_000))]
    #[test]
    fn random_valid_files_read_as_ron_reads_them(kind in any_node()) {
        let mut text = String::new();
        print(&kind, &mut text);
        let source = Source::new("r.ron", &text);
        let (node, found) = parse(&source);
        prop_assert!(found.is_empty(), "{text}\n{found:?}");
        let theirs: ron::Value = ron::from_str(&text).unwrap();
        prop_assert!(agrees(&node.kind, &theirs), "{text}\n{node:?}\n{theirs:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2_000))]
    #[test]
    fn a_changed_byte_never_crashes_and_every_place_is_in_the_file(
        at in 0usize..200, new in any::<char>(), cut in any::<bool>()
    ) {
        let text = "// head\nLesson(\n title: \"A\", /* b */ steps: [Rest, Point(r#\"x\"#, -1.5e1),\n \
                    Ask(stem: \"Why? \\u{41}\", hint: 'c'), Ask(stem: \"?\")], m: {\"k\": ()})";
        let mut changed: String = text.to_owned();
        if at < text.len() {
            if cut { changed.truncate(at); } else { changed.replace_range(at..=at, &new.to_string()); }
        }
        let source = Source::new("m.ron", &changed);
        let read = read_file::<Lesson>(&source);
        for d in &read.diagnostics {
            let p = d.place.as_ref().unwrap();
            prop_assert!(p.range.start <= p.range.end && p.range.end <= source.text().len());
            prop_assert!(source.text().is_char_boundary(p.range.start));
            prop_assert!(source.text().is_char_boundary(p.range.end));
        }
    }
}
