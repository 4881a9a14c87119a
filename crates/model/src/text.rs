//! Every text of the interface, from one Fluent file through one function.

use fluent_bundle::{FluentArgs, FluentResource, FluentValue, concurrent::FluentBundle};
use std::sync::OnceLock;

const ENGLISH: &str = include_str!("../../../assets/text/en.ftl");

fn bundle() -> &'static FluentBundle<FluentResource> {
    static BUNDLE: OnceLock<FluentBundle<FluentResource>> = OnceLock::new();
    BUNDLE.get_or_init(|| {
        let mut bundle =
            FluentBundle::new_concurrent(vec![unic_langid::LanguageIdentifier::default()]);
        // Isolation marks are for mixed writing directions; they would show as boxes.
        bundle.set_use_isolating(false);
        let resource = match FluentResource::try_new(ENGLISH.to_owned()) {
            Ok(resource) | Err((resource, _)) => resource,
        };
        bundle.add_resource_overriding(resource);
        bundle
    })
}

/// The text with this id.
pub fn tr(id: &str) -> String {
    tr_with(id, &[])
}

/// The text with this id, its variables filled in.
///
/// An unknown id gives the id itself in angle brackets; a test finds those.
pub fn tr_with(id: &str, args: &[(&str, &str)]) -> String {
    let mut filled = FluentArgs::new();
    for (name, value) in args {
        filled.set(*name, FluentValue::from(*value));
    }
    format(id, &filled)
}

/// The text with this id for a count, which chooses between one and many.
pub fn tr_count(id: &str, count: usize) -> String {
    let mut filled = FluentArgs::new();
    filled.set("n", FluentValue::from(count));
    format(id, &filled)
}

fn format(id: &str, args: &FluentArgs<'_>) -> String {
    let Some(pattern) = bundle().get_message(id).and_then(|m| m.value()) else {
        return format!("<{id}>");
    };
    let mut errors = Vec::new();
    bundle().format_pattern(pattern, Some(args), &mut errors).into_owned()
}

/// Everything wrong with the message file itself; empty in a sound program.
pub fn faults() -> Vec<String> {
    match FluentResource::try_new(ENGLISH.to_owned()) {
        Ok(_) => Vec::new(),
        Err((_, errors)) => errors.iter().map(ToString::to_string).collect(),
    }
}

/// All message ids, for tests.
pub fn ids() -> Vec<&'static str> {
    ENGLISH
        .lines()
        .filter(|l| l.starts_with(|c: char| c.is_ascii_lowercase()))
        .filter_map(|l| l.split('=').next().map(str::trim))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_message_file_is_sound_and_every_id_stands_once() {
        assert_eq!(faults(), Vec::<String>::new());
        let mut all = ids();
        all.sort_unstable();
        let n = all.len();
        all.dedup();
        assert_eq!(all.len(), n, "an id stands twice");
    }

    #[test]
    fn texts_are_filled_in() {
        assert_eq!(tr("app-name"), "Jarlight");
        assert_eq!(tr("no-such-text"), "<no-such-text>");
        assert_eq!(tr_count("labels-left-out", 1), "1 label left out");
        assert_eq!(tr_count("labels-left-out", 3), "3 labels left out");
    }
}
