//! Whether the rules of the catalogue come to the answers that the author calls right.

use super::Checker;
use crate::{
    format::{Began, Form, Scene, Spread},
    picture::Picture,
    reason,
};
use jarlight_model::diag::{Code, Level};

pub(super) fn check(c: &mut Checker<'_>) {
    // Reasoning about a file that is wrong elsewhere would only repeat what is known.
    if c.found.iter().any(|d| d.level == Level::Error) {
        return;
    }
    for q in c.questions() {
        let Form::Diagnose { condition, cause, began } = &q.form.value else { continue };
        let (catalogue, right) = (c.catalogue, &cause.right);
        let Some(scene) = c.scene_of(q) else { continue };
        if catalogue.condition(&condition.right).is_none() || catalogue.mechanism(right).is_none() {
            continue;
        }
        let found = reason::posterior(catalogue, scene, &typical(scene, &q.scene));
        let offered = |id: &str| cause.options.iter().any(|o| o.as_str() == id);
        let best =
            found.iter().filter(|m| offered(&m.id)).max_by(|a, b| a.present.total_cmp(&b.present));
        let Some(key) = found.iter().find(|m| m.id == right.as_str()) else {
            let what = format!("by the rules nothing in the scene speaks for `{}`", right.value);
            c.error(Code::RulesDisagree, &right.at, what).level = Level::Warning;
            continue;
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
        let band = match began {
            Began::Bands { right, .. } => right.as_ref(),
            Began::Interval { truth, .. } => truth.as_ref(),
        };
        if let (Some(band), Some((p10, p90))) = (band, key.began)
            && (band.value.1 < p10 || band.value.0 > p90)
        {
            let what = format!("by the rules it began between {p10:.0} and {p90:.0} months ago");
            c.error(Code::RulesDisagree, &band.at, what).level = Level::Warning;
        }
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
}
