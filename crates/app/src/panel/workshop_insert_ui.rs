//! What can be put into the text: a question of each form, and every id that there is.

use super::{
    Seen,
    workshop_ui::{Page, tile},
};
use crate::{
    theme::Look,
    widget::{control, pick, words},
    workshop::{Open, edit, template},
};
use egui::{ScrollArea, Ui};
use jarlight_model::{
    catalogue::{Catalogue, ConditionKind},
    text::{tr, tr_with},
};

const KINDS: [&str; 7] = [
    "workshop-ids-parts",
    "workshop-ids-conditions",
    "workshop-ids-harmless",
    "workshop-ids-causes",
    "workshop-ids-readings",
    "workshop-ids-designs",
    "workshop-ids-facts",
];

/// Draws the lists.
pub fn insert_ui(ui: &mut Ui, seen: &Seen<'_>, open: &mut Open, page: &mut Page) {
    let look = seen.look;
    let labels = [tr("workshop-insert-question"), tr("workshop-insert-id")];
    if let Some(i) = pick::pills(ui, look, &labels, usize::from(page.ids)) {
        page.ids = i == 1;
    }
    if page.ids {
        ids_ui(ui, seen, open, page);
    } else {
        questions_ui(ui, look, open);
    }
}

fn questions_ui(ui: &mut Ui, look: Look, open: &mut Open) {
    words::quiet(ui, look, &tr("workshop-insert-question-about"));
    let can = open.outline().question_list.is_some() && open.outline().scene_map.is_some();
    if !can {
        words::body(ui, look, &tr("workshop-insert-broken"));
        return;
    }
    ScrollArea::vertical().id_salt("workshop-templates").auto_shrink(false).show(ui, |ui| {
        ui.set_width(ui.available_width() - 10.0);
        ui.spacing_mut().item_spacing.y = 6.0;
        for t in template::all() {
            let width = ui.available_width();
            if tile(ui, look, &t.title, &t.note, width) {
                insert_question(open, t.text);
            }
        }
    });
}

/// Puts a question in behind the one at the cursor; its stem is ready to be written over.
fn insert_question(open: &mut Open, from: &str) {
    let cursor = open.selected.start;
    let before = open.outline().questions.iter().filter(|q| q.at.start < cursor).count();
    let Some(edits) = edit::insert_questions(open.text.str(), cursor, from) else { return };
    open.edit(edits);
    open.chosen = before;
    if let Some(stem) = template::stem(open.text.str(), before) {
        open.go(stem);
    }
}

fn ids_ui(ui: &mut Ui, seen: &Seen<'_>, open: &mut Open, page: &mut Page) {
    let look = seen.look;
    words::quiet(ui, look, &tr("workshop-insert-id-about"));
    let width = ui.available_width() - 4.0;
    let name = tr("workshop-search");
    let field = control::field(ui, look, &name, &name, &mut page.search, width);
    let kinds = KINDS.map(tr);
    if let Some(i) = pick::pills(ui, look, &kinds, page.kind) {
        page.kind = i;
    }
    let wanted = page.search.trim().to_lowercase();
    // A search looks everywhere.
    let of: Vec<usize> =
        if wanted.is_empty() { vec![page.kind] } else { (0..KINDS.len()).collect() };
    let all = of.into_iter().flat_map(|kind| ids(seen.catalogue, kind));
    let fits = |e: &Entry| {
        wanted.is_empty() || e.id.contains(&wanted) || e.words.to_lowercase().contains(&wanted)
    };
    let all: Vec<Entry> = all.filter(fits).collect();
    let mut chosen = None;
    if control::entered(ui, &field) {
        chosen = all.first().map(|e| e.id.clone());
    }
    ScrollArea::vertical().id_salt("workshop-ids").auto_shrink(false).show(ui, |ui| {
        ui.set_width(ui.available_width() - 10.0);
        ui.spacing_mut().item_spacing.y = 1.0;
        if all.is_empty() {
            words::quiet(ui, look, &tr_with("workshop-none-found", &[("words", &page.search)]));
        }
        for e in &all {
            let spoken = format!("{}, {}", e.name, e.id);
            if control::row(ui, look, &e.name, &e.id, &spoken, false).clicked() {
                chosen = Some(e.id.clone());
            }
        }
    });
    if let Some(id) = chosen {
        let edit = edit::insert_id(open.text.str(), open.selected.clone(), &id);
        open.edit(vec![edit]);
    }
}

/// An id that can be put in.
struct Entry {
    id: String,
    name: String,
    /// Everything by which it is found.
    words: String,
}

fn ids(c: &Catalogue, kind: usize) -> Vec<Entry> {
    let entry = |id: &str, name: &str, more: &[String]| Entry {
        id: id.to_owned(),
        name: name.to_owned(),
        words: format!("{name} {}", more.join(" ")),
    };
    match kind {
        0 => c.parts.iter().map(|p| entry(&p.id, &p.name, &p.synonyms)).collect(),
        1 | 2 => {
            let harmless = kind == 2;
            let is = |k: ConditionKind| (k == ConditionKind::Harmless) == harmless;
            let all = c.conditions.iter().filter(|x| is(x.kind));
            all.map(|x| entry(&x.id, &x.name, &x.synonyms)).collect()
        }
        3 => {
            let plain = |m: &jarlight_model::catalogue::Mechanism| vec![m.plain.clone()];
            c.mechanisms.iter().map(|m| entry(&m.id, &m.name, &plain(m))).collect()
        }
        4 => c.quantities.iter().map(|q| entry(&q.id, &q.name, &[])).collect(),
        5 => c.designs.values().map(|d| entry(&d.id, &d.name, &[])).collect(),
        _ => c.facts.iter().map(|f| entry(&f.id, &c.name_of(&f.id), &[])).collect(),
    }
}
