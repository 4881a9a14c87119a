//! Drawings of the atlas: one that can be turned into its normal or its look-alike, or several
//! side by side at one place, one scale and under one lamp.

use super::{
    Seen,
    atlas_ui::{Atlas, Board, Shown, Side, is_harmless},
    atlas_view_ui::{bring_near, changed_boxes},
    shell_ui::picture_frame,
    study_ui::speak,
};
use crate::{
    easel::SightEasel,
    paint::Veil,
    theme::{CARD_CORNER, Look},
    widget::{
        badge, control,
        drawing::{Ask, Picture},
        words,
    },
};
use egui::{Rect, Role as Node, Sense, Ui, UiBuilder, WidgetInfo, pos2, vec2};
use jarlight_geometry::{change, palette::Role, scene::Weight};
use jarlight_model::{
    catalogue::{Catalogue, Condition, Link, Mechanism},
    design::Design,
    specimen::{Occurrence, Specimen},
    text::{tr, tr_with},
    unit::{Grade, Severity, months_text},
};
use std::sync::Arc;

/// Years of the film strip.
const YEARS: [f64; 8] = [0.0, 1.0, 2.0, 4.0, 7.0, 10.0, 15.0, 20.0];

/// Changes this near to each other get one outline, in millimetres.
const GAP: f64 = 4.0;
/// At most so many outlines are drawn.
const MOST_OUTLINES: usize = 12;

/// One picture with what stands under it.
struct Tile {
    side: Option<Side>,
    title: String,
    grade: Option<u8>,
    specimen: Specimen,
}

/// Draws the pictures that are chosen.
pub(super) fn tiles_ui(ui: &mut Ui, seen: &Seen<'_>, atlas: &mut Atlas, design: &Arc<Design>) {
    let Some(condition) = atlas.condition(seen.catalogue) else {
        let healthy = tile(atlas, design, None, tr("atlas-normal-title"));
        show(ui, seen, atlas, design, &[healthy], "");
        return;
    };
    let (tiles, note) = match atlas.shown {
        Shown::One => (one(seen, atlas, design), String::new()),
        Shown::Compare => compare(seen, atlas, design, condition),
        Shown::Grades => (grades(atlas, design, condition), String::new()),
        Shown::Years => years(seen, atlas, design, condition),
    };
    show(ui, seen, atlas, design, &tiles, &note);
}

fn tile(atlas: &Atlas, design: &Design, side: Option<Side>, title: String) -> Tile {
    let mut specimen = Specimen::healthy(design.id.clone());
    specimen.age_months = atlas.age;
    Tile { side, title, grade: None, specimen }
}

fn put_on(specimen: &mut Specimen, condition: &Condition, severity: Severity) {
    if severity.value() > 0.0 {
        let condition = condition.id.value.clone();
        specimen.occurrences.push(Occurrence { condition, severity, place: None });
    }
}

fn affected(atlas: &Atlas, design: &Design, name: &str) -> Tile {
    let severity = atlas.cell.get(atlas.at).map_or(0.0, |o| o.severity);
    Tile {
        side: Some(Side::Affected),
        title: name.to_owned(),
        grade: Some(Severity::clamped(severity).grade().value()),
        specimen: atlas.specimen(design),
    }
}

fn alike(atlas: &Atlas, design: &Design, other: &Condition) -> Tile {
    let mut alike = tile(atlas, design, Some(Side::Alike), other.name.clone());
    put_on(&mut alike.specimen, other, Severity::clamped(0.8));
    alike
}

/// The one drawing, on the side that is looked at.
fn one(seen: &Seen<'_>, atlas: &Atlas, design: &Design) -> Vec<Tile> {
    let normal = || tile(atlas, design, Some(Side::Normal), tr("tile-normal"));
    let name = atlas.condition(seen.catalogue).map_or("", |c| c.name.as_str());
    vec![match atlas.side {
        Side::Affected => affected(atlas, design, name),
        Side::Normal => normal(),
        Side::Alike => match look_alike(seen.catalogue, atlas, design) {
            Some(other) => alike(atlas, design, other),
            None => normal(),
        },
    }]
}

fn compare(
    seen: &Seen<'_>,
    atlas: &Atlas,
    design: &Design,
    condition: &Condition,
) -> (Vec<Tile>, String) {
    let mut tiles = vec![
        tile(atlas, design, Some(Side::Normal), tr("tile-normal")),
        affected(atlas, design, &condition.name),
    ];
    let other = look_alike(seen.catalogue, atlas, design);
    let mut note = String::new();
    if let Some(other) = other {
        tiles.push(alike(atlas, design, other));
        let tell = condition.confused.iter().find(|c| *c.with == *other.id.as_str());
        note = tell.map_or_else(String::new, |t| t.tell.clone());
    }
    (tiles, note)
}

fn grades(atlas: &Atlas, design: &Design, condition: &Condition) -> Vec<Tile> {
    let of_grade = |g: u8| {
        let grade = Grade::new(g).unwrap_or_default();
        let mut tile = tile(atlas, design, None, tr(&grade.text_id()));
        tile.grade = Some(g);
        put_on(&mut tile.specimen, condition, grade.severity());
        tile
    };
    (1..=5).map(of_grade).collect()
}

/// The cause that a film strip shows.
pub(super) fn cause_of<'a>(
    catalogue: &'a Catalogue,
    atlas: &Atlas,
    condition: &Condition,
) -> Option<&'a Mechanism> {
    let first = condition.suggests.first().map(|(id, _)| &id.value);
    let id = atlas.cause.as_ref().or(first)?;
    catalogue.mechanism(id.as_str())
}

fn years(
    seen: &Seen<'_>,
    atlas: &Atlas,
    design: &Design,
    condition: &Condition,
) -> (Vec<Tile>, String) {
    let cause = cause_of(seen.catalogue, atlas, condition);
    let shows = |c: &&Condition| {
        let linked = cause.and_then(|m| m.links.get(c.id.as_str()));
        let often = matches!(linked, Some(Link::AlmostAlways | Link::Often));
        c.id.value == condition.id.value || often && seen.catalogue.can_occur(design, c)
    };
    let all: Vec<&Condition> = seen.catalogue.conditions.iter().filter(shows).collect();
    let at = |years: &f64| {
        let months = 12.0 * years;
        let mut tile = tile(atlas, design, None, months_text(months));
        tile.specimen.age_months = months;
        for c in &all {
            let rate = atlas.rate(c);
            if let Some(grown) = c.growth.severity_after(months, rate) {
                put_on(&mut tile.specimen, c, grown);
            }
        }
        let own = tile.specimen.severity(condition.id.as_str());
        tile.grade = Some(Severity::clamped(own).grade().value());
        tile
    };
    let note = match cause {
        Some(cause) => tr_with("tile-years", &[("cause", &cause.name)]),
        None => tr("tile-years-alone"),
    };
    (YEARS.iter().map(at).collect(), note)
}

/// What the described condition is set beside, of those that it is confused with.
pub(super) fn look_alikes<'a>(
    catalogue: &'a Catalogue,
    design: &'a Design,
    condition: &'a Condition,
) -> Vec<&'a Condition> {
    let with = condition.confused.iter().filter_map(|c| catalogue.condition(&c.with));
    with.filter(|c| catalogue.can_occur(design, c)).collect()
}

/// The one that was chosen, or the first harmless one, or the first.
pub(super) fn look_alike<'a>(
    catalogue: &'a Catalogue,
    atlas: &Atlas,
    design: &'a Design,
) -> Option<&'a Condition> {
    let condition = catalogue.condition(atlas.chosen()?.as_str())?;
    let all = look_alikes(catalogue, design, condition);
    let chosen = all.iter().find(|c| Some(&c.id.value) == atlas.alike.as_ref());
    let harmless = || all.iter().find(|c| is_harmless(c));
    chosen.or_else(harmless).or_else(|| all.first()).copied()
}

/// Draws tiles in rows, their zoom, place and lamp linked.
fn show(
    ui: &mut Ui,
    seen: &Seen<'_>,
    atlas: &mut Atlas,
    design: &Arc<Design>,
    tiles: &[Tile],
    note: &str,
) {
    let look = seen.look;
    let room = ui.max_rect();
    let across = if tiles.len() > 5 { tiles.len().div_ceil(2) } else { tiles.len() };
    let rows = tiles.len().div_ceil(across);
    let (gap, caption) = (10.0, look.px(26.0));
    let foot = if note.is_empty() { 0.0 } else { look.px(36.0) };
    let width = (room.width() - gap * (across - 1) as f32) / across as f32;
    let height = (room.height() - foot) / rows as f32 - caption;
    let place = |i: usize| {
        let (row, column) = ((i / across) as f32, (i % across) as f32);
        let at = room.min + vec2(column * (width + gap), row * (height + caption));
        Rect::from_min_size(at, vec2(width, height))
    };
    bring_near(seen, atlas, design, place(0));
    let px = px_per_mm(ui, atlas, place(0));
    atlas.boards.resize_with(tiles.len().max(2) - 1, Board::default);
    let mut pictures = Vec::new();
    for (i, tile) in tiles.iter().enumerate() {
        let sight = atlas.sight(design, tile.specimen.clone());
        let easel = match i {
            0 => &mut atlas.easel,
            i => &mut atlas.boards[i - 1].easel,
        };
        let Some(picture) = easel.picture(seen.catalogue, &sight, px) else {
            cannot_draw(ui, look, easel);
            return;
        };
        pictures.push(picture);
    }
    let all = pictures.iter().map(|p| p.scene.bounds).reduce(|a, b| a.union(b));
    outline(seen, atlas, design, tiles, &pictures, px);
    let mut pose = atlas.canvas.pose();
    for (i, (tile, picture)) in tiles.iter().zip(&pictures).enumerate() {
        let canvas = match i {
            0 => &mut atlas.canvas,
            i => {
                let canvas = &mut atlas.boards[i - 1].canvas;
                canvas.follow();
                canvas.set_pose(pose);
                canvas
            }
        };
        canvas.fit_to(all);
        canvas.set_room_light(atlas.room as f32);
        let title = title_of(seen, atlas.view, tile);
        let first = i == 0 && tiles.len() == 1;
        if first && atlas.spoken.as_ref().is_none_or(|(r, _)| *r != picture.revision) {
            atlas.spoken = Some((picture.revision, speak(seen.catalogue, picture)));
        }
        let spoken = atlas.spoken.as_ref().filter(|_| first).map_or(&[][..], |(_, s)| s.as_slice());
        let done = ui
            .scope_builder(UiBuilder::new().max_rect(place(i)).id_salt(("tile", i)), |ui| {
                canvas.show(
                    ui,
                    look,
                    &Ask {
                        picture,
                        title: &title,
                        spoken,
                        chip: true,
                        labels: &[],
                        highlighted: None,
                        veil: Veil::default(),
                        marks: &[],
                        lamp: atlas.lamp,
                        choosing: first,
                        near: None,
                    },
                )
            })
            .inner;
        pose = canvas.pose();
        picture_frame(ui, look, place(i), CARD_CORNER);
        let below = Rect::from_min_size(place(i).left_bottom(), vec2(width, caption));
        caption_ui(ui, look, below, tile);
        let target = done.picked.and_then(|p| picture.scene.targets.get(p.target? as usize));
        if let Some(part) = target.and_then(|t| seen.catalogue.part(&t.part)) {
            atlas.part = Some(part.id.value.clone());
            ui.ctx().request_repaint();
        }
    }
    if pose != atlas.canvas.pose() {
        atlas.canvas.set_pose(pose);
        ui.ctx().request_repaint();
    }
    if !note.is_empty() {
        let at = Rect::from_min_max(pos2(room.min.x, room.max.y - foot), room.max);
        ui.scope_builder(UiBuilder::new().max_rect(at), |ui| words::detail(ui, look, note));
    }
}

/// Outlines of what changed, on the picture of the condition.
fn outline(
    seen: &Seen<'_>,
    atlas: &mut Atlas,
    design: &Arc<Design>,
    tiles: &[Tile],
    pictures: &[Arc<Picture>],
    px: f64,
) {
    let at = tiles.iter().position(|t| t.side == Some(Side::Affected));
    let wanted = at.filter(|_| atlas.outlines).zip(atlas.condition(seen.catalogue));
    let Some((at, condition)) = wanted else {
        atlas.canvas.outline(Vec::new());
        for board in &mut atlas.boards {
            board.canvas.outline(Vec::new());
        }
        return;
    };
    let normal = match tiles.iter().position(|t| t.side == Some(Side::Normal)) {
        Some(i) => Some(pictures[i].clone()),
        None => {
            let healthy = tile(atlas, design, None, String::new()).specimen;
            let sight = atlas.sight(design, healthy);
            atlas.boards[0].easel.picture(seen.catalogue, &sight, px)
        }
    };
    let Some(normal) = normal else { return };
    let revisions = (normal.revision, pictures[at].revision);
    if atlas.changes.as_ref().is_none_or(|(r, _)| *r != revisions) {
        let boxes = changed_boxes(condition, &normal.scene, &pictures[at].scene);
        atlas.changes = Some((revisions, change::regions(boxes, GAP, MOST_OUTLINES)));
    }
    let regions = atlas.changes.as_ref().map_or_else(Vec::new, |(_, r)| r.clone());
    let canvas = match at {
        0 => &mut atlas.canvas,
        i => &mut atlas.boards[i - 1].canvas,
    };
    canvas.outline(regions);
}

fn cannot_draw(ui: &mut Ui, look: Look, easel: &SightEasel) {
    words::body(ui, look, &tr("study-cannot-draw"));
    for reason in &easel.impossible {
        words::detail(ui, look, &reason.message);
    }
}

/// Pixels to a millimetre, by what the last drawing covered; the first is drawn at a guess.
fn px_per_mm(ui: &Ui, atlas: &Atlas, area: Rect) -> f64 {
    let (w, h) = atlas.easel.bounds(atlas.view).map_or((600.0, 440.0), |b| (b.width(), b.height()));
    let fit = (f64::from(area.width()) / w.max(1.0)).min(f64::from(area.height()) / h.max(1.0));
    fit * atlas.canvas.zoom() * f64::from(ui.ctx().pixels_per_point())
}

/// What a screen reader says of a drawing.
fn title_of(seen: &Seen<'_>, view: jarlight_geometry::draw::View, tile: &Tile) -> String {
    let view = tr(&format!("view-{}", view.name()));
    let shown = tile.specimen.occurrences.iter().map(|o| {
        let name = seen.catalogue.name_of(o.condition.as_str());
        let grade = tr(&o.severity.grade().text_id());
        tr_with("figure-condition", &[("name", &name), ("grade", &grade)])
    });
    let list: Vec<String> = shown.collect();
    if list.is_empty() {
        return tr_with("atlas-drawing-healthy", &[("view", &view)]);
    }
    tr_with("atlas-drawing", &[("view", &view), ("list", &list.join("; "))])
}

/// The sign and the words under a picture.
fn caption_ui(ui: &Ui, look: Look, rect: Rect, tile: &Tile) {
    let painter = ui.painter();
    let mid = rect.center().y;
    let mut x = rect.min.x + 2.0;
    if let Some(side) = tile.side {
        let (at, r) = (pos2(x + 8.0, mid), 7.5);
        match side {
            Side::Normal => badge::tick(painter, at, r, look),
            Side::Affected => badge::warning(painter, at, r, look),
            Side::Alike => badge::alike(painter, at, r, look),
        }
        x += 22.0;
    }
    let dots = if tile.grade.is_some() { 54.0 * look.scale().sqrt() } else { 0.0 };
    let ink = look.color(Role::Ink);
    let font = look.font(12.5, Weight::SemiBold);
    let name = control::one_line(ui, &tile.title, font, ink, rect.max.x - x - dots);
    painter.galley(pos2(x, mid - name.size().y / 2.0), name.clone(), ink);
    if let Some(grade) = tile.grade {
        badge::dots(painter, pos2(x + name.size().x + 8.0, mid), grade, look);
    }
    let side = tile.side.map(|s| tr(s.text_id()));
    let grade = tile.grade.and_then(|g| Grade::new(g).ok()).map(|g| tr(&g.text_id()));
    let said = [side, Some(tile.title.clone()), grade];
    let said: Vec<String> = said.into_iter().flatten().collect();
    let response = ui.interact(
        rect,
        ui.scope_id().with(("caption", rect.min.x as i32, rect.min.y as i32)),
        Sense::hover(),
    );
    response.widget_info(|| WidgetInfo::labeled(Node::Label, true, said.join(", ")));
}
