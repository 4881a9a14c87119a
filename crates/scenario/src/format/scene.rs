//! What is drawn for a question, and what the rules are told beside it.

use super::lenient::{Keyed, Spread};
use jarlight_model::{authored::Spot, authored_enum, authored_record, id::Slug};
use jarlight_rules::CaseScope;

authored_enum! {
    /// From where the learner looks.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum View {
        /// From the aisle: the edges of the plates.
        Edge,
        /// From the neighbouring cell: the face of a plate.
        Face,
        /// From above.
        Plan,
        /// Taken apart: the layers of the element beside one another.
        Peeled,
        /// The cell between its two neighbours, from the aisle.
        Row,
        /// Both tiers of a rack, from the aisle.
        Rack,
    }
}

authored_record! {
    /// A condition that a scene shows.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Placed {
        /// The condition.
        pub id: Spot<Slug>,
        /// From 0, not there, to 1, the worst; or a range.
        pub severity: Spot<Spread>,
        /// Where, such as `positive_plate-3`; everywhere it belongs when left out.
        pub place: Option<Spot<String>> = None,
    }

    /// What is drawn.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Scene {
        /// The design.
        pub design: Spot<Slug>,
        /// From where it is seen.
        pub view: View = View::Edge,
        /// Months since installation, or a range.
        pub age_months: Spot<Spread> = Spot { value: Spread::exactly(108.0), at: 0..0 },
        /// Seed of everything random in its look.
        pub seed: u64 = 0,
        /// Whether the inspector's lamp is lit.
        pub lamp: bool = false,
        /// What is on it; empty for a healthy cell.
        pub conditions: Vec<Placed> = Vec::new(),
        /// A place that is brought near, such as `post_positive-1`.
        pub zoom: Option<Spot<String>> = None,
        /// Parts that are left out of the drawing.
        pub hide: Vec<Spot<Slug>> = Vec::new(),
        /// Whether a window is broken into a post, so that what is inside is seen.
        pub broken_out: bool = false,
        /// What the stem tells beside the picture, for the reasoning: findings and readings with
        /// their grade, 0 for looked at and clean; any other number for a reading over its limit.
        pub told: Keyed<Spot<u8>> = Keyed::default(),
        /// Causes that the stem calls mended, with the months since, for the reasoning.
        pub cured: Keyed<Spot<f64>> = Keyed::default(),
        /// On how much of the string the same is seen, for the reasoning.
        pub scope: CaseScope = CaseScope::Unknown,
        /// Average temperature of the cell in °C over its life, for the reasoning.
        pub temperature: Option<Spot<f64>> = None,
    }
}
