//! Scenes: designs, conditions, places and ranges that a drawing can have.

use super::Checker;
use crate::{
    format::{Form, Spread, View},
    places,
};
use jarlight_model::{
    authored::Spot,
    design::Design,
    diag::{Code, Level},
    id::Slug,
};

pub(super) fn check(c: &mut Checker<'_>) {
    let file = c.file;
    for (name, scene) in &file.scenes.entries {
        let design = c.design_of(scene);
        if design.is_none() {
            let ids = c.catalogue.designs.keys().map(|d| d.as_str());
            let (at, word) = (&scene.design.at, scene.design.as_str());
            c.unknown(Code::UnknownDesign, at, "design", word, ids);
        }
        range(c, &scene.age_months, "the age in months", 0.0, 600.0);
        for placed in &scene.conditions {
            range(c, &placed.severity, "the severity", 0.0, 1.0);
            if !c.condition_is_known(&placed.id) {
                continue;
            }
            if let Some(design) = design {
                possible(c, design, &placed.id);
            }
        }
        if let Some(design) = design {
            for place in scene.conditions.iter().filter_map(|p| p.place.as_ref()).chain(&scene.zoom)
            {
                place_is_in(c, design, scene.view, place);
            }
            for part in &scene.hide {
                if c.part_is_known(part) {
                    c.part_is_in(design, part);
                }
            }
        }
        for (id, grade) in &scene.told.entries {
            c.finding_is_known(&id.value, &id.at);
            if grade.value > 5 {
                let what = format!("a grade is from 0 to 5, met {}", grade.value);
                c.error(Code::OutOfRange, &grade.at, what);
            }
        }
        for (id, months) in &scene.cured.entries {
            if c.catalogue.mechanism(&id.value).is_none() {
                let catalogue = c.catalogue;
                let ids = catalogue.mechanisms.iter().map(|m| m.id.as_str());
                c.unknown(Code::UnknownMechanism, &id.at, "cause", &id.value, ids);
            }
            if !(0.0..=600.0).contains(&months.value) {
                let what = format!("months must be from 0 to 600, met {}", months.value);
                c.error(Code::OutOfRange, &months.at, what);
            }
        }
        if let Some(t) = &scene.temperature
            && !(-30.0..=60.0).contains(&t.value)
        {
            let what = format!("the temperature must be from -30 to 60 °C, met {}", t.value);
            c.error(Code::OutOfRange, &t.at, what);
        }
        let used = file.questions.value.0.iter().any(|q| {
            let second = match &q.form.value {
                Form::Compare { second, .. } => Some(&second.value),
                _ => None,
            };
            q.scene.value == name.value || second == Some(&name.value)
        });
        if !used && file.broken.is_empty() && !file.questions.value.0.is_empty() {
            let what = format!("no question asks about the scene `{}`", name.value);
            c.error(Code::UnusedScene, &name.at, what).level = Level::Warning;
        }
    }
}

/// Reports a condition all of whose parts the design lacks.
fn possible(c: &mut Checker<'_>, design: &Design, id: &Spot<Slug>) {
    let catalogue = c.catalogue;
    let Some(condition) = catalogue.condition(id) else { return };
    if !condition.parts.iter().any(|p| catalogue.has_part(design, p)) {
        let what = format!(
            "`{}` cannot be on the design `{}`, which has none of its parts",
            id.value, design.id
        );
        c.error(Code::PartNotInDesign, &id.at, what);
    }
}

/// Reports a place that a drawing of the design cannot have; false when it has none.
pub(super) fn place_is_in(
    c: &mut Checker<'_>,
    design: &Design,
    view: View,
    place: &Spot<String>,
) -> bool {
    let Some((part, number)) = places::split(&place.value) else {
        let what = format!("`{}` is no place; a place is written part-number", place.value);
        c.error(Code::BadPlace, &place.at, what).help =
            Some("for example `positive_plate-3`, counted from the left".to_owned());
        return false;
    };
    if c.catalogue.part(part).is_none() {
        let catalogue = c.catalogue;
        let ids = catalogue.parts.iter().map(|p| p.id.as_str());
        c.unknown(Code::UnknownPart, &place.at, "part", part, ids);
        return false;
    }
    if !c.catalogue.has_part(design, part) {
        let name = c.catalogue.name_of(part).to_lowercase();
        let what = format!("the design `{}` has no {name}", design.id);
        c.error(Code::PartNotInDesign, &place.at, what);
        return false;
    }
    number.is_none_or(|n| number_is_in(c, (design, view), part, n, &place.at))
}

/// Reports a number that is higher than the count of the part.
///
/// Where several cells are shown, or layers of one, only the drawing knows how many there are.
pub(super) fn number_is_in(
    c: &mut Checker<'_>,
    (design, view): (&Design, View),
    part: &str,
    number: u32,
    at: &std::ops::Range<usize>,
) -> bool {
    let count = match view {
        View::Edge | View::Face | View::Plan => places::count(design, part),
        View::Row | View::Rack | View::Peeled => None,
    };
    let fits = number > 0 && count.is_none_or(|n| number <= n);
    if !fits {
        let name = c.catalogue.name_of(part).to_lowercase();
        let what = match count {
            Some(n) => format!("the drawing has {n} of {name}, met number {number}"),
            None => format!("numbers count from 1, met {number}"),
        };
        c.error(Code::BadPlace, at, what);
    }
    fits
}

fn range(c: &mut Checker<'_>, spread: &Spot<Spread>, what: &str, low: f64, high: f64) {
    for value in [spread.value.low, spread.value.high] {
        if !(low..=high).contains(&value) {
            let what = format!("{what} must be from {low} to {high}, met {value}");
            c.error(Code::OutOfRange, &spread.at, what);
            return;
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::check::testing::found;

    #[test]
    fn an_unknown_design_and_condition_are_found() {
        assert_eq!(
            found(&[("medium_pasted", "medium_paste")]),
            ["unknown-design \"medium_paste\""]
        );
        assert_eq!(
            found(&[("(id: \"sediment_light\"", "(id: \"sediment_lite\"")]),
            ["unknown-condition \"sediment_lite\"", "nothing-to-see \"sediment_light\"",]
        );
    }

    #[test]
    fn a_severity_beyond_one_and_a_wrong_range_are_refused() {
        assert_eq!(found(&[("severity: 0.6", "severity: 1.6")]), ["out-of-range 1.6"]);
        assert_eq!(
            found(&[("severity: 0.6", "severity: (0.2, 1.6)")]),
            ["out-of-range (0.2, 1.6)"]
        );
        assert_eq!(
            found(&[("severity: 0.6", "severity: (0.6, 0.2)")]),
            ["out-of-range (0.6, 0.2)"]
        );
        assert_eq!(found(&[("severity: 0.6", "severity: (0.2, 0.6)")]), Vec::<String>::new());
        let old = ("\"medium_pasted\",", "\"medium_pasted\", age_months: -3,");
        assert_eq!(found(&[old]), ["out-of-range -3"]);
    }

    #[test]
    fn places_are_counted_from_the_design() {
        let zoom = |place| {
            let to = format!("\"medium_pasted\", zoom: \"{place}\",");
            found(&[("\"medium_pasted\",", &to)])
        };
        assert_eq!(zoom("separator-12"), Vec::<String>::new());
        assert_eq!(zoom("separator-13"), ["bad-place \"separator-13\""]);
        assert_eq!(zoom("separator-0"), ["bad-place \"separator-0\""]);
        assert_eq!(zoom("seperator-1"), ["unknown-part \"seperator-1\""]);
        assert_eq!(zoom("tube_spine-1"), ["part-not-in-design \"tube_spine-1\""]);
    }

    #[test]
    fn several_cells_have_more_places_than_one() {
        let zoom = |view| {
            let to = format!("\"medium_pasted\", view: {view}, zoom: \"separator-30\",");
            found(&[("\"medium_pasted\",", &to)])
        };
        assert_eq!(zoom("Edge"), ["bad-place \"separator-30\""]);
        assert_eq!(zoom("Row"), Vec::<String>::new());
    }

    #[test]
    fn a_condition_of_another_construction_is_refused() {
        let burst = "conditions: [(id: \"tube_burst\", severity: 1), ";
        assert_eq!(found(&[("conditions: [", burst)]), ["part-not-in-design \"tube_burst\""]);
    }

    #[test]
    fn what_the_reasoning_is_told_must_be_known() {
        let scene =
            |to: &str| found(&[("\"medium_pasted\",", &format!("\"medium_pasted\", {to},"))]);
        assert_eq!(scene("told: {\"moss_grwth\": 0}"), ["unknown-finding \"moss_grwth\""]);
        assert_eq!(scene("told: {\"moss_growth\": 0, \"q_sg_high\": 6}"), ["out-of-range 6"]);
        assert_eq!(scene("cured: {\"m_undercharg\": 3}"), ["unknown-mechanism \"m_undercharg\""]);
        assert_eq!(scene("cured: {\"m_undercharge\": -3}"), ["out-of-range -3"]);
        assert_eq!(scene("temperature: 250"), ["out-of-range 250"]);
    }

    #[test]
    fn a_scene_that_nobody_asks_about_is_a_warning() {
        let more = "scenes: {\n    \"b\": (design: \"medium_pasted\"),";
        assert_eq!(found(&[("scenes: {", more)]), ["unused-scene \"b\""]);
    }
}
