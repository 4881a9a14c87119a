//! What a question points to: its scene, its parts and numbers, what it is about.

use super::{Checker, scenes};
use crate::format::{Form, Question, Scene, Side, View};
use jarlight_model::{
    authored::Spot,
    diag::{Code, Diagnostic, Level},
    id::Slug,
};

pub(super) fn check(c: &mut Checker<'_>) {
    let file = c.file;
    for q in &file.questions.value.0 {
        if !q.broken.contains(&"scene") {
            scene_is_known(c, &q.scene);
        }
        for id in &q.about {
            let catalogue = c.catalogue;
            let all = || {
                let parts = catalogue.parts.iter().map(|x| x.id.as_str());
                let conditions = catalogue.conditions.iter().map(|x| x.id.as_str());
                let causes = catalogue.mechanisms.iter().map(|x| x.id.as_str());
                let facts = catalogue.facts.iter().map(|x| x.id.as_str());
                parts.chain(conditions).chain(causes).chain(facts)
            };
            if !all().any(|known| known == id.as_str()) {
                let kind = "part, condition, cause or fact";
                c.unknown(Code::UnknownSubject, &id.at, kind, id, all());
            }
        }
    }
    for q in c.questions() {
        let scene = c.scene_of(q);
        let design = scene.and_then(|scene| c.design_of(scene));
        let view = scene.map_or(View::Edge, |scene| scene.view);
        match &q.form.value {
            Form::Point { part, number, also } => {
                for part in std::iter::once(part).chain(also) {
                    let known = c.part_is_known(part);
                    if let (true, Some(design)) = (known, design) {
                        c.part_is_in(design, part);
                    }
                }
                if let (Some(number), Some(design)) = (number, design)
                    && c.catalogue.has_part(design, part)
                {
                    scenes::number_is_in(c, (design, view), part, number.value, &number.at);
                }
            }
            Form::Name { target, .. } => {
                if let Some(design) = design {
                    scenes::place_is_in(c, design, view, target);
                }
            }
            Form::Choice { .. } => {
                if q.why.is_none() && q.about.is_empty() && q.broken.is_empty() {
                    let what = format!("nothing explains the answer to `{}`", q.id.value);
                    let d = c.error(Code::NoFeedback, &q.id.at, what);
                    d.level = Level::Warning;
                    d.help = Some("write why: \"…\", or about: [ids of the catalogue]".to_owned());
                }
            }
            Form::Missing { options, .. } => {
                for part in options.iter().filter(|o| c.catalogue.part(o).is_some()) {
                    if let Some(design) = design {
                        c.part_is_in(design, part);
                    }
                }
            }
            Form::Compare { second, condition, right } => {
                compared(c, q, second, condition.as_ref(), right.as_ref());
            }
            Form::Diagnose { .. }
            | Form::NormalOrNot
            | Form::Which { .. }
            | Form::Age { .. }
            | Form::NextLook { .. }
            | Form::Order { .. }
            | Form::MarkAll { .. }
            | Form::Grade { .. }
            | Form::Evidence { .. }
            | Form::Readings { .. } => {}
        }
    }
}

/// Reports a scene that is not there.
fn scene_is_known(c: &mut Checker<'_>, scene: &Spot<String>) {
    let file = c.file;
    let known = file.scenes.get(&scene.value).is_some()
        || file.scenes.broken.contains(&scene.value)
        || file.broken.contains(&"scenes");
    if known {
        return;
    }
    let what = format!("no scene is called `{}`", scene.value);
    let d = Diagnostic::new(Code::UnknownScene, c.source, scene.at.clone(), what);
    let names: Vec<&str> = file.scenes.keys().collect();
    let near = d.clone().nearest(&scene.value, names.iter().copied());
    c.found.push(match near.help {
        Some(_) => near,
        None => d.help(format!("known scenes: {}", names.join(", "))),
    });
}

/// Two scenes that differ, and one way to tell which is right.
fn compared(
    c: &mut Checker<'_>,
    q: &Question,
    second: &Spot<String>,
    condition: Option<&Spot<Slug>>,
    right: Option<&Spot<Side>>,
) {
    scene_is_known(c, second);
    if second.value == q.scene.value {
        let what = "a scene is compared with itself";
        c.error(Code::RepeatedOption, &second.at, what);
    }
    match (condition, right) {
        (None, None) => {
            let what = "comparing needs a `condition`, or a `right` side";
            c.error(Code::MissingField, &q.form.at, what);
        }
        (Some(_), Some(right)) => {
            let what = "with a `condition` the scenes say which side is right";
            c.error(Code::RepeatedField, &right.at, what);
        }
        _ => {}
    }
    let Some(condition) = condition else { return };
    if c.condition_is_known(condition) {
        let scenes = [c.scene_of(q), c.file.scenes.get(&second.value)];
        let shown = |s: &Scene| s.conditions.iter().any(|p| p.id.value == condition.value);
        let both = scenes.iter().flatten().count() == 2;
        if both && !scenes.into_iter().flatten().any(shown) {
            let what = format!("neither scene shows `{}`", condition.value);
            c.error(Code::NothingToSee, &condition.at, what);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::check::testing::found;

    #[test]
    fn an_unknown_scene_is_named_once() {
        assert_eq!(found(&[("scene: \"a\"", "scene: \"b\"")]), ["unknown-scene \"b\""]);
    }

    #[test]
    fn a_part_must_exist_and_be_in_the_design() {
        assert_eq!(
            found(&[("\"retainer_mat\", number: 3", "\"retainer_mad\"")]),
            ["unknown-part \"retainer_mad\""]
        );
        assert_eq!(
            found(&[("\"retainer_mat\", number: 3", "\"tube_spine\"")]),
            ["part-not-in-design \"tube_spine\""]
        );
        assert_eq!(found(&[("number: 3", "number: 13")]), ["bad-place 13"]);
        assert_eq!(
            found(&[("\"separator-2\"", "\"separator-13\"")]),
            ["bad-place \"separator-13\""]
        );
    }

    #[test]
    fn what_a_question_is_about_must_exist() {
        let about = ("\"positive_plate\"", "\"seperator\"");
        assert_eq!(found(&[about]), ["unknown-subject \"seperator\""]);
    }

    #[test]
    fn an_answer_that_nothing_explains_is_a_warning() {
        assert_eq!(found(&[("about: [\"positive_plate\"]", "about: []")]), ["no-feedback \"q3\""]);
    }

    #[test]
    fn a_comparison_needs_another_scene_and_one_way_to_tell() {
        use crate::check::testing::found_with;
        let same = found_with("Compare(second: \"a\", right: First)");
        assert_eq!(same, ["repeated-option \"a\""]);
        assert_eq!(found_with("Compare(second: \"z\", right: First)"), ["unknown-scene \"z\""]);
        let scene = ("scenes: {", "scenes: {\n \"h\": (design: \"medium_pasted\"),");
        let ask = |form: &str| {
            let q =
                format!("questions: [\n (id: \"q0\", scene: \"a\", stem: \"?\", form: {form}),");
            found(&[scene, ("questions: [", &q)])
        };
        assert_eq!(ask("Compare(second: \"h\", right: First)"), Vec::<String>::new());
        assert_eq!(
            ask("Compare(second: \"h\", condition: \"sediment_light\")"),
            Vec::<String>::new()
        );
        assert_eq!(
            ask("Compare(second: \"h\", condition: \"level_low\")"),
            ["nothing-to-see \"level_low\""]
        );
        assert_eq!(
            ask("Compare(second: \"h\", condition: \"sediment_light\", right: First)"),
            ["repeated-field First"]
        );
        let neither = ask("Compare(second: \"h\")");
        assert_eq!(neither, ["missing-field Compare(second: \"h\")"]);
    }
}
