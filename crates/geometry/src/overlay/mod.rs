//! Conditions as overlays: a table of families, and what they change before or after drawing.
//!
//! A condition's entry names families with numbers by grade. Some families change the layout
//! (growth, level), some a material (tint) or a part while it is drawn (bow, missing), the
//! others draw on the outline of a part. Growing severity only adds: each mark has its place in
//! a fixed sequence or a birth threshold from its own seed.

mod acid;
mod bend;
mod blister;
mod cover;
mod creep;
mod dirt;
mod film;
mod gas;
mod grain;
mod input;
mod joint;
mod leads;
mod metal;
mod moss;
mod move_parts;
mod place;
mod plate;
mod post;
mod row;
mod shape;
mod sheet;
mod shell;
mod sparkle;
mod tag;
mod top;
mod wall;

pub use input::{Effects, Input, Mud};
pub use row::{finish_row, in_row};

use crate::{
    draw::{Pen, Request, View},
    palette::Role,
};
use jarlight_model::{
    catalogue::{Catalogue, Condition, Overlay, SeenFrom},
    diag::{Code, Diagnostic},
};

/// Version of the drawing recipes: it rises when a family draws the same numbers otherwise, so
/// that a record tells which picture was seen.
pub const RECIPES: u32 = 2;

/// How a family acts.
#[derive(Clone, Copy)]
pub enum Family {
    /// Changes the layout, a material or a part before drawing.
    Before(fn(&Input<'_>, &mut Effects<'_>, &Request<'_>)),
    /// Draws on plates, separators and mats, before what stands in front of them.
    OnPack(fn(&Input<'_>, &mut Pen<'_>)),
    /// Draws inside the jar, before the liquid is laid over.
    Inside(fn(&Input<'_>, &mut Pen<'_>)),
    /// Draws on vents, before the posts that stand in front of them.
    OnVent(fn(&Input<'_>, &mut Pen<'_>)),
    /// Draws on top of the cell.
    OnTop(fn(&Input<'_>, &mut Pen<'_>)),
    /// Draws on bars, bolts and rails, when these are drawn.
    Last(fn(&Input<'_>, &mut Pen<'_>)),
}

/// Overlay families by the name that the catalogue uses, sorted.
pub const FAMILIES: &[(&str, Family)] = &[
    ("bare_copper", Family::OnTop(post::bare_copper)),
    ("beads", Family::Inside(acid::beads)),
    ("bites", Family::OnPack(plate::bites)),
    ("blisters", Family::OnPack(blister::blisters)),
    ("blotch", Family::OnPack(film::blotch)),
    ("blush", Family::OnPack(film::blush)),
    ("bow", Family::Before(bend::bow)),
    ("break", Family::OnPack(plate::break_through)),
    ("bubbles", Family::Inside(gas::bubbles)),
    ("bulge", Family::Before(shape::bulge)),
    ("cap", Family::Before(move_parts::cap)),
    ("caulk", Family::OnTop(wall::caulk)),
    ("chip", Family::OnVent(top::chip)),
    ("clog", Family::OnVent(top::clog)),
    ("cover_crack", Family::OnTop(cover::crack)),
    ("craze", Family::OnTop(shell::craze)),
    ("creep", Family::OnTop(creep::draw)),
    ("crumbs", Family::Inside(grain::crumbs)),
    ("crust", Family::Last(joint::crust)),
    ("dendrite", Family::OnPack(moss::dendrite)),
    ("dirt", Family::OnTop(dirt::dirt)),
    ("dome", Family::OnTop(cover::dome)),
    ("drop", Family::Before(move_parts::drop)),
    ("fibre", Family::Inside(sheet::fibre)),
    ("film", Family::OnPack(film::film)),
    ("flood", Family::Inside(film::flood)),
    ("foam", Family::Inside(gas::foam)),
    ("frost", Family::Inside(grain::frost)),
    ("gaps", Family::OnPack(sheet::gaps)),
    ("glaze", Family::OnTop(film::film)),
    ("grains", Family::OnPack(grain::grains)),
    ("grease", Family::Last(joint::grease)),
    ("growth", Family::Before(shape::growth)),
    ("haze", Family::OnPack(film::haze)),
    ("heap", Family::Before(shape::heap)),
    ("heat", Family::Last(metal::heat)),
    ("label", Family::OnTop(tag::label)),
    ("lead_grains", Family::Inside(grain::grains)),
    ("lean", Family::Before(bend::lean)),
    ("level", Family::Before(shape::level)),
    ("lift", Family::Before(shape::lift)),
    ("line", Family::Inside(acid::line)),
    ("loose", Family::Last(metal::loose)),
    ("marks", Family::OnTop(shell::marks)),
    ("mat_wave", Family::OnPack(sheet::mat_wave)),
    ("milk", Family::Inside(gas::milk)),
    ("missing", Family::Before(move_parts::missing)),
    ("moss", Family::Inside(moss::moss)),
    ("mound", Family::Inside(grain::mound)),
    ("nodules", Family::OnTop(post::nodules)),
    ("notch", Family::Inside(leads::notch)),
    ("off_rhythm", Family::Before(move_parts::off_rhythm)),
    ("open_funnel", Family::OnVent(top::open_funnel)),
    ("refract", Family::Inside(shell::refract)),
    ("runs", Family::OnTop(wall::runs)),
    ("rust", Family::Last(row::rust)),
    ("schlieren", Family::Inside(acid::schlieren)),
    ("scorch", Family::Inside(film::blotch)),
    ("scum", Family::Inside(acid::scum)),
    ("shift_jar", Family::Before(move_parts::shift_jar)),
    ("sign", Family::OnTop(tag::sign)),
    ("skin", Family::OnTop(post::skin)),
    ("slits", Family::OnPack(plate::slits)),
    ("slump", Family::Before(move_parts::slump)),
    ("sparkle", Family::OnPack(sparkle::draw)),
    ("split", Family::OnPack(sheet::split)),
    ("spread", Family::OnPack(film::spread)),
    ("swell", Family::Before(bend::swell)),
    ("tint", Family::Before(shape::tint)),
    ("tube", Family::Inside(tag::tube)),
    ("tube_off", Family::Before(move_parts::tube_off)),
    ("voids", Family::Inside(leads::voids)),
    ("wall_crack", Family::OnTop(wall::crack)),
    ("wall_sheen", Family::OnTop(shell::sheen)),
    ("wave", Family::Before(bend::wave)),
    ("waves", Family::OnPack(film::waves)),
    ("weep", Family::OnTop(wall::weep)),
    ("wet", Family::OnTop(cover::wet)),
    ("worn", Family::Last(metal::worn)),
];

/// The family with this name.
pub fn family(name: &str) -> Option<Family> {
    FAMILIES.iter().find(|(n, _)| *n == name).map(|(_, f)| *f)
}

/// A diagnostic for each step of a catalogue that names no family; the file is named by the
/// condition, because a joined catalogue keeps no files.
pub fn unknown_families(catalogue: &Catalogue) -> Vec<Diagnostic> {
    let known = || FAMILIES.iter().map(|(n, _)| *n);
    steps(catalogue)
        .filter(|(_, step)| family(&step.family.value).is_none())
        .map(|(c, step)| {
            let name = &step.family.value;
            let what = format!("`{}` is drawn by no family called `{name}`", c.id.value);
            unknown(c, what).nearest(name, known())
        })
        .collect()
}

/// The same for families and for materials that the palette does not have.
pub fn unknown_words(catalogue: &Catalogue) -> Vec<Diagnostic> {
    let mut found = unknown_families(catalogue);
    found.extend(steps(catalogue).filter_map(|(c, step)| {
        let name = &step.paint.as_ref()?.value;
        if Role::parse(name).is_some() {
            return None;
        }
        let what = format!("`{}` is painted with `{name}`, which the palette lacks", c.id.value);
        Some(unknown(c, what).nearest(name, Role::ALL.iter().map(|r| r.name())))
    }));
    found
}

fn steps(catalogue: &Catalogue) -> impl Iterator<Item = (&Condition, &Overlay)> {
    catalogue.conditions.iter().flat_map(|c| c.overlay.iter().map(move |step| (c, step)))
}

fn unknown(c: &Condition, what: String) -> Diagnostic {
    Diagnostic::without_place(Code::UnknownValue, c.id.as_str(), what)
}

/// The views in which something that is seen from there is drawn.
pub const fn views(from: SeenFrom) -> &'static [View] {
    match from {
        SeenFrom::Edge => &[View::Edge, View::Row],
        SeenFrom::Face => &[View::Face],
        SeenFrom::Top => &[View::Plan, View::Edge],
        SeenFrom::Post => &[View::Edge, View::Plan],
        SeenFrom::Rack => &[View::Row, View::Plan],
        SeenFrom::Strap => &[View::Edge],
    }
}

/// Draws what lies on a pack whose first target is given; a view calls this when plates,
/// separators and mats are drawn, and what stands in front of them is not.
pub fn draw_on_pack(pen: &mut Pen<'_>, first: u32) {
    pen.pack = Some(first);
    run(pen, |family| match family {
        Family::OnPack(draw) => Some(draw),
        _ => None,
    });
    pen.pack = Some(0);
}

/// Draws what lies inside the jar; the view calls this before it lays the liquid over.
pub fn draw_inside(pen: &mut Pen<'_>) {
    if pen.pack.is_none() {
        // Seen flat on, nothing stands between the plate and the eye.
        draw_on_pack(pen, 0);
    }
    run(pen, |family| match family {
        Family::Inside(draw) => Some(draw),
        _ => None,
    });
}

/// Draws what lies on vents; a view calls this when they are drawn, and what stands in front
/// of them is not.
pub fn draw_on_vents(pen: &mut Pen<'_>) {
    pen.vents = true;
    run(pen, |family| match family {
        Family::OnVent(draw) => Some(draw),
        _ => None,
    });
}

/// Draws what lies on top of the cell.
pub fn draw_on_top(pen: &mut Pen<'_>) {
    if !pen.vents {
        draw_on_vents(pen);
    }
    run(pen, |family| match family {
        Family::OnTop(draw) => Some(draw),
        _ => None,
    });
}

/// Draws what lies on bars and rails. A view may call this several times, first when the rear
/// joints are drawn; once the marks are there it does nothing.
pub fn draw_last(pen: &mut Pen<'_>) {
    if pen.joints {
        return;
    }
    let before = pen.out.len();
    run(pen, |family| match family {
        Family::Last(draw) => Some(draw),
        _ => None,
    });
    pen.joints = pen.out.len() > before;
}

type Draw = fn(&Input<'_>, &mut Pen<'_>);

fn run(pen: &mut Pen<'_>, wanted: fn(Family) -> Option<Draw>) {
    let effects = pen.effects;
    // Outlines are those of parts already moved: marks on them must not move again.
    let alterations = pen.out.alter(Vec::new());
    for input in &effects.steps {
        if let Some(draw) = family(&input.step.family.value).and_then(wanted) {
            draw(input, pen);
        }
    }
    pen.out.end();
    pen.out.alter(alterations);
}

#[cfg(test)]
mod tests;
