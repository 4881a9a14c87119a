//! The file as a whole: its format, ids that repeat, texts that say nothing, sums that are off.

use super::Checker;
use jarlight_model::{authored::Spot, design::unknown_format, diag::Code};

/// Reports a format of a later program; nothing else of such a file can be judged.
pub(super) fn format_is_known(c: &mut Checker<'_>) -> bool {
    let format = &c.file.format;
    let known = format.value == 1;
    if !known {
        c.found.push(unknown_format(c.source, format));
    }
    known
}

pub(super) fn check(c: &mut Checker<'_>) {
    let file = c.file;
    if !file.broken.contains(&"title") {
        filled(c, &file.title, "the title");
    }
    let sound = |value: f64, most: f64| value > 0.0 && value <= most;
    if !sound(file.minutes.value, 240.0) {
        let what = format!("minutes must be over 0 and at most 240, met {}", file.minutes.value);
        c.error(Code::OutOfRange, &file.minutes.at, what);
    }
    let questions = &file.questions;
    if questions.value.0.is_empty() && !file.broken.contains(&"questions") && c.found.is_empty() {
        // Elements that could not be read have their own message already.
        let text = c.source.text().get(questions.at.clone()).unwrap_or("");
        if text.trim_start_matches('[').trim_end_matches(']').trim().is_empty() {
            c.error(Code::Empty, &questions.at, "a scenario needs at least one question");
        }
    }
    let mut first: Vec<&Spot<_>> = Vec::new();
    for q in &questions.value.0 {
        if q.broken.contains(&"id") {
            continue;
        }
        match first.iter().find(|id| id.value == q.id.value) {
            None => first.push(&q.id),
            Some(known) => {
                let line = c.source.line_col(known.at.start).0;
                let what = format!("another question has the id `{}` already", q.id.value);
                c.error(Code::RepeatedId, &q.id.at, what).help =
                    Some(format!("the first stands on line {line}"));
            }
        }
    }
    for q in &questions.value.0 {
        if !q.broken.contains(&"stem") {
            filled(c, &q.stem, "the stem");
        }
        for (text, name) in [(&q.hint, "the hint"), (&q.why, "the feedback")] {
            if let Some(text) = text {
                filled(c, text, name);
            }
        }
        for (_, tell) in &q.tells.entries {
            filled(c, tell, "the tell");
        }
        if !sound(q.points.value, 100.0) {
            let what = format!("points must be over 0 and at most 100, met {}", q.points.value);
            c.error(Code::OutOfRange, &q.points.at, what);
        }
    }
}

fn filled(c: &mut Checker<'_>, text: &Spot<String>, name: &str) {
    if text.value.trim().is_empty() {
        c.error(Code::Empty, &text.at, format!("{name} is empty"));
    }
}

#[cfg(test)]
mod tests {
    use crate::check::testing::found;

    #[test]
    fn a_later_format_is_refused_and_nothing_else_is_said() {
        assert_eq!(found(&[("format: 1", "format: 2"), ("\"T\"", "\"\"")]), ["unknown-format 2"]);
    }

    #[test]
    fn empty_texts_are_found() {
        assert_eq!(found(&[("title: \"T\"", "title: \" \"")]), ["empty \" \""]);
        assert_eq!(found(&[("\"Point at it.\"", "\"\"")]), ["empty \"\""]);
        assert_eq!(found(&[("right: \"7\")", "right: \"7\"), why: \"\"")]), ["empty \"\""]);
    }

    #[test]
    fn a_repeated_question_id_is_found_at_the_second() {
        assert_eq!(found(&[("\"q3\"", "\"q1\"")]), ["repeated-id \"q1\""]);
    }

    #[test]
    fn a_time_of_nothing_is_refused() {
        assert_eq!(found(&[("minutes: 5", "minutes: 0")]), ["out-of-range 0"]);
        assert_eq!(found(&[("right: \"7\")", "right: \"7\"), points: -1")]), ["out-of-range -1"]);
    }
}
