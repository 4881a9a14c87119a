//! What a family is given, and everything that the conditions of a specimen do.

use super::{Family, family, shape};
use crate::{
    alter::{Alteration, Rework},
    draw::Request,
    layout::{Deformation, Levels},
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

    /// The part that the recipe is about.
    pub fn on(&self) -> &str {
        self.step.on.value.as_str()
    }

    /// True when a numbered part is meant. A place on another kind of part does not limit this
    /// step: crumbs lie on the floor under the plate that sheds them.
    pub fn covers(&self, part: &str, number: u32) -> bool {
        self.place.is_none_or(|place| match place.rsplit_once('-') {
            Some((of, n)) => of != part || n.parse() == Ok(number),
            None => true,
        })
    }
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
    /// Changes of parts while they are drawn.
    pub alterations: Vec<Alteration>,
    /// Changes of what stands between the cells of a row.
    pub row: Vec<Alteration>,
    /// How far the jar stands off its place along the row, in millimetres.
    pub slide: f64,
    /// How far the jar leans, in degrees clockwise.
    pub tilt: f64,
    /// Whether the jar stands turned against the rhythm of the row.
    pub swapped: bool,
    /// What is drawn later.
    pub(super) steps: Vec<Input<'a>>,
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
            alterations: Vec::new(),
            row: Vec::new(),
            slide: 0.0,
            tilt: 0.0,
            swapped: false,
            steps: Vec::new(),
        };
        let mut steps = Vec::new();
        for o in &specimen.occurrences {
            let Some(condition) = request.catalogue.condition(&o.condition) else { continue };
            if o.severity.value() > 0.0 {
                steps.extend(inputs(
                    condition,
                    o.severity.value(),
                    specimen.seed,
                    o.place.as_deref(),
                ));
            }
        }
        // What a neighbour shows is said by the words of a step: only neighbours, or all alike.
        steps.retain(|input| {
            if request.options.neighbour {
                input.says("neighbours") || input.says("all")
            } else {
                !input.says("neighbours")
            }
        });
        for input in &steps {
            if let Some(Family::Before(act)) = family(&input.step.family.value) {
                act(input, &mut effects, request);
            }
        }
        effects.steps = steps;
        let heights = &request.design.heights;
        effects.discharge(heights.sediment + heights.feet);
        effects
    }

    /// Mud that joins plates of both polarities discharges the cell, so that it loses colour:
    /// positives turn pale and negatives dark. What a condition says of these plates itself
    /// goes before.
    fn discharge(&mut self, space: f64) {
        const FULL: f64 = 0.3;
        let pressed = self
            .steps
            .iter()
            .filter(|i| i.step.family.value == "mound")
            .map(|i| -i.param("gap", 2.0))
            .fold(0.0, f64::max);
        let piled = self.mud.iter().map(|m| m.height).sum::<f64>() - space;
        // A mound joins both polarities 2 mm into the plates, a bed as soon as it is full.
        let joined = ((pressed - 1.0) / 2.0).max(piled / 3.0).clamp(0.0, 1.0);
        if joined > 0.0 {
            let share = (FULL * joined) as f32;
            let plates = [
                ("positive_plate", Role::LightPositive),
                ("negative_plate_inside", Role::DarkNegative),
                ("negative_plate_end", Role::DarkNegative),
            ];
            self.tints.splice(0..0, plates.map(|(part, role)| (part.to_owned(), role, share)));
        }
    }

    /// How high the bed can lie: one kind of mud leaves the plates free, several kinds on one
    /// another reach into them.
    pub fn bed_limit(&self, levels: &Levels) -> f64 {
        if self.mud.len() > 2 { levels.plate_bottom + 1.0 } else { 0.985 * levels.sediment }
    }

    /// Share of another material in a part's material.
    pub fn tint(&self, part: &str) -> Option<(Role, f32)> {
        self.tints.iter().rev().find(|(p, ..)| p == part).map(|(_, role, share)| (*role, *share))
    }

    /// Changes a part while it is drawn.
    pub(super) fn alter(&mut self, part: &str, number: Option<u32>, rework: Rework) {
        self.alterations.push(Alteration { part: part.to_owned(), number, rework });
    }

    /// Changes something between the cells of a row.
    pub(super) fn alter_row(&mut self, part: &str, number: Option<u32>, rework: Rework) {
        self.row.push(Alteration { part: part.to_owned(), number, rework });
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
