//! A page for a room: one large drawing, few and large words, the answer on a key.

use super::{
    Seen, atlas_view_ui::place_of, run_ui::near_rect, shell_ui::picture_frame, study_ui::speak,
};
use crate::{
    command::Command,
    easel::Sight,
    paint::Veil,
    presenting::{Presenting, ask, drawn_view},
    theme::{CARD_CORNER, Look},
    widget::{
        control::{self, Rank},
        drawing::{Ask, Picture},
        mark::{Mark, State},
        words,
    },
};
use egui::{Key, Rect, ScrollArea, Ui, UiBuilder, pos2, vec2};
use jarlight_geometry::{callout::Label, draw::Options, palette::Role, scene::Weight};
use jarlight_model::{
    catalogue::Catalogue,
    id::Slug,
    specimen::{Occurrence, Specimen},
    text::{tr, tr_with},
};
use jarlight_scenario::{BeganView, FormView, OptionView, Page, QuestionView, pages::Shown};
use std::sync::Arc;

/// Least size of text on a wall, in percent.
const WALL_PERCENT: u16 = 175;

/// What a page draws and says.
struct Content {
    sight: Sight,
    beside: Option<Specimen>,
    lamp: bool,
    /// Parts with a ring, and with their names once the answer is shown.
    parts: Vec<String>,
    near: Option<String>,
    head: String,
    answer: Vec<(Weight, String)>,
    options: Vec<(String, bool)>,
}

/// Draws the page in sight.
pub fn present_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    presenting: &mut Presenting,
    out: &mut Vec<Command>,
) {
    keys(ui, presenting, out);
    let mut look = seen.look;
    look.percent = look.percent.max(WALL_PERCENT);
    look_up(seen, presenting);
    let room = ui.max_rect().shrink2(vec2(36.0, 20.0));
    let foot = seen.look.px(44.0);
    let lower = Rect::from_min_max(pos2(room.min.x, room.max.y - foot), room.max);
    ui.scope_builder(UiBuilder::new().max_rect(lower), |ui| {
        foot_ui(ui, seen.look, presenting, out);
    });
    let upper = Rect::from_min_max(room.min, pos2(room.max.x, lower.min.y - 8.0));
    ui.scope_builder(UiBuilder::new().max_rect(upper), |ui| {
        match content(seen.catalogue, presenting) {
            Some(content) => content_ui(ui, seen, look, presenting, &content),
            None => {
                words::text(ui, look, &tr("present-missing"), 16.0, Weight::Regular, Role::Ink);
            }
        }
    });
}

fn keys(ui: &Ui, presenting: &mut Presenting, out: &mut Vec<Command>) {
    let pressed = |keys: &[Key]| ui.input(|i| keys.iter().any(|k| i.key_pressed(*k)));
    // A button that has the keyboard takes Space for itself.
    let free = ui.memory(|m| m.focused().is_none());
    if pressed(&[Key::ArrowRight, Key::PageDown]) {
        out.push(Command::TurnPage { onward: true });
    }
    if pressed(&[Key::ArrowLeft, Key::PageUp]) {
        out.push(Command::TurnPage { onward: false });
    }
    if free && pressed(&[Key::Space, Key::Enter]) {
        out.push(Command::ShowAnswer);
    }
    if pressed(&[Key::L]) {
        presenting.lamp = Some(!presenting.lamp.unwrap_or(false));
    }
    if pressed(&[Key::Escape]) {
        out.push(Command::EndPresenting);
    }
}

/// Looks up the question of a page and the place it is about, once.
fn look_up(seen: &Seen<'_>, presenting: &mut Presenting) {
    if presenting.ready == Some(presenting.at) {
        return;
    }
    presenting.ready = Some(presenting.at);
    match presenting.page().cloned() {
        Some(Page::Question { scenario, number, seed }) => {
            let entries = seen.library.entries.iter().filter_map(|e| e.scenario.as_ref());
            let found = entries.into_iter().find(|s| *s.id() == scenario.value);
            presenting.question =
                found.and_then(|s| ask(s, seen.catalogue, number.value as usize, seed as u64));
        }
        Some(Page::Atlas { design, view, conditions, lamp, .. }) => {
            let design = seen.catalogue.designs.get(&design.value);
            let first = conditions.first().and_then(|c| seen.catalogue.condition(c.id.as_str()));
            if let (Some(design), Some(first)) = (design, first)
                && let Some((place, glints)) =
                    place_of(seen.catalogue, design, drawn_view(view), first, None, 1.6)
            {
                presenting.canvas.bring_near(place);
                presenting.lamp.get_or_insert(lamp || glints);
            }
        }
        _ => {}
    }
}

fn healthy(catalogue: &Catalogue, design: &Slug) -> Option<Sight> {
    let shipped = catalogue.designs.get(design)?;
    Some(Sight {
        specimen: Specimen::healthy(design.clone()),
        design: Arc::new(shipped.clone()),
        view: jarlight_geometry::draw::View::Edge,
        options: Options::default(),
    })
}

fn content(catalogue: &Catalogue, presenting: &Presenting) -> Option<Content> {
    match presenting.page()? {
        Page::View { design, view, parts, say } => {
            let mut sight = healthy(catalogue, &design.value)?;
            sight.view = drawn_view(*view);
            let answer = parts.iter().filter_map(|p| catalogue.part(p.as_str())).flat_map(|p| {
                [(Weight::SemiBold, p.name.clone()), (Weight::Regular, p.recognise.text.clone())]
            });
            Some(Content {
                sight,
                beside: None,
                lamp: presenting.lamp.unwrap_or(false),
                parts: parts.iter().map(|p| p.value.to_string()).collect(),
                near: None,
                head: say.clone().unwrap_or_else(|| tr("present-part")),
                answer: answer.collect(),
                options: Vec::new(),
            })
        }
        Page::Atlas { design, view, conditions, compare, say, .. } => {
            let mut sight = healthy(catalogue, &design.value)?;
            sight.view = drawn_view(*view);
            let beside = compare.then(|| sight.specimen.clone());
            for shown in conditions {
                sight.specimen.occurrences.push(Occurrence {
                    condition: shown.id.value.clone(),
                    severity: shown.severity,
                    place: None,
                });
            }
            Some(Content {
                sight,
                beside,
                lamp: presenting.lamp.unwrap_or(false),
                parts: Vec::new(),
                near: None,
                head: say.clone().unwrap_or_else(|| tr("present-look")),
                answer: conditions.iter().flat_map(|c| named(catalogue, c)).collect(),
                options: Vec::new(),
            })
        }
        Page::Question { .. } => question(catalogue, presenting),
    }
}

/// A condition in words: name and grade, and what the eye sees.
fn named(catalogue: &Catalogue, shown: &Shown) -> Vec<(Weight, String)> {
    let Some(condition) = catalogue.condition(shown.id.as_str()) else { return Vec::new() };
    let grade = tr(&shown.severity.grade().text_id());
    let name = tr_with("figure-condition", &[("name", &condition.name), ("grade", &grade)]);
    vec![(Weight::SemiBold, name), (Weight::Regular, condition.see.text.clone())]
}

fn question(catalogue: &Catalogue, presenting: &Presenting) -> Option<Content> {
    let session = presenting.question.as_ref()?;
    let (view, picture) = (session.view()?, session.picture()?);
    let mut sight = healthy(catalogue, &picture.specimen.design)?;
    sight.view = drawn_view(picture.view);
    sight.options.hidden = picture.hide.iter().map(ToString::to_string).collect();
    sight.options.broken_out = picture.broken_out;
    sight.specimen = picture.specimen.clone();
    let beside = match session.second_picture() {
        Some(second) => Some(second.specimen),
        None => presenting.answered.then(|| picture.healthy().specimen),
    };
    let right = view.feedback.as_ref().map_or(&[][..], |f| f.right.as_slice());
    let options = options_of(&view).into_iter().map(|o| {
        let is_right = right.contains(&o.text);
        (o.text, is_right)
    });
    let answer = view.feedback.as_ref().map_or_else(Vec::new, |f| {
        let right = f.right.iter().map(|r| (Weight::SemiBold, r.clone()));
        right.chain(std::iter::once((Weight::Regular, f.why.clone()))).collect()
    });
    Some(Content {
        sight,
        beside,
        lamp: presenting.lamp.unwrap_or(picture.lamp),
        parts: picture.ring.into_iter().collect(),
        near: picture.zoom,
        head: view.stem.clone(),
        answer,
        options: options.collect(),
    })
}

fn options_of(view: &QuestionView) -> Vec<OptionView> {
    match &view.form {
        FormView::One { list, .. }
        | FormView::Several { list }
        | FormView::Order { list }
        | FormView::Marks { labels: list } => list.clone(),
        FormView::Diagnose { condition, cause, began } => {
            let mut all = condition.clone();
            all.extend(cause.iter().cloned());
            if let BeganView::Bands(bands) = began {
                all.extend(bands.iter().cloned());
            }
            all
        }
        FormView::Point | FormView::Interval { .. } | FormView::Number { .. } => Vec::new(),
    }
}

fn content_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    look: Look,
    presenting: &mut Presenting,
    content: &Content,
) {
    words::text(ui, look, &content.head, 17.0, Weight::SemiBold, Role::Ink);
    ui.add_space(8.0);
    let room = ui.available_rect_before_wrap();
    let told = presenting.answered && !content.answer.is_empty();
    let with_words = told || !content.options.is_empty();
    let side = if with_words { room.width() * 0.36 } else { 0.0 };
    let pictures = Rect::from_min_max(room.min, pos2(room.max.x - side, room.max.y));
    pictures_ui(ui, seen, look, presenting, content, pictures);
    if !with_words {
        return;
    }
    let beside = Rect::from_min_max(pos2(room.max.x - side + 28.0, room.min.y), room.max);
    ui.scope_builder(UiBuilder::new().max_rect(beside), |ui| {
        ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
            ui.set_width(ui.available_width() - 10.0);
            for (i, (text, right)) in content.options.iter().enumerate() {
                let verdict = (presenting.answered && *right).then_some(true);
                let choice = control::Choice {
                    key: (i < 9).then_some(i + 1),
                    words: text,
                    note: None,
                    chosen: false,
                    verdict,
                    open: false,
                };
                control::choice(ui, look, &choice);
                ui.add_space(4.0);
            }
            if told {
                ui.add_space(10.0);
                for (weight, text) in &content.answer {
                    let role = if *weight == Weight::Regular { Role::SecondInk } else { Role::Ink };
                    words::text(ui, look, text, 13.5, *weight, role);
                }
            }
        });
    });
}

/// One drawing, or two side by side at one place and under one lamp.
fn pictures_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    look: Look,
    presenting: &mut Presenting,
    content: &Content,
    room: Rect,
) {
    let caption = if content.beside.is_some() { look.px(28.0) } else { 0.0 };
    let gap = 16.0;
    let count = if content.beside.is_some() { 2.0 } else { 1.0 };
    let width = (room.width() - gap * (count - 1.0)) / count;
    let place = |i: usize| {
        let at = room.min + vec2((width + gap) * i as f32, 0.0);
        Rect::from_min_size(at, vec2(width, room.height() - caption))
    };
    let px = f64::from(room.height()) / 440.0 * presenting.canvas.zoom();
    let mut list = vec![(content.sight.clone(), "present-shown")];
    if let Some(beside) = &content.beside {
        let sight = Sight { specimen: beside.clone(), ..content.sight.clone() };
        let named =
            if matches!(presenting.page(), Some(Page::Question { .. })) && !presenting.answered {
                "picture-right"
            } else {
                "present-normal"
            };
        list.push((sight, named));
    }
    for (i, (sight, name)) in list.iter().enumerate() {
        let pose = presenting.canvas.pose();
        let (easel, canvas) = match i {
            0 => (&mut presenting.easel, &mut presenting.canvas),
            _ => (&mut presenting.beside.0, &mut presenting.beside.1),
        };
        if i > 0 {
            canvas.set_pose(pose);
        }
        // Arrow keys turn the page.
        canvas.follow();
        let Some(picture) = easel.picture(seen.catalogue, sight, px) else {
            words::body(ui, look, &tr("study-cannot-draw"));
            return;
        };
        let (marks, labels) = pointed(seen, content, &picture, presenting.answered);
        let asking = !presenting.answered;
        let spoken = if asking { Vec::new() } else { speak(seen.catalogue, &picture) };
        let near = content.near.as_deref().and_then(|id| near_rect(&picture, id));
        let title = tr("picture-title");
        let ask = Ask {
            picture: &picture,
            title: &title,
            spoken: &spoken,
            chip: !asking,
            labels: if i == 0 { &labels } else { &[] },
            highlighted: None,
            veil: Veil::default(),
            marks: if i == 0 { &marks } else { &[] },
            lamp: content.lamp,
            choosing: false,
            near,
        };
        let builder = UiBuilder::new().max_rect(place(i)).id_salt(("page", i));
        ui.scope_builder(builder, |ui| canvas.show(ui, look, &ask));
        if i > 0 && canvas.pose() != pose {
            let pose = canvas.pose();
            presenting.canvas.set_pose(pose);
        }
        picture_frame(ui, look, place(i), CARD_CORNER);
        if content.beside.is_some() {
            let below =
                Rect::from_min_size(place(i).left_bottom() + vec2(0.0, 4.0), vec2(width, caption));
            ui.scope_builder(UiBuilder::new().max_rect(below), |ui| {
                words::text(ui, look, &tr(name), 13.0, Weight::SemiBold, Role::Ink);
            });
        }
    }
}

/// Rings on the parts that are asked about, and their names once these may be read.
fn pointed(
    seen: &Seen<'_>,
    content: &Content,
    picture: &Picture,
    answered: bool,
) -> (Vec<Mark>, Vec<Label>) {
    let targets = &picture.scene.targets;
    let (mut marks, mut labels) = (Vec::new(), Vec::new());
    for wanted in &content.parts {
        let is = |i: usize| {
            let target = &targets[i];
            *target.part == **wanted || target.id() == *wanted
        };
        let shown = (0..targets.len()).find(|i| is(*i) && picture.index.is_drawn(*i as u32));
        let Some(target) = shown.map(|i| i as u32) else { continue };
        marks.push(Mark::new(target, State::Ringed));
        if answered {
            let name = seen.catalogue.name_of(&targets[target as usize].part);
            labels.push(Label { target, name, note: None, rank: 0 });
        }
    }
    (marks, labels)
}

/// Where one is, and what can be done; small, since it is for the person in front.
fn foot_ui(ui: &mut Ui, look: Look, presenting: &mut Presenting, out: &mut Vec<Command>) {
    ui.horizontal_wrapped(|ui| {
        let answer = if presenting.answered { "present-hide" } else { "present-answer" };
        for (id, rank, command) in [
            ("present-back", Rank::Plain, Command::TurnPage { onward: false }),
            ("present-next", Rank::Plain, Command::TurnPage { onward: true }),
            (answer, Rank::Secondary, Command::ShowAnswer),
        ] {
            if control::button(ui, look, rank, &tr(id)).clicked() {
                out.push(command);
            }
        }
        let lamp = presenting.lamp.unwrap_or(false);
        if control::switch(ui, look, &tr("present-lamp"), lamp) {
            presenting.lamp = Some(!lamp);
        }
        if control::button(ui, look, Rank::Plain, &tr("present-end")).clicked() {
            out.push(Command::EndPresenting);
        }
        let (n, total) = ((presenting.at + 1).to_string(), presenting.pages.len().to_string());
        words::detail(ui, look, &tr_with("present-place", &[("n", &n), ("total", &total)]));
        words::detail(ui, look, &tr("present-keys"));
    });
}
