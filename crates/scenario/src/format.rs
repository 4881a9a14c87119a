//! The authored shape of a `*.scenario.ron` file; what each field means to its author.
//!
//! Every text is kept exactly as it was written.

use jarlight_model::{
    authored::{Authored, Kind, Node, Reader, Shape, Spot},
    authored_enum, authored_record,
    diag::Code,
    id::Slug,
};
use jarlight_rules::CaseScope;

/// The option that says "nothing is wrong"; it stands among conditions and causes.
pub const NORMAL: &str = "normal";
/// The option that says "this cannot be told from this picture".
pub const CANNOT_TELL: &str = "cannot_tell";
/// The option that says "none is missing".
pub const NONE: &str = "none";

/// A number, or a range from which the seed of a run draws one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// Smallest value.
    pub low: f64,
    /// Largest value.
    pub high: f64,
}

impl Spread {
    /// A spread of one value.
    pub const fn exactly(value: f64) -> Self {
        Self { low: value, high: value }
    }
}

impl Authored for Spread {
    fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
        match node.kind {
            Kind::Number { value, .. } => Some(Self::exactly(value)),
            Kind::Tuple(None, _) => {
                let (low, high) = <(f64, f64)>::read(node, cx)?;
                if low > high {
                    let what = format!("a range goes from small to large, met ({low}, {high})");
                    cx.error(Code::OutOfRange, node.at.clone(), what);
                    return None;
                }
                Some(Self { low, high })
            }
            _ => {
                cx.mismatch(node, "a number, or a range such as (0.3, 0.6)");
                None
            }
        }
    }
    fn shape() -> Shape {
        Shape::Number
    }
}

/// A map whose keys keep their places, in the order of the file.
///
/// An entry that cannot be read is left out, so that the others can still be checked.
#[derive(Clone, Debug, PartialEq)]
pub struct Keyed<T> {
    /// The sound entries.
    pub entries: Vec<(Spot<String>, T)>,
    /// Keys of the entries that could not be read; empty in a sound file.
    pub broken: Vec<String>,
}

impl<T> Keyed<T> {
    /// The entry of this key.
    pub fn get(&self, key: &str) -> Option<&T> {
        self.entries.iter().find(|(k, _)| k.value == key).map(|(_, v)| v)
    }

    /// All keys in the order of the file.
    pub fn keys(&self) -> impl Iterator<Item = &str> {
        self.entries.iter().map(|(k, _)| k.value.as_str())
    }
}

impl<T> Default for Keyed<T> {
    fn default() -> Self {
        Self { entries: Vec::new(), broken: Vec::new() }
    }
}

impl<T: Authored> Authored for Keyed<T> {
    fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
        let Kind::Map(pairs) = &node.kind else {
            cx.mismatch(node, "a map in { }");
            return None;
        };
        let mut out = Self::default();
        for (key, value) in pairs {
            let value = T::read(value, cx);
            let Some(key) = Spot::<String>::read(key, cx) else { continue };
            if out.keys().any(|known| known == key.value) {
                let what = format!("`{}` stands twice", key.value);
                cx.error(Code::RepeatedField, key.at.clone(), what);
                continue;
            }
            match value {
                Some(value) => out.entries.push((key, value)),
                None => out.broken.push(key.value),
            }
        }
        Some(out)
    }
    fn shape() -> Shape {
        Shape::Map(T::shape)
    }
}

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
    }

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

/// A list of which the elements that cannot be read are left out, so that the others can
/// still be checked; the mistakes have been reported.
#[derive(Clone, Debug, PartialEq)]
pub struct Each<T>(pub Vec<T>);

impl<T: Authored> Authored for Each<T> {
    fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
        let Kind::List(items) = &node.kind else {
            cx.mismatch(node, "a list in [ ]");
            return None;
        };
        Some(Self(items.iter().filter_map(|item| T::read(item, cx)).collect()))
    }
    fn shape() -> Shape {
        Shape::List(T::shape)
    }
}

/// Declares a record that is read as far as it goes: a field that cannot be read gets the
/// value given for it, so that the checks of the other fields still run.
macro_rules! tolerant_record {
    ($(
        $(#[$meta:meta])*
        pub struct $name:ident {
            $( $(#[$fmeta:meta])* $kind:ident $field:ident : $ty:ty = $default:expr ),* $(,)?
        }
    )*) => {$(
        $(#[$meta])*
        pub struct $name {
            $( $(#[$fmeta])* pub $field: $ty, )*
            /// Names of the fields that could not be read; empty in a sound file.
            pub broken: Vec<&'static str>,
        }

        impl Authored for $name {
            fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
                const KNOWN: &[&str] = &[$( stringify!($field) ),*];
                let fields = cx.fields(node, stringify!($name), KNOWN)?;
                let mut broken = Vec::new();
                $(
                    let read: Option<$ty> = tolerant_record!(@$kind cx, fields, $field, $default);
                    let $field = read.unwrap_or_else(|| {
                        broken.push(stringify!($field));
                        $default
                    });
                )*
                Some(Self { $( $field, )* broken })
            }

            fn shape() -> Shape {
                Shape::Record {
                    name: stringify!($name),
                    fields: vec![$( (
                        stringify!($field),
                        tolerant_record!(@$kind),
                        <$ty as Authored>::shape as fn() -> _,
                    ), )*],
                }
            }
        }
    )*};
    (@needed $cx:ident, $fields:ident, $field:ident, $default:expr) => {
        $cx.needed(&$fields, stringify!($field))
    };
    (@optional $cx:ident, $fields:ident, $field:ident, $default:expr) => {
        $cx.optional(&$fields, stringify!($field), || $default)
    };
    (@needed) => { true };
    (@optional) => { false };
}

/// A value that stands in no file.
fn unplaced<T>(value: T) -> Spot<T> {
    Spot { value, at: 0..0 }
}

fn no_slug() -> Spot<Slug> {
    // Only met beside an error; one letter is a sound id.
    #[expect(clippy::expect_used, reason = "the letter x is a sound id")]
    let slug = Slug::parse("x").expect("x is an id");
    unplaced(slug)
}

tolerant_record! {
    /// One question.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Question {
        /// Its id, once in a file.
        needed id: Spot<Slug> = no_slug(),
        /// The scene it is asked about.
        needed scene: Spot<String> = unplaced(String::new()),
        /// What is asked.
        needed stem: Spot<String> = unplaced(String::new()),
        /// What the learner does, and what is right.
        needed form: Spot<Form> = unplaced(Form::Choice {
            options: Vec::new(),
            right: unplaced(String::new()),
            ordered: false,
        }),
        /// Help on request.
        optional hint: Option<Spot<String>> = None,
        /// Why the right answer is right, in the author's words; wins over the catalogue.
        optional why: Option<Spot<String>> = None,
        /// Why an option is wrong, in the author's words, by option.
        optional tells: Keyed<Spot<String>> = Keyed::default(),
        /// Ids of parts, conditions, causes and facts that the question teaches.
        optional about: Vec<Spot<Slug>> = Vec::new(),
        /// Points for a wholly right answer.
        optional points: Spot<f64> = unplaced(1.0),
    }

    /// A scenario file.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Scenario {
        /// Format of the file; 1.
        needed format: Spot<u32> = unplaced(1),
        /// Its id.
        needed id: Spot<Slug> = no_slug(),
        /// Title.
        needed title: Spot<String> = unplaced(String::new()),
        /// Where and when it plays, told before the first question.
        optional setting: String = String::new(),
        /// A note of the author for other instructors; learners do not see it.
        optional note: String = String::new(),
        /// How many minutes it takes.
        needed minutes: Spot<f64> = unplaced(1.0),
        /// The pictures, by name.
        needed scenes: Keyed<Scene> = Keyed::default(),
        /// The questions in their order.
        needed questions: Spot<Each<Question>> = unplaced(Each(Vec::new())),
    }
}

impl Question {
    /// Ids of all that the question is about: what it says, and what is right.
    pub fn subjects(&self) -> Vec<String> {
        let mut all: Vec<String> = match &self.form.value {
            Form::Point { part, .. } => vec![part.to_string()],
            Form::Name { target, .. } => {
                crate::places::split(target).map(|(part, _)| part.to_owned()).into_iter().collect()
            }
            Form::Choice { .. } => Vec::new(),
            Form::Diagnose { condition, cause, .. } => {
                vec![condition.right.to_string(), cause.right.to_string()]
            }
        };
        all.extend(self.about.iter().map(|a| a.to_string()));
        all.retain(|id| ![NORMAL, CANNOT_TELL, NONE].contains(&id.as_str()));
        let mut seen = std::collections::BTreeSet::new();
        all.retain(|id| seen.insert(id.clone()));
        all
    }
}
