//! Every sentence of an explanation, in one place.

use crate::infer::Began;
use jarlight_model::{
    catalogue::Urgency,
    unit::{months_text, trimmed},
};

/// The word that stands for a posterior probability.
///
/// # Source
/// Ranges chosen for this program; they are shown beside the word.
pub fn probability_word(p: f64) -> &'static str {
    match p {
        p if p >= 0.95 => "almost certain",
        p if p >= 0.70 => "likely",
        p if p >= 0.20 => "possible",
        p if p >= 0.05 => "unlikely",
        _ => "hardly the cause",
    }
}

/// The probabilities for which [`probability_word`] gives this word.
pub fn word_range(p: f64) -> &'static str {
    match p {
        p if p >= 0.95 => "95 % and more",
        p if p >= 0.70 => "70 to 95 %",
        p if p >= 0.20 => "20 to 70 %",
        p if p >= 0.05 => "5 to 20 %",
        _ => "under 5 %",
    }
}

/// A probability in percent, never rounded to certainty.
pub fn percent(p: f64) -> String {
    match p {
        p if p > 0.0 && p < 0.005 => "under 1 %".to_owned(),
        p if p < 1.0 && p > 0.995 => "over 99 %".to_owned(),
        p => format!("{:.0} %", 100.0 * p),
    }
}

/// Decibans with a sign, in the form a person reads.
pub fn decibans(x: f64) -> String {
    let sign = if x < 0.0 { "−" } else { "+" };
    format!("{sign}{:.1} dB", x.abs())
}

pub(crate) fn cause(name: &str, plain: Option<&str>, p: f64) -> String {
    let plain = plain.map_or(String::new(), |p| format!(" ({p})"));
    match p {
        p if p < 0.05 => format!("{name}{plain} is hardly the cause ({}).", percent(p)),
        p => format!("{name}{plain} is {} ({}).", probability_word(p), percent(p)),
    }
}

/// When a cause began, given that it is there.
pub fn began(began: &Began) -> String {
    format!(
        "If it is there, it began between {} and {} ago, most likely around {} ago.",
        months_text(began.p10),
        months_text(began.p90),
        months_text(began.median)
    )
}

/// The same for a cause that comes with the cell.
pub fn since_installation(age: Option<f64>) -> String {
    match age {
        Some(age) => format!("If it is there, it began with the cell, {} ago.", months_text(age)),
        None => "If it is there, it began with the cell.".to_owned(),
    }
}

/// What was seen of a finding, as the head of a sentence.
pub(crate) fn seen(name: &str, seen: &str) -> String {
    format!("{name}, {seen}")
}

pub(crate) fn grade(low: usize, high: usize, top: usize, reading: bool) -> String {
    match (low, high) {
        (0, 0) if reading => "within its limit".to_owned(),
        (1, 1) if reading => "beyond its limit".to_owned(),
        (0, 0) => "looked for and not there".to_owned(),
        (low, high) if low == high => format!("grade {low}"),
        (low, high) if high == top => format!("grade {low} or more"),
        (0, high) => format!("grade {high} or less"),
        (low, high) => format!("grade {low} to {high}"),
    }
}

pub(crate) fn perhaps() -> String {
    "perhaps seen".to_owned()
}

pub(crate) fn pull(head: &str, weight: f64) -> String {
    let side = if weight < 0.0 { "speaks against it" } else { "speaks for it" };
    format!("{head}, {side} ({}).", decibans(weight))
}

/// A sign that is there and still lowers a cause, because another cause explains it.
pub(crate) fn pull_elsewhere(head: &str, weight: f64) -> String {
    format!(
        "{head}, lowers it ({}), although it can come from it: another cause explains it better.",
        decibans(weight)
    )
}

pub(crate) fn explains_away(first: &str, second: &str, with: f64, without: f64) -> String {
    let (small, other) = (lower(first), lower(second));
    format!(
        "{first} and {other} compete for the same signs: with {small} there, {other} stands at \
         {}; without it, at {}.",
        percent(with),
        percent(without)
    )
}

pub(crate) fn clean(name: &str, most: Option<(&str, f64)>) -> String {
    match most {
        Some((cause, d)) => format!(
            "{name}, looked for and not there: counts most against {} ({}).",
            lower(cause),
            decibans(d)
        ),
        None => format!("{name}, looked for and not there: tells little here."),
    }
}

pub(crate) fn look_yourself(name: &str, lamp: bool, bits: f64) -> String {
    let lamp = if lamp { ", with a lamp" } else { "" };
    format!("Look for: {}{lamp} ({} bits expected).", lower(name), trimmed(bits, 2))
}

pub(crate) fn look_by_staff(ask: &str, bits: f64) -> String {
    format!("{} ({} bits expected).", upper(ask), trimmed(bits, 2))
}

pub(crate) fn ask_staff_for(name: &str) -> String {
    format!("ask authorised staff for a look at this: {}", lower(name))
}

pub(crate) fn left_out(n: usize) -> String {
    match n {
        1 => "One more open cause was left out of this ranking.".to_owned(),
        n => format!("{n} more open causes were left out of this ranking."),
    }
}

/// How often a cell of this kind would show exactly what was found.
pub(crate) fn surprise(log_evidence: f64) -> String {
    let one_in = libm::exp(-log_evidence);
    match one_in {
        n if n < 1.5 => "Most cells of this kind would show exactly this.".to_owned(),
        n if n < 1e6 => {
            let digits = libm::pow(10.0, libm::floor(libm::log10(n)));
            let rounded = libm::round(n / digits) * digits;
            format!("About one in {rounded:.0} cells of this kind would show exactly this.")
        }
        _ => "Less than one in a million cells of this kind would show exactly this.".to_owned(),
    }
}

pub(crate) fn conflict() -> String {
    "These findings seldom come together on one cell: look again, and check the label and the \
     date."
        .to_owned()
}

/// The name of an urgency.
pub const fn urgency_name(urgency: Urgency) -> &'static str {
    match urgency {
        Urgency::Note => "note",
        Urgency::Watch => "watch",
        Urgency::Arrange => "arrange",
        Urgency::Prompt => "prompt",
        Urgency::Halt => "halt",
    }
}

/// What an urgency asks for.
pub const fn urgency_text(urgency: Urgency) -> &'static str {
    match urgency {
        Urgency::Note => "Record it.",
        Urgency::Watch => "Record it and compare at the next visit.",
        Urgency::Arrange => "Have the work planned within weeks to months.",
        Urgency::Prompt => "Have it acted on within days.",
        Urgency::Halt => "Tell the person in charge before leaving the room, and keep clear.",
    }
}

pub(crate) fn urgency(urgency: Urgency, because: &str) -> String {
    format!(
        "Urgency: {}, because of {}. {}",
        urgency_name(urgency),
        lower(because),
        urgency_text(urgency)
    )
}

pub(crate) fn contact(name: &str) -> String {
    format!(
        "{name}: contact between positive and negative is seen, a short is not yet shown. Ask \
         authorised staff for voltage, specific gravity and temperature of this cell."
    )
}

pub(crate) fn short_open() -> String {
    "An internal short is not excluded until voltage, specific gravity and temperature of this \
     cell are known."
        .to_owned()
}

pub(crate) fn order_of_signs(later: &str, earlier: &str) -> String {
    format!(
        "{later} usually comes after {}, which was looked for and not found: check both again.",
        lower(earlier)
    )
}

pub(crate) fn order_of_causes(parent: &str, child: &str) -> String {
    format!(
        "{child} seems older than {}, which usually comes first: check the dates.",
        lower(parent)
    )
}

/// What stands under every explanation.
pub const CLOSING: &str = "All probabilities here are estimates made for training. The site's \
    procedures, the maker's instructions and the local codes decide, and licensed practice goes \
    before anything said here. A trainee records and reports, and touches nothing.";

/// The first letter small, unless the word is all capitals or a name.
pub(crate) fn lower(text: &str) -> String {
    let mut chars = text.chars();
    match (chars.next(), chars.next()) {
        (Some(a), Some(b))
            if a.is_uppercase() && !b.is_uppercase() && !text.starts_with("Plant") =>
        {
            a.to_lowercase().chain(text.chars().skip(1)).collect()
        }
        _ => text.to_owned(),
    }
}

/// The first letter large.
pub fn upper(text: &str) -> String {
    let mut chars = text.chars();
    match chars.next() {
        Some(a) => a.to_uppercase().chain(chars).collect(),
        None => String::new(),
    }
}
