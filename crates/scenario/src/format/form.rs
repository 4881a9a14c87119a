//! The forms of questions: what the learner does, and what is right.
//!
//! What can be computed from the scene, the catalogue and the rules is not written by the author.

use super::NONE;
use crate::places;
use jarlight_model::{authored::Spot, authored_enum, authored_record, id::Slug};

authored_enum! {
    /// How long ago it began, as the learner is asked for it.
    #[derive(Clone, Debug, PartialEq)]
    pub enum Began {
        /// One of these bands of months.
        Bands {
            /// The bands, youngest first; from and to in months.
            bands: Vec<Spot<(f64, f64)>>,
            /// The right one; left out when nothing is wrong.
            right: Option<Spot<(f64, f64)>> = None,
        },
        /// Two ends of an interval on a scale of months.
        Interval {
            /// Between these months lies the truth; left out when nothing is wrong.
            truth: Option<Spot<(f64, f64)>> = None,
            /// The ends of the scale, and the interval of somebody who knows nothing.
            scale: Spot<(f64, f64)> = Spot { value: (0.25, 240.0), at: 0..0 },
        },
    }

    /// Which of two pictures.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum Side {
        /// The first.
        First,
        /// The second.
        Second,
        /// Neither more than the other.
        Same,
    }

    /// A column of a sheet of readings.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum Column {
        /// Float voltage in volts.
        Volts,
        /// Specific gravity as read.
        Gravity,
        /// Temperature in °C.
        Celsius,
    }

    /// What is asked about a sheet of readings.
    #[derive(Clone, Debug, PartialEq)]
    pub enum SheetAsk {
        /// Bring the gravity of a cell to 25 °C.
        Correct {
            /// The cell.
            cell: Spot<u32>,
            /// How far off a right answer may be.
            within: Spot<f64> = Spot { value: 0.0005, at: 0..0 },
        },
        /// Say which cells stand out in a column.
        Outlier {
            /// The column.
            column: Spot<Column>,
            /// The cells that stand out.
            right: Vec<Spot<u32>>,
        },
        /// Choose what follows from the sheet.
        Decide {
            /// The texts.
            options: Vec<Spot<String>>,
            /// The right one, word for word.
            right: Spot<String>,
        },
    }

    /// What the learner does, and what is right.
    #[derive(Clone, Debug, PartialEq)]
    pub enum Form {
        /// Click on a part in the drawing.
        Point {
            /// The part.
            part: Spot<Slug>,
            /// Which one of its kind, from 1 at the left; any when left out.
            number: Option<Spot<u32>> = None,
            /// Other parts that count as right.
            also: Vec<Spot<Slug>> = Vec::new(),
        },
        /// A part is ringed in the drawing; choose its name.
        Name {
            /// The ringed place, such as `retainer_mat-3`.
            target: Spot<String>,
            /// Parts to choose from, the right one among them.
            options: Vec<Spot<Slug>>,
            /// Options that are nearly right and give half.
            near: Vec<Spot<Slug>> = Vec::new(),
        },
        /// Choose one of several texts.
        Choice {
            /// The texts.
            options: Vec<Spot<String>>,
            /// The right one, word for word.
            right: Spot<String>,
            /// Whether the options keep their order, as numbers do.
            ordered: bool = false,
        },
        /// Which condition is shown, which cause it suggests, and how long ago that began.
        Diagnose {
            /// Which condition is shown.
            condition: Pick,
            /// Which cause it suggests.
            cause: Pick,
            /// How long ago it began.
            began: Began,
        },
        /// Which of these parts is missing from the drawing; "none of these" is always offered.
        Missing {
            /// Parts to choose from.
            options: Vec<Spot<Slug>>,
            /// The missing one, which the scene hides, or `none`.
            right: Spot<Slug>,
        },
        /// Is this cell normal; what is right follows from the scene.
        NormalOrNot,
        /// Which conditions, or which causes.
        Which {
            /// Ids to choose from: conditions, or causes.
            options: Vec<Spot<Slug>>,
            /// The right ones.
            right: Vec<Spot<Slug>>,
            /// Whether any number of options can be chosen.
            several: bool = false,
            /// Options that are nearly right and give half where one is chosen.
            near: Vec<Spot<Slug>> = Vec::new(),
        },
        /// How long ago it began, as an interval.
        Age {
            /// Between these months lies the truth.
            truth: Spot<(f64, f64)>,
            /// The ends of the scale, and the interval of somebody who knows nothing.
            scale: Spot<(f64, f64)> = Spot { value: (0.25, 240.0), at: 0..0 },
        },
        /// What to look at or to ask for next; the rules say what each would tell.
        NextLook {
            /// Conditions and readings to choose from.
            options: Vec<Spot<Slug>>,
            /// Things nobody should do; choosing one gives nothing and is marked.
            harmful: Vec<Spot<String>> = Vec::new(),
        },
        /// Put steps into order.
        Order {
            /// The steps in a right order.
            steps: Vec<Spot<String>>,
            /// Which step must come before which, by number from 1; each before all later ones
            /// when left out.
            before: Vec<Spot<(u32, u32)>> = Vec::new(),
            /// Pairs that must be kept for safety; one broken gives nothing and is marked.
            safety: Vec<Spot<(u32, u32)>> = Vec::new(),
        },
        /// Compare the scene with a second one.
        Compare {
            /// The second scene.
            second: Spot<String>,
            /// The condition whose grades are compared; what is right follows from the scenes.
            condition: Option<Spot<Slug>> = None,
            /// What is right, where no condition is compared.
            right: Option<Spot<Side>> = None,
        },
        /// Mark all that is wrong; what is right follows from the scene.
        MarkAll {
            /// Conditions that a mark can be called.
            labels: Vec<Spot<Slug>>,
        },
        /// How far a condition has gone, in grades; what is right follows from the scene.
        Grade {
            /// The condition.
            condition: Spot<Slug>,
        },
        /// Which of the findings speak for a cause; the rules say which do.
        Evidence {
            /// The cause.
            cause: Spot<Slug>,
            /// Findings to choose from: shown by the scene, told by it, or neither.
            options: Vec<Spot<Slug>>,
        },
        /// A question about a sheet of readings.
        Readings {
            /// The sheet.
            sheet: Spot<Vec<Row>>,
            /// What is asked.
            ask: Spot<SheetAsk>,
        },
    }
}

authored_record! {
    /// One of several ids; `normal` and `cannot_tell` may stand among them.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Pick {
        /// The ids to choose from.
        pub options: Vec<Spot<Slug>>,
        /// The right one.
        pub right: Spot<Slug>,
        /// Options that are nearly right and give half.
        pub near: Vec<Spot<Slug>> = Vec::new(),
    }

    /// The readings of one cell.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Row {
        /// Number of the cell.
        pub cell: Spot<u32>,
        /// Float voltage in volts.
        pub volts: Option<Spot<f64>> = None,
        /// Specific gravity as read.
        pub gravity: Option<Spot<f64>> = None,
        /// Temperature in °C.
        pub celsius: Option<Spot<f64>> = None,
    }
}

impl Row {
    /// The reading in a column.
    pub fn get(&self, column: Column) -> Option<&Spot<f64>> {
        match column {
            Column::Volts => self.volts.as_ref(),
            Column::Gravity => self.gravity.as_ref(),
            Column::Celsius => self.celsius.as_ref(),
        }
    }
}

impl Column {
    /// All columns, in the order of a sheet.
    pub const ALL: [Self; 3] = [Self::Volts, Self::Gravity, Self::Celsius];

    /// How many decimals a reading has.
    pub const fn decimals(self) -> usize {
        match self {
            Self::Volts => 2,
            Self::Gravity => 3,
            Self::Celsius => 1,
        }
    }

    /// The key of its heading in the message file.
    pub const fn text_id(self) -> &'static str {
        match self {
            Self::Volts => "sheet-volts",
            Self::Gravity => "sheet-gravity",
            Self::Celsius => "sheet-celsius",
        }
    }
}

impl Form {
    /// Whether the answer is one of two.
    pub fn is_two_way(&self) -> bool {
        matches!(self, Self::NormalOrNot)
    }

    /// Ids of what is right, where the author names it; reserved ones among them.
    pub(super) fn subjects(&self) -> Vec<String> {
        let ids = |list: &[Spot<Slug>]| list.iter().map(|s| s.to_string()).collect::<Vec<_>>();
        match self {
            Self::Point { part, .. } => vec![part.to_string()],
            Self::Name { target, .. } => {
                places::split(target).map(|(part, _)| part.to_owned()).into_iter().collect()
            }
            Self::Diagnose { condition, cause, .. } => {
                vec![condition.right.to_string(), cause.right.to_string()]
            }
            Self::Missing { right, .. } if right.as_str() == NONE => Vec::new(),
            Self::Missing { right, .. } => vec![right.to_string()],
            Self::Which { right, .. } => ids(right),
            Self::Compare { condition, .. } => {
                condition.iter().map(|condition| condition.to_string()).collect()
            }
            Self::Grade { condition } => vec![condition.to_string()],
            Self::Evidence { cause, .. } => vec![cause.to_string()],
            Self::Choice { .. }
            | Self::NormalOrNot
            | Self::Age { .. }
            | Self::NextLook { .. }
            | Self::Order { .. }
            | Self::MarkAll { .. }
            | Self::Readings { .. } => Vec::new(),
        }
    }
}
