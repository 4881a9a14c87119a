//! Changes to a text that leave everything else in it as its author wrote it.

use super::{
    outline::{Block, Number, Outline, Scene},
    text::Edit,
};
use jarlight_model::unit::trimmed;
use std::{collections::BTreeSet, ops::Range};

/// Puts the questions of another text after the question at the cursor, with their scenes.
///
/// Ids and names that are taken get a number; a scene that stands there word for word is shared.
pub fn insert_questions(text: &str, cursor: usize, from: &str) -> Option<Vec<Edit>> {
    let (here, there) = (Outline::of(text), Outline::of(from));
    let (questions, scenes) = (here.question_list.as_ref()?, here.scene_map.as_ref()?);
    let mut names: BTreeSet<String> = here.scenes.iter().map(|s| s.name.clone()).collect();
    let mut ids: BTreeSet<String> = here.questions.iter().map(|q| q.id.clone()).collect();
    let mut new_scenes = Vec::new();
    let mut called: Vec<(String, String)> = Vec::new();
    for scene in &there.scenes {
        let body = &from[scene.at.clone()];
        let same = here.scenes.iter().find(|s| &text[s.at.clone()] == body);
        let name = match same {
            Some(known) => known.name.clone(),
            None => {
                let name = free(&scene.name, &names);
                names.insert(name.clone());
                new_scenes.push(format!("\"{name}\": {body}"));
                name
            }
        };
        called.push((scene.name.clone(), name));
    }
    let mut new_questions = Vec::new();
    for q in &there.questions {
        let mut body = from[q.at.clone()].to_owned();
        let mut places = q.scenes.clone();
        places.sort_by_key(|(_, at)| std::cmp::Reverse(at.start));
        for (scene, at) in places {
            let name = &called.iter().find(|(old, _)| *old == scene)?.1;
            body.replace_range(at.start - q.at.start..at.end - q.at.start, &format!("\"{name}\""));
        }
        let id = free(&q.id, &ids);
        body = body.replacen(&format!("\"{}\"", q.id), &format!("\"{id}\""), 1);
        ids.insert(id);
        new_questions.push(body);
    }
    let end = if text.contains("\r\n") { "\r\n" } else { "\n" };
    let mut edits = insert_entries(text, scenes, usize::MAX, &new_scenes, end);
    edits.extend(insert_entries(text, questions, cursor, &new_questions, end));
    Some(edits)
}

fn free(name: &str, taken: &BTreeSet<String>) -> String {
    let mut all = std::iter::once(name.to_owned())
        .chain((2u32..).map(|n| format!("{name}_{n}")))
        .filter(|n| !taken.contains(n));
    all.next().unwrap_or_default()
}

/// Entries for a list or map, behind the last one that begins before the cursor.
fn insert_entries(
    text: &str,
    block: &Block,
    cursor: usize,
    new: &[String],
    end: &str,
) -> Vec<Edit> {
    if new.is_empty() {
        return Vec::new();
    }
    let before = block.entries.iter().rev().find(|e| e.start < cursor);
    let line_start = text[..block.at.start].rfind('\n').map_or(0, |i| i + 1);
    let outer: String =
        text[line_start..].chars().take_while(|c| matches!(c, ' ' | '\t')).collect();
    let indent = format!("{outer}  ");
    let all: String =
        new.iter().map(|n| format!("{end}{indent}{},", lines(n, &indent, end))).collect();
    let Some(before) = before else {
        // The first of all: the closing bracket goes to a line of its own.
        let at = block.at.start + 1;
        let rest = text.get(at..block.at.end.saturating_sub(1)).unwrap_or("");
        let one_line = block.entries.is_empty() && !rest.contains('\n');
        let closed = if one_line { format!("{end}{outer}") } else { String::new() };
        return vec![Edit::insert(at, format!("{all}{closed}"))];
    };
    let (comma, behind) = comma_after(text, before.end);
    if comma {
        let behind = end_of_comment(text, behind);
        return vec![Edit::insert(behind, all)];
    }
    // What was last has no comma yet; a comment behind it stays with it.
    let behind = end_of_comment(text, before.end);
    if behind == before.end {
        return vec![Edit::insert(before.end, format!(",{all}"))];
    }
    vec![Edit::insert(before.end, ","), Edit::insert(behind, all)]
}

/// A piece of another text with the indentation of its new place.
fn lines(piece: &str, indent: &str, end: &str) -> String {
    // The pieces of templates are indented by four.
    let mut all = piece.lines();
    let first = all.next().unwrap_or_default().to_owned();
    all.fold(first, |out, l| {
        let l = l.strip_prefix("    ").unwrap_or(l);
        if l.is_empty() { format!("{out}{end}") } else { format!("{out}{end}{indent}{l}") }
    })
}

/// Whether a comma comes next, and the byte behind it.
fn comma_after(text: &str, from: usize) -> (bool, usize) {
    let mut at = from;
    loop {
        let rest = &text[at..];
        let space = rest.len() - rest.trim_start().len();
        at += space;
        let rest = &text[at..];
        if rest.starts_with("//") {
            at += rest.find('\n').unwrap_or(rest.len());
        } else if rest.starts_with("/*") {
            at += rest.find("*/").map_or(rest.len(), |i| i + 2);
        } else {
            return if rest.starts_with(',') { (true, at + 1) } else { (false, from) };
        }
    }
}

/// Behind a comment that follows on the same line.
fn end_of_comment(text: &str, from: usize) -> usize {
    let line_end = text[from..].find('\n').map_or(text.len(), |i| from + i);
    let rest = text[from..line_end].trim_end();
    let says = rest.trim_start();
    if says.starts_with("//") || (says.starts_with("/*") && says.ends_with("*/")) {
        from + rest.len()
    } else {
        from
    }
}

/// A number, written as people write it.
fn written(value: f64) -> String {
    trimmed(value, 2)
}

/// Sets a number, or both ends of a range.
pub fn set_number(number: &Number, low: f64, high: f64) -> Edit {
    let new =
        if low == high { written(low) } else { format!("({}, {})", written(low), written(high)) };
    Edit { at: number.at.clone(), new }
}

/// Sets the age of a scene, which need not have one yet.
pub fn set_age(scene: &Scene, low: f64, high: f64) -> Option<Edit> {
    match &scene.age {
        Some(number) => Some(set_number(number, low, high)),
        None => {
            let number = Number { at: 0..0, low, high };
            let value = set_number(&number, low, high).new;
            Some(Edit::insert(scene.design_end?, format!(", age_months: {value}")))
        }
    }
}

/// The name of the field whose value a place in the text is in.
pub fn field_at(text: &str, byte: usize) -> Option<String> {
    let outline = Outline::of(text);
    let field = outline.fields.iter().filter(|(_, at)| at.start <= byte && byte <= at.end);
    field.min_by_key(|(_, at)| at.len()).map(|(name, _)| name.clone())
}

/// Puts an id where the cursor is: in place of what is selected, in place of the id in quotation
/// marks that the cursor stands in, or as a new value.
pub fn insert_id(text: &str, selected: Range<usize>, id: &str) -> Edit {
    let byte = selected.start;
    let value = Outline::of(text).value_at(byte);
    let quoted = value.filter(|v| text[v.clone()].starts_with('"') && v.len() >= 2);
    if let Some(v) = quoted {
        let inner = v.start + 1..v.end - 1;
        let word = &text[inner.clone()];
        let is_id = !word.contains(char::is_whitespace);
        let at = if is_id || !selected.is_empty() && selected == inner { inner } else { selected };
        return Edit { at, new: id.to_owned() };
    }
    let is_word = text[selected.clone()].chars().all(|c| c.is_ascii_alphanumeric() || c == '_');
    let before = text[..selected.start].trim_end().chars().next_back();
    let after = text[selected.end..].trim_start().chars().next();
    let head = match before {
        Some('"' | ')') if selected.is_empty() || !is_word => ", ",
        Some(',') if text[..selected.start].ends_with(',') => " ",
        _ => "",
    };
    let tail = if after == Some('"') { ", " } else { "" };
    Edit { at: selected, new: format!("{head}\"{id}\"{tail}") }
}

#[cfg(test)]
#[path = "edit_tests.rs"]
mod tests;
