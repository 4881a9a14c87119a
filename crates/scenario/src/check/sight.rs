//! Whether the scene shows what the question asks about, and the stem keeps it to itself.

use super::{Checker, is_harmless};
use crate::{
    format::{CANNOT_TELL, Form, NONE, NORMAL, Question, Scene, View},
    places,
};
use jarlight_model::{
    authored::Spot,
    catalogue::{Catalogue, SeenFrom},
    diag::{Code, Level},
    id::Slug,
};
use std::ops::Range;

pub(super) fn check(c: &mut Checker<'_>) {
    for q in c.questions() {
        let Some(scene) = c.scene_of(q) else { continue };
        match &q.form.value {
            Form::Diagnose { condition, .. } => {
                let right = condition.right.as_str();
                let wrong = defects(c.catalogue, scene);
                if right == NORMAL && !wrong.is_empty() {
                    let what =
                        format!("the answer is `normal`, but the scene shows `{}`", wrong[0]);
                    c.error(Code::NothingToSee, &condition.right.at, what);
                } else if ![NORMAL, CANNOT_TELL].contains(&right)
                    && c.catalogue.condition(right).is_some()
                {
                    shown(c, scene, right, &condition.right.at);
                    tells(c, q, right);
                }
                for option in &condition.options {
                    distractor(c, scene, option.as_str(), right, &option.at);
                }
            }
            Form::Name { target, .. } => {
                if let Some((part, _)) = places::split(&target.value) {
                    tells(c, q, part);
                }
            }
            Form::Missing { options, right } => missing(c, scene, options, right),
            Form::Which { options, right, .. } => {
                let causes = options.iter().any(|o| c.catalogue.mechanism(o).is_some());
                if !causes {
                    which(c, q, scene, options, right);
                }
            }
            Form::Age { .. } | Form::NextLook { .. } | Form::Evidence { .. } => {
                if defects(c.catalogue, scene).is_empty() {
                    let what = "the scene shows nothing that could be reasoned about";
                    c.error(Code::NothingToSee, &q.scene.at, what);
                }
            }
            Form::MarkAll { labels } => marked(c, scene, labels, &q.form.at),
            Form::Grade { condition } => {
                if scene.conditions.iter().any(|p| p.id.value == condition.value) {
                    shown(c, scene, condition, &condition.at);
                }
            }
            Form::Point { .. }
            | Form::Choice { .. }
            | Form::NormalOrNot
            | Form::Order { .. }
            | Form::Compare { .. }
            | Form::Readings { .. } => {}
        }
    }
}

/// The missing part must be hidden, and no other option.
fn missing(c: &mut Checker<'_>, scene: &Scene, options: &[Spot<Slug>], right: &Spot<Slug>) {
    let hidden = |id: &str| scene.hide.iter().any(|h| h.as_str() == id);
    if right.as_str() != NONE && c.catalogue.part(right).is_some() && !hidden(right) {
        let what = format!("the scene does not hide `{}`", right.value);
        c.error(Code::NothingToSee, &right.at, what).help =
            Some(format!("write hide: [\"{}\"] in the scene", right.value));
    }
    for option in options.iter().filter(|o| o.value != right.value && hidden(o)) {
        let what = format!("the scene hides `{}` too, so this option is not wrong", option.value);
        c.error(Code::AlsoTrue, &option.at, what);
    }
}

/// The right conditions must be shown, and no other option.
fn which(
    c: &mut Checker<'_>,
    q: &Question,
    scene: &Scene,
    options: &[Spot<Slug>],
    right: &[Spot<Slug>],
) {
    let is_right = |id: &str| right.iter().any(|r| r.as_str() == id);
    for key in right {
        if c.catalogue.condition(key).is_some() {
            shown(c, scene, key, &key.at);
            tells(c, q, key);
        } else if key.as_str() == NORMAL && !defects(c.catalogue, scene).is_empty() {
            let what = "the answer is `normal`, but the scene shows something";
            c.error(Code::NothingToSee, &key.at, what);
        }
    }
    for option in options.iter().filter(|o| !is_right(o)) {
        distractor(c, scene, option, "", &option.at);
    }
}

/// Everything that is wrong in the scene must have a label.
fn marked(c: &mut Checker<'_>, scene: &Scene, labels: &[Spot<Slug>], form: &Range<usize>) {
    let wrong = defects(c.catalogue, scene);
    if wrong.len() > MOST_MARKED {
        let what = format!("at most {MOST_MARKED} things can be marked, met {}", wrong.len());
        c.error(Code::TooManyOptions, form, what);
    }
    for id in wrong.iter().filter(|id| !labels.iter().any(|l| l.as_str() == **id)) {
        let what = format!("the scene shows `{id}`, which is not among the labels");
        let at = labels.first().map_or(form, |l| &l.at);
        c.error(Code::KeyNotOption, at, what);
    }
}

/// Most findings that marks are matched with.
const MOST_MARKED: usize = 12;

/// The conditions of a scene that are no harmless look-alikes.
fn defects<'a>(catalogue: &Catalogue, scene: &'a Scene) -> Vec<&'a str> {
    let ids = scene.conditions.iter().filter(|p| p.severity.value.high > 0.0);
    ids.map(|p| p.id.as_str()).filter(|id| !is_harmless(catalogue, id)).collect()
}

/// Reports a condition that the scene lacks, or that cannot be seen from there.
fn shown(c: &mut Checker<'_>, scene: &Scene, id: &str, at: &Range<usize>) {
    let there = scene.conditions.iter().any(|p| p.id.as_str() == id && p.severity.value.low > 0.0);
    if !there {
        let what = format!("the scene does not show `{id}`");
        let placed: Vec<String> = scene.conditions.iter().map(|p| p.id.to_string()).collect();
        c.error(Code::NothingToSee, at, what).help = Some(if placed.is_empty() {
            "add it to the conditions of the scene".to_owned()
        } else {
            format!("the scene shows: {}", placed.join(", "))
        });
        return;
    }
    let Some(condition) = c.catalogue.condition(id) else { return };
    let from: &[SeenFrom] = match scene.view {
        View::Edge => &[SeenFrom::Edge, SeenFrom::Post, SeenFrom::Strap, SeenFrom::Rack],
        View::Face => &[SeenFrom::Face, SeenFrom::Post, SeenFrom::Strap],
        View::Plan => &[SeenFrom::Top, SeenFrom::Post, SeenFrom::Rack],
        View::Row => &[SeenFrom::Rack, SeenFrom::Edge, SeenFrom::Post, SeenFrom::Strap],
        // Cells of a rack are drawn plain, and an element taken apart shows no condition.
        View::Peeled | View::Rack => &[],
    };
    if !condition.views.iter().any(|v| from.contains(v)) {
        let what = format!("`{id}` cannot be seen from this view");
        c.error(Code::NotInView, at, what).level = Level::Warning;
    }
}

/// Reports a wrong option that is true of the scene as well.
fn distractor(c: &mut Checker<'_>, scene: &Scene, option: &str, right: &str, at: &Range<usize>) {
    let there = scene.conditions.iter().any(|p| p.id.as_str() == option);
    if there && option != right && !is_harmless(c.catalogue, option) && right != NORMAL {
        let what = format!("the scene shows `{option}` too, so this option is not wrong");
        c.error(Code::AlsoTrue, at, what).help =
            Some("take it out of the options or out of the scene".to_owned());
    }
}

/// Warns when the stem or the hint says the name of the right answer.
fn tells(c: &mut Checker<'_>, q: &Question, id: &str) {
    let catalogue = c.catalogue;
    let synonyms = catalogue
        .condition(id)
        .map(|x| &x.synonyms)
        .or_else(|| catalogue.part(id).map(|p| &p.synonyms));
    let mut names = vec![catalogue.name_of(id)];
    names.extend(synonyms.into_iter().flatten().cloned());
    let stem = q.stem.value.to_lowercase();
    if let Some(name) = names.iter().find(|n| stem.contains(&n.to_lowercase())) {
        let what = format!("the stem says `{name}`, which is the right answer");
        c.error(Code::StemTells, &q.stem.at, what).level = Level::Warning;
    }
}

#[cfg(test)]
mod tests {
    use crate::check::testing::found;

    #[test]
    fn the_right_condition_must_be_on_the_scene() {
        let none = (", conditions: [(id: \"sediment_light\", severity: 0.6)]", "");
        assert_eq!(found(&[none]), ["nothing-to-see \"sediment_light\""]);
        let normal = ("right: \"sediment_light\"", "right: \"normal\"");
        assert_eq!(found(&[normal]), ["nothing-to-see \"normal\""]);
    }

    #[test]
    fn a_distractor_must_not_be_true() {
        let both = ("severity: 0.6)", "severity: 0.6), (id: \"sediment_dark\", severity: 0.6)");
        assert_eq!(found(&[both]), ["also-true \"sediment_dark\""]);
    }

    #[test]
    fn a_stem_that_tells_and_a_view_that_hides_are_warnings() {
        assert_eq!(
            found(&[("What is ringed?", "Is the separator ringed?")]),
            ["stem-tells \"Is the separator ringed?\""]
        );
        let plan = ("\"medium_pasted\",", "\"medium_pasted\", view: Plan,");
        assert_eq!(found(&[plan]), ["not-in-view \"sediment_light\""]);
        let row = ("\"medium_pasted\",", "\"medium_pasted\", view: Row,");
        assert_eq!(found(&[row]), Vec::<String>::new());
        let rack = ("\"medium_pasted\",", "\"medium_pasted\", view: Rack,");
        assert_eq!(found(&[rack]), ["not-in-view \"sediment_light\""]);
    }

    #[test]
    fn a_missing_part_is_hidden_and_no_other_option_is() {
        use crate::check::testing::found_with;
        let part = "Missing(options: [\"dust_cap\", \"jar\"], right: \"dust_cap\")";
        assert_eq!(found_with(part), ["nothing-to-see \"dust_cap\""]);
        let hide =
            ("scenes: {", "scenes: {\n \"h\": (design: \"medium_pasted\", hide: [\"dust_cap\"]),");
        let ask = |form: &str| {
            let q =
                format!("questions: [\n (id: \"q0\", scene: \"h\", stem: \"?\", form: {form}),");
            found(&[hide, ("questions: [", &q)])
        };
        assert_eq!(ask(part), Vec::<String>::new());
        let none = "Missing(options: [\"dust_cap\", \"jar\"], right: \"none\")";
        assert_eq!(ask(none), ["also-true \"dust_cap\""]);
    }

    #[test]
    fn everything_wrong_has_a_label() {
        use crate::check::testing::found_with;
        let marks = "MarkAll(labels: [\"sediment_dark\", \"moss_growth\"])";
        assert_eq!(found_with(marks), ["key-not-option \"sediment_dark\""]);
    }

    #[test]
    fn reasoning_needs_something_to_reason_about() {
        let scene = ("scenes: {", "scenes: {\n \"h\": (design: \"medium_pasted\"),");
        for form in [
            "Age(truth: (6, 12))",
            "NextLook(options: [\"q_v_low_string\", \"sediment_dark\"])",
            "Evidence(cause: \"m_undercharge\", options: [\"sediment_light\", \"level_low\"])",
        ] {
            let q =
                format!("questions: [\n (id: \"q0\", scene: \"h\", stem: \"?\", form: {form}),");
            assert_eq!(found(&[scene, ("questions: [", &q)]), ["nothing-to-see \"h\""], "{form}");
        }
    }
}
