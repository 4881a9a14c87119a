//! Tests of changes to a text.

use super::*;
use crate::workshop::text::Text;

const SOUND: &str = "// kept\r\nScenario(\r\n  format: 1, /* kept */\r\n  scenes: {\r\n    \"a\": (design: \"medium_pasted\"), // kept\r\n  },\r\n  questions: [\r\n    (id: \"one\", scene: \"a\", stem: \"?\"), // kept\r\n    (id: \"two\", scene: \"a\", stem: \"?\") // last\r\n  ],\r\n)\r\n";
const OTHER: &str = "Scenario(\n  scenes: {\n    \"a\": (design: \"plante\", age_months: 3),\n  },\n  questions: [\n    (\n      id: \"one\",\n      scene: \"a\",\n    ),\n  ],\n)\n";

fn changed(text: &str, edits: Vec<Edit>) -> String {
    let mut t = Text::from_bytes(text.as_bytes()).unwrap();
    t.apply(edits).unwrap();
    t.str().to_owned()
}

#[test]
fn a_question_goes_behind_the_one_at_the_cursor_and_changes_nothing_else() {
    let at = SOUND.find("one").unwrap();
    let new = changed(SOUND, insert_questions(SOUND, at, OTHER).unwrap());
    let expected = "    (id: \"one\", scene: \"a\", stem: \"?\"), // kept\r\n    (\r\n      id: \"one_2\",\r\n      scene: \"a_2\",\r\n    ),\r\n    (id: \"two\"";
    assert!(new.contains(expected), "{new}");
    assert!(new.contains("// kept\r\n    \"a_2\": (design: \"plante\", age_months: 3),\r\n  },"));
    assert_eq!(new.matches("kept").count(), 4);
    // Without what came in, the text is the old one.
    let mut left = new.clone();
    for piece in [
        "\r\n    (\r\n      id: \"one_2\",\r\n      scene: \"a_2\",\r\n    ),",
        "\r\n    \"a_2\": (design: \"plante\", age_months: 3),",
    ] {
        left = left.replacen(piece, "", 1);
    }
    assert_eq!(left, SOUND);
}

#[test]
fn the_last_question_without_a_comma_gets_one_and_keeps_its_comment() {
    let new = changed(SOUND, insert_questions(SOUND, SOUND.len(), OTHER).unwrap());
    assert!(new.contains("stem: \"?\"), // last\r\n    (\r\n      id: \"one_2\""), "{new}");
}

#[test]
fn a_scene_that_is_there_already_is_shared() {
    let once = changed(SOUND, insert_questions(SOUND, 0, OTHER).unwrap());
    let twice = changed(&once, insert_questions(&once, once.len(), OTHER).unwrap());
    assert_eq!(twice.matches("plante").count(), 1);
    assert!(twice.contains("one_3"));
}

#[test]
fn questions_go_into_empty_lists() {
    let empty = "Scenario(\n  scenes: {},\n  questions: [],\n)";
    let new = changed(empty, insert_questions(empty, 0, OTHER).unwrap());
    let expected = "Scenario(\n  scenes: {\n    \"a\": (design: \"plante\", age_months: 3),\n  },\n  questions: [\n    (\n      id: \"one\",\n      scene: \"a\",\n    ),\n  ],\n)";
    assert_eq!(new, expected);
}

#[test]
fn a_slider_writes_one_value() {
    let text = "Scenario(scenes: {\"a\": (design: \"d\", conditions: [(id: \"x\", severity: /* s */ (0.30,0.6))])})";
    let outline = Outline::of(text);
    let scene = outline.scene("a").unwrap();
    let severity = scene.conditions[0].severity.as_ref().unwrap();
    assert_eq!((severity.low, severity.high), (0.3, 0.6));
    let new = changed(text, vec![set_number(severity, 0.4, 0.4)]);
    assert_eq!(new, text.replace("(0.30,0.6)", "0.4"));
    let new = changed(text, vec![set_age(scene, 96.0, 120.0).unwrap()]);
    assert_eq!(new, text.replace("\"d\",", "\"d\", age_months: (96, 120),"));
    let with = Outline::of(&new);
    let new = changed(&new, vec![set_age(with.scene("a").unwrap(), 12.0, 12.0).unwrap()]);
    assert_eq!(new, text.replace("\"d\",", "\"d\", age_months: 12,"));
}

#[test]
fn an_id_comes_in_as_what_is_meant_there() {
    let put = |text: &str| {
        let at = text.find('|').unwrap();
        let text = text.replacen('|', "", 1);
        let edit = insert_id(&text, at..at, "jar");
        changed(&text, vec![edit])
    };
    assert_eq!(put("(part: \"se|al\")"), "(part: \"jar\")");
    assert_eq!(put("(part: \"|\")"), "(part: \"jar\")");
    assert_eq!(put("(part: |)"), "(part: \"jar\")");
    assert_eq!(put("(options: [\"a\"|])"), "(options: [\"a\", \"jar\"])");
    assert_eq!(put("(options: [\"a\",|])"), "(options: [\"a\", \"jar\"])");
    assert_eq!(put("(options: [|\"a\"])"), "(options: [\"jar\", \"a\"])");
    assert_eq!(put("(stem: \"What is the | here?\")"), "(stem: \"What is the jar here?\")");
}
