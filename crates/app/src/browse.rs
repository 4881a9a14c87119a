//! Conditions in groups, by where one looks, by part, by cause or by hurry; and the search.

use jarlight_model::{
    catalogue::{Catalogue, Condition, ConditionKind, Look, Urgency},
    text::tr,
};

/// By what conditions are put together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum By {
    /// Where one looks.
    Place,
    /// The part it is on.
    Part,
    /// What it suggests.
    Cause,
    /// How much hurry it has when moderate.
    Urgency,
}

impl By {
    /// All of them, with the ids of their names.
    pub const ALL: [(Self, &'static str); 4] = [
        (Self::Place, "browse-place"),
        (Self::Part, "browse-part"),
        (Self::Cause, "browse-cause"),
        (Self::Urgency, "browse-urgency"),
    ];
}

/// Conditions under one head.
#[derive(Debug)]
pub struct Group<'a> {
    /// The head.
    pub title: String,
    /// What stands under it.
    pub entries: Vec<&'a Condition>,
}

/// Places in the order of an inspection walk.
const PLACES: [(Look, &str); 8] = [
    (Look::Top, "look-top"),
    (Look::Seals, "look-seals"),
    (Look::Plates, "look-plates"),
    (Look::Bottom, "look-bottom"),
    (Look::Acid, "look-acid"),
    (Look::Shell, "look-shell"),
    (Look::Connections, "look-connections"),
    (Look::Rack, "look-rack"),
];

/// The id of the name of a place.
pub fn place_id(look: Look) -> &'static str {
    PLACES.iter().find(|(l, _)| *l == look).map_or("look-top", |(_, id)| id)
}

/// How much hurry, most first, with the ids of the names.
pub const URGENCIES: [(Urgency, &str); 5] = [
    (Urgency::Halt, "urgency-halt"),
    (Urgency::Prompt, "urgency-prompt"),
    (Urgency::Arrange, "urgency-arrange"),
    (Urgency::Watch, "urgency-watch"),
    (Urgency::Note, "urgency-note"),
];

/// The id of the word for an urgency.
pub fn urgency_id(urgency: Urgency) -> &'static str {
    URGENCIES.iter().find(|(u, _)| *u == urgency).map_or("urgency-note", |(_, id)| id)
}

/// All conditions that a search finds, in groups; what is harmless is a group of its own.
pub fn groups<'a>(catalogue: &'a Catalogue, by: By, wanted: &str) -> Vec<Group<'a>> {
    let words: Vec<String> = fold(wanted).split_whitespace().map(ToOwned::to_owned).collect();
    let found: Vec<&Condition> = catalogue.conditions.iter().filter(|c| finds(c, &words)).collect();
    let harmful = |c: &&Condition| c.kind == ConditionKind::Condition;
    let group = |title: String, is_in: &dyn Fn(&Condition) -> bool| Group {
        title,
        entries: found.iter().copied().filter(|c| harmful(c) && is_in(c)).collect(),
    };
    let mut all: Vec<Group<'a>> = match by {
        By::Place => PLACES.iter().map(|(l, id)| group(tr(id), &|c| c.look == *l)).collect(),
        By::Part => catalogue
            .parts
            .iter()
            .map(|p| {
                let on = |c: &Condition| c.parts.iter().any(|q| q.value == p.id.value);
                group(p.name.clone(), &on)
            })
            .collect(),
        By::Cause => catalogue
            .mechanisms
            .iter()
            .map(|m| {
                let of = |c: &Condition| c.suggests.iter().any(|(s, _)| s.value == m.id.value);
                group(m.name.clone(), &of)
            })
            .collect(),
        By::Urgency => URGENCIES
            .iter()
            .map(|(u, id)| {
                let title = format!("{}: {}", tr(id), tr(&format!("{id}-means")));
                group(title, &|c| c.urgency_at(3) == *u)
            })
            .collect(),
    };
    let harmless = found.iter().copied().filter(|c| !harmful(c)).collect();
    all.push(Group { title: tr("browse-harmless"), entries: harmless });
    all.retain(|g| !g.entries.is_empty());
    all
}

/// The first thing that a search finds, by name before all else.
pub fn first<'a>(catalogue: &'a Catalogue, by: By, wanted: &str) -> Option<&'a Condition> {
    let key = fold(wanted);
    let all = groups(catalogue, by, wanted);
    let mut found = all.iter().flat_map(|g| g.entries.iter().copied());
    let named = found.clone().find(|c| fold(&c.name).contains(key.trim()));
    named.or_else(|| found.next())
}

/// Whether all words stand in the name, a synonym, or what the eye sees.
fn finds(condition: &Condition, words: &[String]) -> bool {
    let texts = || {
        let names = std::iter::once(&condition.name).chain(&condition.synonyms);
        names.chain(std::iter::once(&condition.see.text)).map(|t| fold(t))
    };
    words.iter().all(|w| texts().any(|t| t.contains(w.as_str())))
}

/// A text in small letters without accents.
pub fn fold(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars().flat_map(char::to_lowercase) {
        let plain = match c {
            // Accents that stand as marks of their own.
            '\u{300}'..='\u{36f}' => continue,
            'à' | 'á' | 'â' | 'ã' | 'ä' | 'å' | 'ā' | 'ă' | 'ą' => "a",
            'æ' => "ae",
            'ç' | 'ć' | 'č' | 'ĉ' | 'ċ' => "c",
            'ď' | 'đ' | 'ð' => "d",
            'è' | 'é' | 'ê' | 'ë' | 'ē' | 'ĕ' | 'ė' | 'ę' | 'ě' => "e",
            'ğ' | 'ģ' | 'ĝ' | 'ġ' => "g",
            'ì' | 'í' | 'î' | 'ï' | 'ī' | 'į' | 'ı' => "i",
            'ł' | 'ľ' | 'ļ' => "l",
            'ñ' | 'ń' | 'ň' | 'ņ' => "n",
            'ò' | 'ó' | 'ô' | 'õ' | 'ö' | 'ø' | 'ō' | 'ő' => "o",
            'œ' => "oe",
            'ŕ' | 'ř' => "r",
            'ś' | 'š' | 'ş' | 'ș' => "s",
            'ß' => "ss",
            'ť' | 'ţ' | 'ț' => "t",
            'ù' | 'ú' | 'û' | 'ü' | 'ū' | 'ů' | 'ű' | 'ų' => "u",
            'ý' | 'ÿ' => "y",
            'ź' | 'ž' | 'ż' => "z",
            other => {
                out.push(other);
                continue;
            }
        };
        out.push_str(plain);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ids(groups: &[Group<'_>]) -> Vec<String> {
        let entries = groups.iter().flat_map(|g| &g.entries);
        entries.map(|c| c.id.value.to_string()).collect()
    }

    #[test]
    fn every_condition_stands_in_a_group_whatever_they_are_put_together_by() {
        let catalogue = Catalogue::builtin();
        for (by, _) in By::ALL {
            let groups = groups(catalogue, by, "");
            let listed = ids(&groups);
            for c in &catalogue.conditions {
                let id = c.id.value.to_string();
                assert!(listed.contains(&id), "{id} by {by:?}");
            }
            let last = groups.last().unwrap();
            assert!(last.entries.iter().all(|c| c.kind == ConditionKind::Harmless));
            assert_eq!(last.entries.len(), 15);
        }
    }

    #[test]
    fn a_search_goes_over_names_synonyms_and_what_the_eye_sees() {
        let catalogue = Catalogue::builtin();
        let found = |w: &str| ids(&groups(catalogue, By::Place, w));
        assert!(found("SPARKLE").contains(&"pos_sulfate_sparkle".to_owned()));
        assert!(found("glints on positive").contains(&"pos_sulfate_sparkle".to_owned()));
        assert!(found("fine sugar").contains(&"pos_sulfate_sparkle".to_owned()));
        assert!(found("sulfate sparkle xyz").is_empty());
        let best = first(catalogue, By::Place, "moss").unwrap();
        assert!(fold(&best.name).contains("moss"));
    }

    #[test]
    fn case_and_accents_do_not_matter() {
        assert_eq!(fold("Planté"), "plante");
        assert_eq!(fold("PLANTE\u{301}"), "plante");
        assert_eq!(fold("Größe Œuvre"), "grosse oeuvre");
    }
}
