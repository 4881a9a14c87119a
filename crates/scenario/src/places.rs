//! Places in a drawing by name, such as `positive_plate-3`, and how many of a kind there are.

use jarlight_model::design::{Construction, Design};

/// The part and, where it is given, the number in the name of a place.
///
/// `None` for the number means any of its kind; `None` for the whole that the name is none.
pub fn split(place: &str) -> Option<(&str, Option<u32>)> {
    match place.rsplit_once('-') {
        None if place.is_empty() => None,
        None => Some((place, None)),
        Some((part, number)) => match number.parse::<u32>() {
            Ok(n) if n > 0 && !part.is_empty() && !number.starts_with(['+', '0']) => {
                Some((part, Some(n)))
            }
            _ => None,
        },
    }
}

/// How many of this part a cell of the design has; `None` where the drawing decides.
///
/// Plates and what lies between them follow from the number of positives alone.
pub fn count(design: &Design, part: &str) -> Option<u32> {
    let positives = design.plates.positives;
    let cells = design.jar.cells.max(1);
    let each = match part {
        "positive_plate" => positives,
        "negative_plate_inside" => positives.saturating_sub(1),
        "negative_plate_end" => 2,
        "separator" => 2 * positives,
        "retainer_mat" if design.mat > 0.0 => 2 * positives,
        "retainer_mat" => 0,
        "strap_positive" | "strap_negative" => 1,
        "post_positive" | "post_negative" => design.posts.each,
        "post_cover_seal" | "seal_well" => 2 * design.posts.each,
        "withdrawal_tube" => design.tubes.as_ref().map_or(0, |t| t.count),
        "jar" | "cell_cover" | "sediment_space" | "level_line_high" | "level_line_low" => {
            return Some(1);
        }
        _ => return None,
    };
    let flat = design.construction == Construction::RoundPlate;
    if flat { None } else { Some(each * cells) }
}

/// True when a place named by an author means this place of the drawing.
pub fn means(named: &str, place: &str) -> bool {
    match (split(named), split(place)) {
        (Some((a, None)), Some((b, _))) => a == b,
        (Some(a), Some(b)) => a == b,
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jarlight_model::catalogue::Catalogue;

    #[test]
    fn a_place_is_a_part_with_a_number_from_one() {
        assert_eq!(split("separator-4"), Some(("separator", Some(4))));
        assert_eq!(split("separator"), Some(("separator", None)));
        for bad in ["separator-0", "separator-", "-1", "separator-x", "separator-+1", "", "a-01"] {
            assert_eq!(split(bad), None, "{bad}");
        }
        assert!(means("separator", "separator-3") && means("separator-3", "separator-3"));
        assert!(!means("separator-2", "separator-3") && !means("jar", "separator-3"));
    }

    #[test]
    fn the_medium_cell_has_thirteen_plates_and_twelve_sheets() {
        let design = &Catalogue::builtin().designs["medium_pasted"];
        let n = |part| count(design, part);
        assert_eq!(n("positive_plate"), Some(6));
        assert_eq!((n("negative_plate_end"), n("negative_plate_inside")), (Some(2), Some(5)));
        assert_eq!((n("separator"), n("retainer_mat")), (Some(12), Some(12)));
        assert_eq!(n("flame_arrestor"), None);
    }
}
