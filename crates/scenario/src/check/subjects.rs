//! What a question points to: its scene, its parts and numbers, what it is about.

use super::{Checker, scenes};
use crate::format::Form;
use jarlight_model::diag::{Code, Diagnostic, Level};

pub(super) fn check(c: &mut Checker<'_>) {
    let file = c.file;
    for q in &file.questions.value.0 {
        let known = c.scene_of(q).is_some() || file.scenes.broken.contains(&q.scene.value);
        if !known && !q.broken.contains(&"scene") && !file.broken.contains(&"scenes") {
            let what = format!("no scene is called `{}`", q.scene.value);
            let d = Diagnostic::new(Code::UnknownScene, c.source, q.scene.at.clone(), what);
            let names: Vec<&str> = file.scenes.keys().collect();
            let near = d.clone().nearest(&q.scene.value, names.iter().copied());
            c.found.push(match near.help {
                Some(_) => near,
                None => d.help(format!("known scenes: {}", names.join(", "))),
            });
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
        let design = c.scene_of(q).and_then(|scene| c.design_of(scene));
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
                    scenes::number_is_in(c, design, part, number.value, &number.at);
                }
            }
            Form::Name { target, .. } => {
                if let Some(design) = design {
                    scenes::place_is_in(c, design, target);
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
            Form::Diagnose { .. } => {}
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
}
