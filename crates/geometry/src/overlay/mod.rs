//! Conditions as overlays: a table of families, and what they change before or after drawing.
//!
//! A condition's entry names families with numbers by grade. Some families change the layout
//! (growth, level), some a material (tint), the others draw on the outline of a part. Growing
//! severity only adds: each mark has a birth threshold from its own seed.

mod creep;
mod shape;
mod sparkle;

use crate::{
    draw::{Pen, Request},
    layout::Deformation,
    palette::Role,
};
use jarlight_model::{
    catalogue::{Condition, Overlay},
    rng::child_seed,
};

/// What a family is given.
pub struct Input<'a> {
    /// The recipe step.
    pub step: &'a Overlay,
    /// Severity from 0 to 1.
    pub severity: f64,
    /// Seed of this condition on this cell.
    pub seed: u64,
    /// A figure id such as `positive_plate-3`, when it is not everywhere.
    pub place: Option<&'a str>,
}

impl Input<'_> {
    /// A number of the recipe at this severity, or a default.
    pub fn param(&self, name: &str, default: f64) -> f64 {
        self.step.params.get(name).map_or(default, |p| p.at(self.severity))
    }

    /// The material of the recipe, or a default.
    pub fn paint(&self, default: Role) -> Role {
        self.step.paint.as_ref().and_then(|p| Role::parse(&p.value)).unwrap_or(default)
    }

    /// True when the recipe has this word.
    pub fn says(&self, word: &str) -> bool {
        self.step.words.iter().any(|w| w == word)
    }

    /// True when a numbered part is meant.
    pub fn covers(&self, part: &str, number: u32) -> bool {
        self.place.is_none_or(|place| place == format!("{part}-{number}"))
    }
}

/// How a family acts.
#[derive(Clone, Copy)]
pub enum Family {
    /// Changes the layout or a material before drawing.
    Before(fn(&Input<'_>, &mut Effects<'_>, &Request<'_>)),
    /// Draws inside the jar, before the liquid is laid over.
    Inside(fn(&Input<'_>, &mut Pen<'_>)),
    /// Draws on top of everything.
    OnTop(fn(&Input<'_>, &mut Pen<'_>)),
}

/// Overlay families by the name that the catalogue uses, sorted.
pub const FAMILIES: &[(&str, Family)] = &[
    ("creep", Family::OnTop(creep::draw)),
    ("growth", Family::Before(shape::growth)),
    ("heap", Family::Before(shape::heap)),
    ("level", Family::Before(shape::level)),
    ("lift", Family::Before(shape::lift)),
    ("sparkle", Family::Inside(sparkle::draw)),
    ("tint", Family::Before(shape::tint)),
];

/// The family with this name.
pub fn family(name: &str) -> Option<Family> {
    FAMILIES.iter().find(|(n, _)| *n == name).map(|(_, f)| *f)
}

/// A layer of mud on the floor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mud {
    /// Its material.
    pub role: Role,
    /// Height of the ridges in millimetres.
    pub height: f64,
    /// Whether it has lumps.
    pub lumps: bool,
    /// Whether it lies under the negatives instead of the positives.
    pub under_negatives: bool,
    /// Seed of its shape.
    pub seed: u64,
}

/// Everything that the conditions of a specimen do.
pub struct Effects<'a> {
    /// Changes of the layout.
    pub deformation: Deformation,
    /// Layers of mud, lowest first; the healthy scant layer is always the first.
    pub mud: Vec<Mud>,
    /// Share of another material in a part's material.
    pub tints: Vec<(String, Role, f32)>,
    /// What is drawn later.
    steps: Vec<Input<'a>>,
}

impl<'a> Effects<'a> {
    /// Reads the conditions of a specimen.
    pub fn of(request: &'a Request<'a>) -> Self {
        let specimen = request.specimen;
        let mut effects = Self {
            deformation: Deformation::default(),
            mud: vec![Mud {
                role: Role::Sediment,
                height: shape::HEALTHY_MUD,
                lumps: false,
                under_negatives: false,
                seed: child_seed(specimen.seed, "mud"),
            }],
            tints: Vec::new(),
            steps: Vec::new(),
        };
        let mut steps = Vec::new();
        for o in &specimen.occurrences {
            let Some(condition) = request.catalogue.condition(&o.condition) else { continue };
            if o.severity.value() > 0.0 {
                steps.extend(inputs(condition, o.severity.value(), specimen.seed, o.place.as_deref()));
            }
        }
        for input in &steps {
            if let Some(Family::Before(act)) = family(&input.step.family.value) {
                act(input, &mut effects, request);
            }
        }
        effects.steps = steps;
        effects
    }

    /// Share of another material in a part's material.
    pub fn tint(&self, part: &str) -> Option<(Role, f32)> {
        self.tints.iter().rev().find(|(p, ..)| p == part).map(|(_, role, share)| (*role, *share))
    }
}

fn inputs<'a>(
    condition: &'a Condition,
    severity: f64,
    seed: u64,
    place: Option<&'a str>,
) -> impl Iterator<Item = Input<'a>> {
    condition.overlay.iter().enumerate().map(move |(i, step)| Input {
        step,
        severity,
        seed: child_seed(seed, &format!("{}/{i}", condition.id.value)),
        place,
    })
}

/// Draws what lies inside the jar; the view calls this before it lays the liquid over.
pub fn draw_inside(pen: &mut Pen<'_>) {
    let effects = pen.effects;
    for input in &effects.steps {
        if let Some(Family::Inside(draw)) = family(&input.step.family.value) {
            draw(input, pen);
        }
    }
    pen.out.end();
}

/// Draws what lies on top of everything.
pub fn draw_on_top(pen: &mut Pen<'_>) {
    let effects = pen.effects;
    for input in &effects.steps {
        if let Some(Family::OnTop(draw)) = family(&input.step.family.value) {
            draw(input, pen);
        }
    }
    pen.out.end();
}
