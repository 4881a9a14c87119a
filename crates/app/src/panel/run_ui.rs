//! A question: what is asked, the drawing, the answer, and what is said to it.

use super::{
    Seen, finish_ui::finish_ui, form_ui::form_ui, reply_ui::feedback_ui, shell_ui::picture_frame,
    study_ui::speak,
};
use crate::{
    command::Command,
    easel::Subject,
    running::Running,
    theme::{CARD_CORNER, Look},
    widget::{
        control::{self, Choice, Rank},
        drawing::{Ask, Picked, Picture, Spoken},
        mark::{Mark, State},
        words,
    },
};
use egui::{
    Align, Frame, Key, Layout, Margin, Rect, ScrollArea, StrokeKind, Ui, UiBuilder, pos2, vec2,
};
use jarlight_geometry::{palette::Role, scene::Weight};
use jarlight_model::text::{tr, tr_with};
use jarlight_scenario::{Action, Confidence, FormView, HintView, Phase, QuestionView};

const CONFIDENCES: [(Confidence, &str); 4] = [
    (Confidence::Guess, "sure-guess"),
    (Confidence::Leaning, "sure-leaning"),
    (Confidence::FairlySure, "sure-fairly"),
    (Confidence::Certain, "sure-certain"),
];

/// Draws the run.
pub fn run_ui(ui: &mut Ui, seen: &Seen<'_>, running: &mut Running, out: &mut Vec<Command>) {
    if running.summary.is_some() {
        finish_ui(ui, seen, running, out);
        return;
    }
    let Some(view) = running.view.clone() else { return };
    let look = seen.look;
    let margin = if ui.available_width() > 1100.0 { 40 } else { 20 };
    Frame::new().inner_margin(Margin::symmetric(margin, 18)).show(ui, |ui| {
        head_ui(ui, look, &view);
        let room = ui.available_rect_before_wrap();
        let right_width = (room.width() * 0.44).max(look.px(330.0)).min(room.width() * 0.52);
        let gap = 28.0;
        let left = Rect::from_min_max(room.min, pos2(room.max.x - right_width - gap, room.max.y));
        let right = Rect::from_min_max(pos2(room.max.x - right_width, room.min.y), room.max);
        let picked = ui
            .scope_builder(UiBuilder::new().max_rect(left), |ui| {
                pictures_ui(ui, seen, running, &view)
            })
            .inner;
        let ids = picked.ids;
        let mut submit = false;
        if let Some(p) = picked.picked
            && running.is_asking()
            && matches!(view.form, FormView::Point | FormView::Marks { .. })
        {
            let point = view.form == FormView::Point;
            let again = point && picked.by_key && running.draft.point.as_ref() == Some(&p);
            running.draft.point = Some(p);
            submit = again;
        }
        ui.scope_builder(UiBuilder::new().max_rect(right), |ui| {
            ScrollArea::vertical().auto_shrink(false).id_salt(view.number).show(ui, |ui| {
                ui.set_width(ui.available_width() - 10.0);
                ui.spacing_mut().item_spacing.y = 8.0;
                match view.phase {
                    Phase::Asking => ask_ui(ui, look, running, &view, &ids, submit, out),
                    Phase::Answered | Phase::Finished => {
                        answered_ui(ui, seen, running, &view, out);
                    }
                }
            });
        });
    });
    if view.phase == Phase::Answered && view.feedback.is_none() && !running.is_writing() {
        // A check run says nothing between questions.
        out.push(Command::Act(Action::Advance));
    }
}

/// A question that is being written, as a learner sees it; it can be answered.
pub fn preview_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    running: &mut Running,
    out: &mut Vec<Command>,
    below: impl FnOnce(&mut Ui),
) {
    let Some(view) = running.view.clone() else { return };
    let look = seen.look;
    // The text keeps the keyboard.
    running.focus_given = true;
    words::text(ui, look, &view.stem, 17.0, Weight::SemiBold, Role::Ink);
    let room = ui.available_rect_before_wrap();
    let height = (room.height() * 0.52).clamp(150.0, 520.0);
    let picture = Rect::from_min_size(room.min, vec2(room.width(), height));
    let picked = ui
        .scope_builder(UiBuilder::new().max_rect(picture), |ui| {
            pictures_ui(ui, seen, running, &view)
        })
        .inner;
    ui.advance_cursor_after_rect(picture);
    let by_place = matches!(view.form, FormView::Point | FormView::Marks { .. });
    if let Some(p) = picked.picked
        && running.is_asking()
        && by_place
    {
        running.draft.point = Some(p);
    }
    ScrollArea::vertical().auto_shrink(false).id_salt("preview").show(ui, |ui| {
        ui.set_width(ui.available_width() - 10.0);
        ui.spacing_mut().item_spacing.y = 8.0;
        match view.phase {
            Phase::Asking => ask_ui(ui, look, running, &view, &picked.ids, false, out),
            Phase::Answered | Phase::Finished => answered_ui(ui, seen, running, &view, out),
        }
        below(ui);
    });
}

fn head_ui(ui: &mut Ui, look: Look, view: &QuestionView) {
    ui.horizontal(|ui| {
        let (n, of) = (view.number.to_string(), view.total.to_string());
        let count = tr_with("question-count", &[("n", &n), ("total", &of)]);
        words::text(ui, look, &count, 13.0, Weight::Medium, Role::SecondInk);
        ui.add_space(10.0);
        let done = view.number - usize::from(view.phase == Phase::Asking);
        let share = done as f32 / view.total.max(1) as f32;
        let width = (ui.available_width() * 0.3).min(300.0);
        control::progress(ui, look, share, width, &count);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            words::text(ui, look, &view.title, 13.0, Weight::Regular, Role::SecondInk);
        });
    });
    if view.number == 1 && !view.setting.is_empty() {
        words::quiet(ui, look, &view.setting);
    }
    ui.add_space(2.0);
    let stem = words::text(ui, look, &view.stem, 21.0, Weight::SemiBold, Role::Ink);
    stem.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Heading, true, &view.stem));
    ui.add_space(8.0);
}

/// What came of the drawing this frame.
struct FromPicture {
    picked: Option<Picked>,
    by_key: bool,
    // Ids of all targets, for the answer.
    ids: Vec<String>,
}

fn pictures_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    running: &mut Running,
    view: &QuestionView,
) -> FromPicture {
    let look = seen.look;
    let area = ui.available_rect_before_wrap();
    ui.painter().rect(
        area,
        CARD_CORNER,
        look.color(Role::Panel),
        look.line(Role::Rule),
        StrokeKind::Inside,
    );
    let inner = area.shrink(14.0);
    let second_picture = running.session.second_picture();
    let compared = second_picture.is_some();
    let twin = second_picture.as_ref().map(Subject::of).or_else(|| {
        let twin = view.feedback.as_ref().and_then(|f| f.twin.as_ref());
        twin.map(Subject::of)
    });
    let caption = if twin.is_some() { look.px(26.0) } else { 0.0 };
    let (first, second) = match &twin {
        Some(_) => {
            let half = (inner.width() - 12.0) / 2.0;
            let size = vec2(half, inner.height() - caption);
            (
                Rect::from_min_size(inner.min, size),
                Some(Rect::from_min_size(inner.min + vec2(half + 12.0, 0.0), size)),
            )
        }
        None => (inner, None),
    };
    let none = FromPicture { picked: None, by_key: false, ids: Vec::new() };
    let Some((subject, picture)) = running.subject() else { return none };
    let px = f64::from(first.height()) / 440.0 * running.board.canvas.zoom();
    let Some(drawn) = running.board.easel.picture(seen.catalogue, &subject, px) else {
        ui.scope_builder(UiBuilder::new().max_rect(first), |ui| {
            words::body(ui, look, &tr("study-cannot-draw"));
        });
        return none;
    };
    let spoken = if view.neutral_places { neutral(&drawn) } else { speak(seen.catalogue, &drawn) };
    let by_place = matches!(view.form, FormView::Point | FormView::Marks { .. });
    let pointing = by_place && running.is_asking() && !running.is_writing();
    let marks = marks_of(&drawn, running, view, picture.ring.as_deref());
    let near = picture.zoom.as_deref().and_then(|id| near_rect(&drawn, id));
    let highlighted = running.draft.point.as_ref().and_then(|p| p.target);
    let title = picture_title(&drawn, view, picture.ring.as_deref());
    frame_back(ui, look, first);
    let done = ui
        .scope_builder(UiBuilder::new().max_rect(first), |ui| {
            running.board.canvas.show(
                ui,
                look,
                &Ask {
                    picture: &drawn,
                    title: &title,
                    spoken: &spoken,
                    chip: !view.neutral_places,
                    labels: &[],
                    highlighted: highlighted.filter(|_| pointing),
                    veil: Default::default(),
                    marks: &marks,
                    lamp: picture.lamp,
                    choosing: pointing || !view.neutral_places,
                    near,
                },
            )
        })
        .inner;
    picture_frame(ui, look, first, 7);
    if pointing && !running.focus_given {
        // Tab then leads into the drawing.
        done.response.request_focus();
        running.focus_given = true;
    }
    if let (Some(subject), Some(rect)) = (twin, second) {
        let title = tr(if compared { "picture-right" } else { "picture-twin" });
        twin_ui(ui, seen, running, &subject, rect, picture.lamp, near, &title);
        let ids = if compared {
            ["picture-left", "picture-right"]
        } else {
            ["picture-this", "picture-twin"]
        };
        for (rect, id) in [(first, ids[0]), (rect, ids[1])] {
            let at = pos2(rect.min.x, rect.max.y + 4.0);
            let below = Rect::from_min_size(at, vec2(rect.width(), caption));
            ui.scope_builder(UiBuilder::new().max_rect(below), |ui| {
                words::text(ui, look, &tr(id), 13.0, Weight::SemiBold, Role::Ink);
            });
        }
    }
    let by_key = done.picked.is_some()
        && ui.input(|i| i.key_pressed(Key::Enter) || i.key_pressed(Key::Space));
    let ids = drawn.scene.targets.iter().map(|t| t.id()).collect();
    FromPicture { picked: done.picked, by_key, ids }
}

fn frame_back(ui: &Ui, look: Look, rect: Rect) {
    ui.painter().rect_filled(rect, 7, look.color(Role::Page));
}

fn twin_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    running: &mut Running,
    subject: &Subject,
    rect: Rect,
    lamp: bool,
    near: Option<kurbo::Rect>,
    title: &str,
) {
    let look = seen.look;
    let px = f64::from(rect.height()) / 440.0 * running.twin.canvas.zoom();
    let Some(drawn) = running.twin.easel.picture(seen.catalogue, subject, px) else { return };
    frame_back(ui, look, rect);
    ui.scope_builder(UiBuilder::new().max_rect(rect), |ui| {
        running.twin.canvas.show(
            ui,
            look,
            &Ask {
                picture: &drawn,
                title,
                spoken: &[],
                chip: false,
                labels: &[],
                highlighted: None,
                veil: Default::default(),
                marks: &[],
                lamp,
                choosing: false,
                near,
            },
        );
    });
    picture_frame(ui, look, rect, 7);
}

/// The room round a place that is brought near.
pub fn near_rect(picture: &Picture, place: &str) -> Option<kurbo::Rect> {
    let at = picture.scene.targets.iter().position(|t| t.id() == place)?;
    let r = picture.index.extent(at as u32)?;
    let grown = r.width().max(r.height()).max(30.0) * 0.6;
    Some(r.inflate(grown, grown).intersect(picture.scene.bounds))
}

/// Which ninth of the drawing a point is in, in words.
fn where_is(picture: &Picture, at: kurbo::Point) -> String {
    let b = picture.scene.bounds;
    let third = |v: f64, low: f64, size: f64| ((v - low) / size * 3.0).floor().clamp(0.0, 2.0);
    let (col, row) = (third(at.x, b.x0, b.width()), third(at.y, b.y0, b.height()));
    tr(&format!("where-{}-{}", row as u8, col as u8))
}

/// Places without names: numbered row by row, each row from the left.
pub fn neutral(picture: &Picture) -> Vec<Option<Spoken>> {
    let targets = &picture.scene.targets;
    let b = picture.scene.bounds;
    let row = |i: usize| ((targets[i].spot.y - b.y0) / b.height() * 3.0).floor() as i64;
    let mut order: Vec<usize> =
        (0..targets.len()).filter(|i| picture.index.is_drawn(*i as u32)).collect();
    order.sort_by(|a, c| {
        let (p, q) = (targets[*a].spot, targets[*c].spot);
        row(*a).cmp(&row(*c)).then(p.x.total_cmp(&q.x)).then(p.y.total_cmp(&q.y)).then(a.cmp(c))
    });
    let mut all = vec![None; targets.len()];
    for (n, i) in order.into_iter().enumerate() {
        let n = (n + 1).to_string();
        let place = where_is(picture, targets[i].spot);
        let name = tr_with("place-neutral", &[("n", &n), ("where", &place)]);
        all[i] = Some(Spoken { name, id: format!("place-{n}") });
    }
    all
}

fn picture_title(picture: &Picture, view: &QuestionView, ring: Option<&str>) -> String {
    let ringed = ring.and_then(|r| picture.scene.find(r)).filter(|_| view.neutral_places);
    match ringed {
        Some(t) => tr_with("picture-ringed", &[("where", &where_is(picture, t.spot))]),
        None => tr("picture-title"),
    }
}

fn marks_of(
    picture: &Picture,
    running: &Running,
    view: &QuestionView,
    ring: Option<&str>,
) -> Vec<Mark> {
    let all = |place: &str, state: State| {
        let of = move |t: &jarlight_geometry::scene::Target| t.id() == place || &*t.part == place;
        let targets = picture.scene.targets.iter().enumerate();
        targets.filter(move |(_, t)| of(t)).map(move |(i, _)| Mark::new(i as u32, state)).collect()
    };
    let mut marks: Vec<Mark> = Vec::new();
    match &view.feedback {
        Some(f) => {
            for place in &f.right_places {
                marks.extend::<Vec<Mark>>(all(place, State::Right));
            }
            for place in &f.chosen_places {
                let wrong: Vec<Mark> = all(place, State::Wrong);
                let new = wrong.into_iter().filter(|m| marks.iter().all(|k| k.target != m.target));
                let new: Vec<Mark> = new.collect();
                marks.extend(new);
            }
        }
        None => {
            let points = running.draft.marks.iter().map(|(p, _)| p).chain(&running.draft.point);
            marks.extend(points.filter_map(|p| p.target).map(|t| Mark::new(t, State::Selected)));
        }
    }
    if let Some(ring) = ring
        && marks.is_empty()
    {
        marks.extend::<Vec<Mark>>(all(ring, State::Ringed));
    }
    marks
}

/// The answer in the making.
fn ask_ui(
    ui: &mut Ui,
    look: Look,
    running: &mut Running,
    view: &QuestionView,
    ids: &[String],
    submit: bool,
    out: &mut Vec<Command>,
) {
    let open = !running.is_writing();
    let mut submit = submit;
    ui.add_enabled_ui(open, |ui| {
        submit |= form_ui(ui, look, running, view);
        ui.add_space(6.0);
        sure_ui(ui, look, running);
        ui.add_space(6.0);
        let answer = running.draft.answer(&view.form, ids);
        ui.horizontal_wrapped(|ui| {
            ui.add_enabled_ui(answer.is_some(), |ui| {
                let button = control::button(ui, look, Rank::Primary, &tr("answer"));
                submit |= button.clicked();
            });
            if view.hint == HintView::OnRequest
                && control::button(ui, look, Rank::Secondary, &tr("hint-ask")).clicked()
            {
                out.push(Command::Act(Action::AskHint));
            }
        });
        submit |= enter_is_free(ui) && ui.input(|i| i.key_pressed(Key::Enter));
        if submit && let Some(answer) = answer {
            let confidence = running.draft.confidence;
            out.push(Command::Act(Action::Submit { answer, confidence }));
        }
    });
    if let HintView::Shown(hint) = &view.hint {
        note_ui(ui, look, &tr("hint"), hint);
    }
    if let Some(worked) = &view.worked {
        note_ui(ui, look, &tr("worked"), &format!("{} {}", worked.right.join(" "), worked.why));
    }
}

/// True when Enter means "answer": no button or field has the keyboard.
fn enter_is_free(ui: &Ui) -> bool {
    ui.memory(|m| m.focused()).is_none()
}

fn note_ui(ui: &mut Ui, look: Look, title: &str, text: &str) {
    control::filled_card(ui, look, Role::AccentFill, Role::Accent, |ui| {
        ui.spacing_mut().item_spacing.y = 3.0;
        words::small(ui, look, title);
        words::body(ui, look, text);
    });
}

/// How sure, in four steps; may be left open.
fn sure_ui(ui: &mut Ui, look: Look, running: &mut Running) {
    words::small(ui, look, &tr("sure-title"));
    let gap = 8.0;
    let per_row = if ui.available_width() > look.px(400.0) { 4 } else { 2 };
    let width = (ui.available_width() - gap * (per_row - 1) as f32) / per_row as f32;
    for (r, part) in CONFIDENCES.chunks(per_row).enumerate() {
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = gap;
            for (i, (confidence, id)) in part.iter().enumerate() {
                let on = running.draft.confidence == Some(*confidence);
                let filled = r * per_row + i + 1;
                if super::reply_ui::sure_button(ui, look, &tr(id), filled, on, width) {
                    running.draft.confidence = (!on).then_some(*confidence);
                }
            }
        });
    }
}

fn answered_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    running: &mut Running,
    view: &QuestionView,
    out: &mut Vec<Command>,
) {
    let look = seen.look;
    let Some(feedback) = &view.feedback else { return };
    let given = running.session.given().last().map(|g| g.answer.clone());
    if let (FormView::One { list, .. }, Some(jarlight_scenario::Answer::One(id))) =
        (&view.form, given)
    {
        for (i, option) in list.iter().enumerate() {
            let is_right = feedback.right.iter().any(|r| r.contains(&option.text));
            let is_given = option.id == id;
            let right = feedback.verdict == jarlight_scenario::Verdict::Right;
            let (verdict, note) = match (is_given, is_right || (is_given && right)) {
                (true, true) => (Some(true), Some(tr("answer-yours-right"))),
                (true, false) => (Some(false), Some(tr("answer-yours"))),
                (false, true) => (Some(true), Some(tr("answer-right"))),
                (false, false) => (None, None),
            };
            control::choice(
                ui,
                look,
                &Choice {
                    key: Some(i + 1),
                    words: &option.text,
                    note: note.as_deref(),
                    chosen: false,
                    verdict,
                    open: false,
                },
            );
        }
        ui.add_space(6.0);
    }
    feedback_ui(ui, look, feedback, running.session.given().last().and_then(|g| g.confidence));
    ui.add_space(8.0);
    let last = view.number == view.total;
    let id = if last { "next-finish" } else { "next-question" };
    let next = control::button(ui, look, Rank::Primary, &tr(id));
    if !running.focus_given {
        next.request_focus();
        running.focus_given = true;
    }
    if next.clicked() || (enter_is_free(ui) && ui.input(|i| i.key_pressed(Key::Enter))) {
        // What has the keyboard now does not exist on the next page.
        next.surrender_focus();
        out.push(Command::Act(Action::Advance));
    }
    ui.add_space(12.0);
}
