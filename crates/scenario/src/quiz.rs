//! Two questions about one condition, made from the catalogue: what is shown, and what it means.
//!
//! The options are those that tempt: what the condition is confused with, what those suggest.

use jarlight_model::{
    catalogue::{Catalogue, Condition, ConditionKind, Urgency},
    design::Design,
    id::Slug,
    rng::{Rng, child_seed},
    specimen::{Occurrence, Specimen},
    text::{tr, tr_with},
    unit::{Grade, Severity, trimmed},
};

/// Most options of a question.
const MOST: usize = 4;

/// An option with what is said to whoever chooses it.
#[derive(Clone, Debug, PartialEq)]
pub struct QuizOption {
    /// Its words.
    pub text: String,
    /// Why it is right, or how to tell that it is not.
    pub tell: String,
}

/// A question with one right answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Quiz {
    /// What is asked.
    pub stem: String,
    /// What is drawn, where the question is about a picture.
    pub specimen: Option<Specimen>,
    /// What can be chosen.
    pub options: Vec<QuizOption>,
    /// The number of the right one, from 0.
    pub right: usize,
}

/// Two questions about a condition on a design; another seed makes others.
///
/// What cannot be asked is left out: a condition without any look-alike on this design is asked
/// beside the healthy cell alone.
pub fn two(catalogue: &Catalogue, design: &Design, condition: &Condition, seed: u64) -> Vec<Quiz> {
    let seed = child_seed(seed, condition.id.as_str());
    let mut all = vec![recognise(catalogue, design, condition, child_seed(seed, "look"))];
    let mut rng = Rng::new(child_seed(seed, "meaning"));
    let cause = if condition.suggests.is_empty() || rng.below(2) == 0 {
        None
    } else {
        suggest(catalogue, condition, &mut rng)
    };
    all.push(cause.unwrap_or_else(|| hurry(condition, &mut rng)));
    all
}

/// The conditions that this one is confused with, from either side, as far as they can be here.
fn confused<'a>(
    catalogue: &'a Catalogue,
    design: &Design,
    condition: &Condition,
) -> Vec<&'a Condition> {
    let id = condition.id.as_str();
    let own = condition.confused.iter().map(|c| c.with.value.as_str());
    let back = catalogue.conditions.iter().filter(|c| c.confused.iter().any(|w| *w.with == id));
    let mut found: Vec<&Condition> = Vec::new();
    for other in own.filter_map(|id| catalogue.condition(id)).chain(back) {
        let new = other.id.value != condition.id.value
            && found.iter().all(|f| f.id.value != other.id.value);
        // What is seen from elsewhere could not be shown in the same picture.
        let here = other.views.iter().any(|v| condition.views.contains(v));
        if new && here && catalogue.can_occur(design, other) {
            found.push(other);
        }
    }
    found
}

/// How to tell that it is `truth` and not `chosen`.
fn tell(truth: &Condition, chosen: &Condition) -> String {
    let of = |a: &Condition, b: &Condition| {
        a.confused.iter().find(|c| *c.with == *b.id.as_str()).map(|c| c.tell.clone())
    };
    of(truth, chosen).or_else(|| of(chosen, truth)).unwrap_or_else(|| truth.see.text.clone())
}

/// What is shown: the condition, something that it is confused with, or nothing.
fn recognise(catalogue: &Catalogue, design: &Design, condition: &Condition, seed: u64) -> Quiz {
    let mut rng = Rng::new(seed);
    let mut others = confused(catalogue, design, condition);
    rng.shuffle(&mut others);
    others.truncate(MOST - 2);
    let truth = match rng.below(6) {
        0..=2 => Some(condition),
        3..=4 => others.first().copied().or(Some(condition)),
        _ => None,
    };
    let mut shown: Vec<&Condition> = others;
    shown.push(condition);
    rng.shuffle(&mut shown);
    let mut specimen = Specimen { seed: rng.next_u64(), ..Specimen::healthy(design.id.clone()) };
    if let Some(truth) = truth {
        specimen.occurrences.push(Occurrence {
            condition: truth.id.value.clone(),
            // From moderate on: what cannot be seen cannot be asked.
            severity: Severity::clamped(rng.range(0.6, 1.0)),
            place: None,
        });
    }
    let see = truth.map_or_else(|| tr("quiz-normal-is"), |t| t.see.text.clone());
    let mut options: Vec<QuizOption> = shown
        .iter()
        .map(|c| QuizOption {
            text: c.name.clone(),
            tell: match truth {
                Some(truth) if truth.id.value == c.id.value => see.clone(),
                Some(truth) => tell(truth, c),
                None => tr("quiz-normal-is"),
            },
        })
        .collect();
    options.push(QuizOption { text: tr("quiz-normal"), tell: see });
    let right = truth.and_then(|t| shown.iter().position(|c| c.id.value == t.id.value));
    Quiz {
        stem: tr("quiz-shown"),
        specimen: Some(specimen),
        right: right.unwrap_or(options.len() - 1),
        options,
    }
}

/// Which cause it suggests most; none where there are too few others to choose from.
fn suggest(catalogue: &Catalogue, condition: &Condition, rng: &mut Rng) -> Option<Quiz> {
    let most = condition.suggests.iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
    let own = |id: &Slug| condition.suggests.iter().any(|(s, _)| s.value == *id);
    // First what its look-alikes suggest, then any other cause.
    let near = condition.confused.iter().filter_map(|c| catalogue.condition(&c.with));
    let near = near.flat_map(|c| &c.suggests).map(|(id, _)| &id.value);
    let mut rest: Vec<&Slug> = catalogue.mechanisms.iter().map(|m| &m.id.value).collect();
    rng.shuffle(&mut rest);
    let mut wrong: Vec<&Slug> = Vec::new();
    for id in near.chain(rest) {
        if wrong.len() < MOST - 1 && !own(id) && !wrong.contains(&id) {
            wrong.push(id);
        }
    }
    if wrong.len() < 2 {
        return None;
    }
    let mut ids: Vec<&Slug> = wrong;
    ids.push(&most.0.value);
    rng.shuffle(&mut ids);
    let right = ids.iter().position(|id| **id == most.0.value)?;
    let percent = trimmed(most.1, 0);
    let options = ids.iter().filter_map(|id| catalogue.mechanism(id.as_str()));
    let options: Vec<QuizOption> = options
        .map(|cause| {
            let values =
                [("cause", &*cause.name), ("plain", &*cause.plain), ("percent", &*percent)];
            let is_right = cause.id.value == most.0.value;
            let id = if is_right { "quiz-cause-right" } else { "quiz-cause-wrong" };
            QuizOption { text: cause.name.clone(), tell: tr_with(id, &values) }
        })
        .collect();
    let stem = tr_with("quiz-cause", &[("name", &condition.name)]);
    Some(Quiz { stem, specimen: None, options, right })
}

/// How much hurry it has at a grade.
fn hurry(condition: &Condition, rng: &mut Rng) -> Quiz {
    const ALL: [(Urgency, &str); 5] = [
        (Urgency::Note, "urgency-note"),
        (Urgency::Watch, "urgency-watch"),
        (Urgency::Arrange, "urgency-arrange"),
        (Urgency::Prompt, "urgency-prompt"),
        (Urgency::Halt, "urgency-halt"),
    ];
    let grades = if condition.kind == ConditionKind::Harmless { [3, 3, 3] } else { [2, 3, 4] };
    let grade = grades[rng.below(grades.len())];
    let truth = condition.urgency_at(grade);
    let right = ALL.iter().position(|(u, _)| *u == truth).unwrap_or(0);
    let word = Grade::new(grade).map_or_else(|_| String::new(), |g| tr(&g.text_id()));
    let values = [("name", &*condition.name), ("grade", &*word)];
    let stem = if condition.kind == ConditionKind::Harmless {
        tr_with("quiz-hurry-harmless", &values)
    } else {
        tr_with("quiz-hurry", &values)
    };
    let options = ALL
        .iter()
        .map(|(_, id)| QuizOption {
            text: format!("{}: {}", tr(id), tr(&format!("{id}-means"))),
            tell: condition.action.text.clone(),
        })
        .collect();
    Quiz { stem, specimen: None, options, right }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all(seeds: std::ops::Range<u64>) -> Vec<(&'static Condition, Quiz)> {
        let catalogue = Catalogue::builtin();
        let mut out = Vec::new();
        for condition in &catalogue.conditions {
            let can = |d: &&Design| catalogue.can_occur(d, condition);
            let design = catalogue.designs.values().find(can).unwrap();
            for seed in seeds.clone() {
                let two = two(catalogue, design, condition, seed);
                assert_eq!(two.len(), 2, "{}", condition.id.value);
                out.extend(two.into_iter().map(|q| (condition, q)));
            }
        }
        out
    }

    #[test]
    fn every_condition_has_two_questions_with_options_that_differ() {
        for (condition, quiz) in all(0..6) {
            let id = &condition.id.value;
            assert!(quiz.right < quiz.options.len(), "{id}");
            assert!((2..=5).contains(&quiz.options.len()), "{id}: {}", quiz.options.len());
            for (i, option) in quiz.options.iter().enumerate() {
                assert!(!option.text.starts_with('<') && !option.tell.is_empty(), "{id}");
                let twice = quiz.options[..i].iter().any(|o| o.text == option.text);
                assert!(!twice, "{id}: {} stands twice", option.text);
            }
        }
    }

    #[test]
    fn what_is_drawn_is_what_is_right() {
        let (mut normal, mut other, mut own) = (0, 0, 0);
        for (condition, quiz) in all(0..12) {
            let Some(specimen) = &quiz.specimen else { continue };
            let right = &quiz.options[quiz.right].text;
            match specimen.occurrences.first() {
                None => {
                    assert_eq!(*right, tr("quiz-normal"));
                    normal += 1;
                }
                Some(shown) => {
                    let shown = Catalogue::builtin().condition(shown.condition.as_str()).unwrap();
                    assert_eq!(*right, shown.name);
                    let same = shown.id.value == condition.id.value;
                    *(if same { &mut own } else { &mut other }) += 1;
                }
            }
        }
        assert!(normal > 50 && other > 50 && own > 50, "{normal} {other} {own}");
    }

    #[test]
    fn a_look_alike_that_is_chosen_is_told_apart_by_the_catalogue() {
        let c = Catalogue::builtin().condition("pos_sulfate_sparkle").unwrap();
        let bubbles = Catalogue::builtin().condition("h_clinging_bubbles").unwrap();
        assert_eq!(tell(c, bubbles), c.confused[0].tell);
    }

    #[test]
    fn the_same_seed_makes_the_same_questions() {
        assert_eq!(all(3..4), all(3..4));
    }
}
