//! Whether the rules of the catalogue come to the answers that the author calls right.

use super::Checker;
use crate::{
    format::{Began, Form, Scene, Spread},
    key::Ask,
    picture::Picture,
    reason::{self, Likely},
    score::NOTICEABLE,
};
use jarlight_model::{
    authored::Spot,
    diag::{Code, Level},
    id::Slug,
};

pub(super) fn check(c: &mut Checker<'_>) {
    // Reasoning about a file that is wrong elsewhere would only repeat what is known.
    if c.found.iter().any(|d| d.level == Level::Error) {
        return;
    }
    for q in c.questions() {
        let Some(scene) = c.scene_of(q) else { continue };
        let picture = || typical(scene, &q.scene);
        match &q.form.value {
            Form::Diagnose { condition, cause, began } => {
                if c.catalogue.condition(&condition.right).is_none()
                    || c.catalogue.mechanism(&cause.right).is_none()
                {
                    continue;
                }
                let found = reason::posterior(c.catalogue, scene, &picture());
                let key = leading(c, &found, &cause.options, &cause.right);
                let band = match began {
                    Began::Bands { right, .. } => right.as_ref(),
                    Began::Interval { truth, .. } => truth.as_ref(),
                };
                if let (Some(key), Some(band)) = (key, band) {
                    dated(c, key, band);
                }
            }
            Form::Which { options, right, several: false, .. } => {
                if let Some(key) = right.first()
                    && c.catalogue.mechanism(key).is_some()
                {
                    let found = reason::posterior(c.catalogue, scene, &picture());
                    leading(c, &found, options, key);
                }
            }
            Form::Age { truth, .. } => {
                let found = reason::posterior(c.catalogue, scene, &picture());
                if let Some(key) = found.iter().max_by(|a, b| a.present.total_cmp(&b.present)) {
                    dated(c, key, truth);
                }
            }
            Form::NextLook { options, .. } => {
                let picture = picture();
                let looks = asked(c, &q.form.value, scene, &picture).looks(options);
                if looks.iter().all(|(_, bits)| *bits <= 0.0) {
                    let what = "by the rules none of these looks tells anything here";
                    c.error(Code::RulesDisagree, &q.form.at, what).level = Level::Warning;
                }
            }
            Form::Evidence { cause, options } => {
                let picture = picture();
                let all = asked(c, &q.form.value, scene, &picture).weights(cause, options);
                if all.iter().all(|(_, w)| *w <= NOTICEABLE) {
                    let what = "by the rules none of the options speaks for the cause";
                    c.error(Code::RulesDisagree, &cause.at, what).level = Level::Warning;
                }
            }
            _ => {}
        }
    }
}

fn asked<'a>(c: &Checker<'a>, form: &'a Form, scene: &'a Scene, picture: &'a Picture) -> Ask<'a> {
    Ask { catalogue: c.catalogue, form, scene, picture, second: None }
}

/// Warns when a cause that is called right is not the likeliest of the options.
fn leading<'f>(
    c: &mut Checker<'_>,
    found: &'f [Likely],
    options: &[Spot<Slug>],
    right: &Spot<Slug>,
) -> Option<&'f Likely> {
    let offered = |id: &str| options.iter().any(|o| o.as_str() == id);
    let best =
        found.iter().filter(|m| offered(&m.id)).max_by(|a, b| a.present.total_cmp(&b.present));
    let Some(key) = found.iter().find(|m| m.id == right.as_str()) else {
        let what = format!("by the rules nothing in the scene speaks for `{}`", right.value);
        c.error(Code::RulesDisagree, &right.at, what).level = Level::Warning;
        return None;
    };
    if let Some(best) = best
        && best.id != key.id
    {
        let what = format!(
            "by the rules `{}` is likelier here ({:.0} %) than `{}` ({:.0} %)",
            best.id,
            100.0 * best.present,
            key.id,
            100.0 * key.present
        );
        c.error(Code::RulesDisagree, &right.at, what).level = Level::Warning;
    }
    Some(key)
}

/// Warns when an age that is called right lies outside the interval of the rules.
fn dated(c: &mut Checker<'_>, key: &Likely, band: &Spot<(f64, f64)>) {
    if let Some((p10, p90)) = key.began
        && (band.value.1 < p10 || band.value.0 > p90)
    {
        let what = format!("by the rules it began between {p10:.0} and {p90:.0} months ago");
        c.error(Code::RulesDisagree, &band.at, what).level = Level::Warning;
    }
}

/// The scene with the middle of each range.
fn typical(scene: &Scene, name: &str) -> Picture {
    let mut scene = scene.clone();
    let middle = |s: &mut Spread| *s = Spread::exactly((s.low + s.high) / 2.0);
    middle(&mut scene.age_months.value);
    for placed in &mut scene.conditions {
        middle(&mut placed.severity.value);
    }
    Picture::of(&scene, name, 0)
}

#[cfg(test)]
mod tests {
    use crate::check::testing::found;

    #[test]
    fn a_key_that_the_rules_contradict_is_a_warning() {
        let cause = ("right: \"m_undercharge\"", "right: \"m_overcharge\"");
        assert_eq!(found(&[cause]), ["rules-disagree \"m_overcharge\""]);
        let dark = ("sediment_light\", severity", "sediment_dark\", severity");
        let shown = ("right: \"sediment_light\"", "right: \"sediment_dark\"");
        let ageing = ("\"m_overcharge\", \"normal\"]", "\"m_grid_ageing\", \"m_hot\"]");
        let hot = ("right: \"m_undercharge\"", "right: \"m_hot\"");
        let normal = (", \"normal\"], right: \"sediment_dark\"", "], right: \"sediment_dark\"");
        assert_eq!(found(&[dark, shown, normal, ageing, hot]), ["rules-disagree \"m_hot\""]);
        let age = ("right: (6, 71)", "right: (0, 6)");
        assert_eq!(found(&[age]), ["rules-disagree (0, 6)"]);
    }

    #[test]
    fn forms_that_the_rules_answer_are_asked_of_them() {
        use crate::check::testing::found_with;
        let none = Vec::<String>::new();
        assert_eq!(
            found_with("NextLook(options: [\"q_v_low_string\", \"dust_cap_missing\"])"),
            none
        );
        let idle = "NextLook(options: [\"dust_cap_missing\", \"rack_corrosion\"])";
        assert_eq!(found_with(idle), [format!("rules-disagree {idle}")]);
        let for_it =
            "Evidence(cause: \"m_undercharge\", options: [\"sediment_light\", \"level_low\"])";
        assert_eq!(found_with(for_it), none);
        let against =
            "Evidence(cause: \"m_overcharge\", options: [\"sediment_light\", \"level_low\"])";
        assert_eq!(found_with(against), ["rules-disagree \"m_overcharge\""]);
        assert_eq!(found_with("Age(truth: (20, 60))"), none);
        assert_eq!(found_with("Age(truth: (1, 3))"), ["rules-disagree (1, 3)"]);
    }
}
