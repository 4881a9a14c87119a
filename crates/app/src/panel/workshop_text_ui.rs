//! The text with line numbers; what is wrong is underlined and has a sign beside its line.

use crate::{
    theme::{CARD_CORNER, Look},
    widget::badge,
    workshop::{Jump, Open, text::Text},
};
use egui::{
    Align, Frame, Galley, Id, Margin, Rect, ScrollArea, Stroke, StrokeKind, TextBuffer, TextEdit,
    Ui, pos2,
    text::{CCursor, CCursorRange, CharIndex, LayoutJob, TextFormat},
    text_edit::TextEditState,
    vec2,
};
use jarlight_geometry::palette::Role;
use jarlight_model::{diag::Level, text::tr};
use std::{ops::Range, sync::Arc};

/// A text that was laid out, with everything that its layout depends on.
pub struct Laid {
    text: String,
    marks: Vec<(Range<usize>, Level)>,
    look: Look,
    width: f32,
    galley: Arc<Galley>,
}

/// The id of the field.
pub fn id() -> Id {
    Id::unique("workshop-text")
}

/// Draws the text and listens.
pub fn text_ui(ui: &mut Ui, look: Look, open: &mut Open, laid: &mut Option<Laid>) {
    let area = ui.available_rect_before_wrap();
    let painter = ui.painter();
    painter.rect(
        area,
        CARD_CORNER,
        look.color(Role::Panel),
        look.line(Role::Rule),
        StrokeKind::Inside,
    );
    let inner = area.shrink(6.0);
    ui.scope_builder(egui::UiBuilder::new().max_rect(inner), |ui| {
        ScrollArea::vertical().id_salt("workshop-text").auto_shrink(false).show(ui, |ui| {
            field_ui(ui, look, open, laid, inner);
        });
    });
    if ui.memory(|m| m.has_focus(id())) {
        let line = Stroke::new(2.0, look.color(Role::Ink));
        ui.painter().rect_stroke(area, CARD_CORNER, line, StrokeKind::Inside);
    }
}

fn field_ui(ui: &mut Ui, look: Look, open: &mut Open, laid: &mut Option<Laid>, shown: Rect) {
    let font = look.mono(12.5);
    let digit = ui.painter().layout_no_wrap("0".to_owned(), font.clone(), look.color(Role::Ink));
    let lines = open.text.str().bytes().filter(|b| *b == b'\n').count() + 1;
    let digits = lines.to_string().len().max(2) as f32;
    let sign = look.px(18.0);
    let gutter = sign + digits * digit.size().x + 14.0;
    let rows = (shown.height() / digit.size().y.max(1.0)) as usize;

    let jump = open.jump.take();
    if let Some(Jump { to, focus }) = &jump {
        let chars = |byte: usize| CharIndex(before(open.text.str(), byte));
        let range = CCursorRange::two(CCursor::new(chars(to.start)), CCursor::new(chars(to.end)));
        let mut state = TextEditState::load(ui.ctx(), id()).unwrap_or_default();
        state.cursor.set_char_range(Some(range));
        state.store(ui.ctx(), id());
        if *focus {
            ui.memory_mut(|m| m.request_focus(id()));
        }
        open.selected = to.clone();
    }

    let marks: Vec<(Range<usize>, Level)> =
        open.found.iter().filter_map(|f| Some((f.at.clone()?, f.diagnostic.level))).collect();
    // Painted beneath the text, known only after it.
    let beneath = ui.painter().add(egui::Shape::Noop);
    let mut layouter = |ui: &Ui, buffer: &dyn TextBuffer, width: f32| {
        lay_out(ui, look, buffer.as_str(), &marks, width, laid)
    };
    let output = ui
        .horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = 0.0;
            ui.add_space(gutter);
            TextEdit::multiline(&mut open.text)
                .id(id())
                .font(font.clone())
                .frame(Frame::new().inner_margin(Margin::ZERO))
                .desired_width(ui.available_width() - 8.0)
                .desired_rows(rows)
                .layouter(&mut layouter)
                .show(ui)
        })
        .inner;
    let response = &output.response.response;
    response.widget_info(|| {
        egui::WidgetInfo::labeled(egui::Role::MultilineTextInput, true, tr("workshop-text"))
    });
    if response.has_focus()
        && let Some(range) = output.cursor_range
    {
        let range = range.as_sorted_char_range();
        let selected = bytes(&open.text, range);
        if selected != open.selected {
            // What is typed next is undone on its own after the cursor was moved.
            if !response.changed() {
                open.text.close_step();
            }
            open.selected = selected;
            open.show_at_cursor();
        }
    }
    let (galley, origin) = (&output.galley, output.galley_pos);
    if jump.is_some() {
        let at = CCursor::new(CharIndex(before(open.text.str(), open.selected.start)));
        let caret = galley.pos_from_cursor(at).translate(origin.to_vec2());
        ui.scroll_to_rect(caret.expand2(vec2(0.0, 40.0)), Some(Align::Center));
    }
    let signs = signs(open);
    let clip = ui.clip_rect();
    let mut under = Vec::new();
    let mut number = 1;
    let mut begins = true;
    for row in &galley.rows {
        let top = origin.y + row.pos.y;
        let line =
            Rect::from_min_max(pos2(shown.min.x, top), pos2(shown.max.x, top + row.row.size.y));
        let level = signs.iter().filter(|(n, _)| *n == number).map(|(_, l)| *l).min();
        if clip.intersects(line) {
            if let Some(level) = level {
                let fill = if level == Level::Error { Role::WrongFill } else { Role::CautionFill };
                under.push(egui::Shape::rect_filled(line, 0.0, look.color(fill)));
            }
            if begins {
                let at = pos2(shown.min.x + gutter - 10.0, line.center().y);
                ui.painter().text(
                    at,
                    egui::Align2::RIGHT_CENTER,
                    number.to_string(),
                    look.mono(11.5),
                    look.color(Role::SecondInk),
                );
                let at = pos2(shown.min.x + sign / 2.0 + 2.0, line.center().y);
                match level {
                    Some(Level::Error) => badge::cross(ui.painter(), at, look.px(6.5), look),
                    Some(Level::Warning) => badge::warning(ui.painter(), at, look.px(6.5), look),
                    None => {}
                }
            }
        }
        begins = row.ends_with_newline;
        number += usize::from(row.ends_with_newline);
    }
    ui.painter().set(beneath, egui::Shape::Vec(under));
}

/// The lines with faults.
fn signs(open: &Open) -> Vec<(usize, Level)> {
    let text = open.text.str();
    let line = |byte: usize| {
        text.as_bytes()[..byte.min(text.len())].iter().filter(|b| **b == b'\n').count() + 1
    };
    open.found
        .iter()
        .filter_map(|f| Some((line(f.at.as_ref()?.start), f.diagnostic.level)))
        .collect()
}

/// How many characters stand before a byte.
fn before(text: &str, byte: usize) -> usize {
    let mut end = byte.min(text.len());
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    text[..end].chars().count()
}

fn bytes(text: &Text, range: Range<CharIndex>) -> Range<usize> {
    let start = text.byte_index_from_char_index(range.start).0;
    let end = text.byte_index_from_char_index(range.end).0;
    start..end
}

fn lay_out(
    ui: &Ui,
    look: Look,
    text: &str,
    marks: &[(Range<usize>, Level)],
    width: f32,
    laid: &mut Option<Laid>,
) -> Arc<Galley> {
    if let Some(l) = laid
        && l.text == text
        && l.marks == marks
        && l.look == look
        && l.width == width
    {
        return l.galley.clone();
    }
    let mut job = job(look, text, marks);
    job.wrap.max_width = width;
    let galley = ui.fonts_mut(|f| f.layout_job(job));
    *laid = Some(Laid {
        text: text.to_owned(),
        marks: marks.to_vec(),
        look,
        width,
        galley: galley.clone(),
    });
    galley
}

/// What a piece of the text is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Plain,
    Name,
    Words,
    Number,
    Comment,
}

/// Cuts a text into pieces; together they are the text.
fn pieces(text: &str) -> Vec<(Range<usize>, Kind)> {
    let bytes = text.as_bytes();
    let mut all = Vec::new();
    let mut at = 0;
    let until = |from: usize, end: &str| text[from..].find(end).map_or(text.len(), |i| from + i);
    while at < bytes.len() {
        let rest = &text[at..];
        let first = bytes[at];
        let (end, kind) = if rest.starts_with("//") {
            (until(at, "\n"), Kind::Comment)
        } else if rest.starts_with("/*") {
            ((until(at, "*/") + 2).min(text.len()), Kind::Comment)
        } else if first == b'"' {
            let mut end = at + 1;
            while end < bytes.len() && bytes[end] != b'"' && bytes[end] != b'\n' {
                end += if bytes[end] == b'\\' && end + 1 < bytes.len() { 2 } else { 1 };
            }
            let mut end = (end + 1).min(bytes.len());
            while !text.is_char_boundary(end) {
                end += 1;
            }
            (end, Kind::Words)
        } else if first.is_ascii_alphabetic() || first == b'_' {
            let n = rest.bytes().take_while(|b| b.is_ascii_alphanumeric() || *b == b'_').count();
            let named = rest[n..].trim_start().starts_with(':');
            (at + n, if named { Kind::Name } else { Kind::Plain })
        } else if first.is_ascii_digit() {
            let n = rest.bytes().take_while(|b| b.is_ascii_digit() || *b == b'.').count();
            (at + n, Kind::Number)
        } else {
            (at + rest.chars().next().map_or(1, char::len_utf8), Kind::Plain)
        };
        all.push((at..end, kind));
        at = end;
    }
    all
}

fn job(look: Look, text: &str, marks: &[(Range<usize>, Level)]) -> LayoutJob {
    let format = |kind: Kind| {
        let role = match kind {
            Kind::Plain => Role::Ink,
            Kind::Name => Role::Accent,
            Kind::Words => Role::Right,
            Kind::Number => Role::Caution,
            Kind::Comment => Role::SecondInk,
        };
        let mut format = TextFormat::simple(look.mono(12.5), look.color(role));
        format.line_height = Some(look.px(19.0));
        format
    };
    // Marks of one line each, on whole characters.
    let marks: Vec<(Range<usize>, Level)> = marks
        .iter()
        .filter(|(r, _)| text.get(r.clone()).is_some())
        .map(|(r, level)| {
            let line = text[r.clone()].find(['\r', '\n']).unwrap_or(r.len());
            (r.start..r.start + line.max(1), *level)
        })
        .filter(|(r, _)| text.get(r.clone()).is_some())
        .collect();
    let mut job = LayoutJob::default();
    for (range, kind) in pieces(text) {
        let mut cuts = vec![range.start, range.end];
        for (m, _) in &marks {
            cuts.extend(
                [m.start, m.end].into_iter().filter(|c| range.start < *c && *c < range.end),
            );
        }
        cuts.sort_unstable();
        cuts.dedup();
        for pair in cuts.windows(2) {
            let mut format = format(kind);
            let over = marks.iter().filter(|(m, _)| m.start <= pair[0] && pair[1] <= m.end);
            if let Some(level) = over.map(|(_, l)| *l).min() {
                let role = if level == Level::Error { Role::Wrong } else { Role::Caution };
                format.underline = Stroke::new(2.0, look.color(role));
            }
            job.append(&text[pair[0]..pair[1]], 0.0, format);
        }
    }
    job
}

#[cfg(test)]
mod tests {
    use super::*;
    use jarlight_model::rng::Rng;

    #[test]
    fn the_pieces_of_a_text_are_the_text() {
        let signs = ["\"", "\\", "/", "*", "\n", "\r", "é", "a", "1", ".", ":", "(", " ", "🔋"];
        let mut chance = Rng::new(5);
        for _ in 0..2000 {
            let n = chance.below(14);
            let text: String = (0..n).map(|_| signs[chance.below(signs.len())]).collect();
            let joined: String = pieces(&text).into_iter().map(|(r, _)| &text[r]).collect();
            assert_eq!(joined, text);
            let a = chance.below(text.len() + 1);
            let z = a + chance.below(4);
            let job = job(Look::default(), &text, &[(a..z, Level::Error)]);
            assert_eq!(job.text, text);
        }
    }

    #[test]
    fn names_words_numbers_and_comments_are_told_apart() {
        let text = "a: \"b // c\", 0.5 // d";
        let kinds: Vec<(&str, Kind)> =
            pieces(text).into_iter().map(|(r, k)| (&text[r], k)).collect();
        assert!(kinds.contains(&("a", Kind::Name)));
        assert!(kinds.contains(&("\"b // c\"", Kind::Words)));
        assert!(kinds.contains(&("0.5", Kind::Number)));
        assert!(kinds.contains(&("// d", Kind::Comment)));
    }
}
