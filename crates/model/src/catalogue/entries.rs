//! What one entry of the catalogue says; the shape of the files in `assets/catalogue`.

use crate::{
    authored::{Authored, Kind, Node, Reader, Shape, Spot},
    authored_enum, authored_record,
    id::Slug,
    unit::Severity,
};
use std::collections::BTreeMap;

authored_enum! {
    /// Where a statement comes from.
    #[derive(Clone, Debug, PartialEq)]
    pub enum Basis {
        /// Trade knowledge that was not looked up.
        Memory,
        /// Trade lore without a single source.
        CommonPractice,
        /// An extract of this document was read.
        Seen(String),
        /// A standard or regulation says so.
        Standard(String),
        /// Follows by calculation from this.
        Arithmetic(String),
        /// Invented for this program, for this reason.
        Estimate(String),
    }

    /// Where a part belongs.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
    pub enum Group {
        /// Jar, cover, level lines and what is moulded to them.
        Container,
        /// Plates, separators, mats, straps and what lies between.
        Element,
        /// Posts and their seals.
        Terminals,
        /// Vent, arrestor, tube.
        Openings,
        /// Bars, bolts and cables.
        Connections,
        /// What carries the cells.
        Rack,
    }

    /// Which polarity a part belongs to.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum Polarity {
        /// The brown side.
        Positive,
        /// The grey side.
        Negative,
        /// Neither, or both.
        Both,
    }

    /// Groups of labels that can be shown alone.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum LabelSet {
        /// What keeps acid and gas in.
        Seals,
        /// What carries current.
        Current,
        /// What the element contains.
        Element,
        /// What has to do with the acid.
        Acid,
        /// What carries weight.
        Support,
        /// Where gas goes.
        Gas,
    }

    /// How one part stands to another.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
    pub enum Relation {
        /// Higher up.
        Above,
        /// Lower down.
        Below,
        /// Within.
        Inside,
        /// In the middle of two.
        Between,
        /// Joined or fused.
        AttachedTo,
        /// In contact.
        Touches,
        /// Goes through.
        Pierces,
        /// Lies over.
        Covers,
        /// The other polarity of the same thing.
        OppositeOf,
    }

    /// A defect of the trade, or a harmless thing that looks like one.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum ConditionKind {
        /// Means something.
        Condition,
        /// Means nothing.
        Harmless,
    }

    /// Where the inspector looks.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
    pub enum Look {
        /// Cover, vents.
        Top,
        /// Post and cover seals.
        Seals,
        /// Plates, separators.
        Plates,
        /// The floor of the jar.
        Bottom,
        /// Liquid and gas.
        Acid,
        /// Bars and bolts.
        Connections,
        /// Rack, labels, order of cells.
        Rack,
        /// Jar walls.
        Shell,
    }

    /// From where it can be seen.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum SeenFrom {
        /// The aisle.
        Edge,
        /// The neighbouring cell.
        Face,
        /// Above.
        Top,
        /// Close to a post.
        Post,
        /// The aisle, several cells.
        Rack,
        /// Close to a strap.
        Strap,
    }

    /// How a finding grows with the time since its cause began.
    #[derive(Clone, Copy, Debug, PartialEq)]
    pub enum Growth {
        /// Grade 5 × ((t − t0) / (t5 − t0))^power, t in months.
        Law {
            /// Months before anything can be seen.
            t0: f64,
            /// Months until grade 5.
            t5: f64,
            /// Under 1 fast then slow, over 1 slow then fast.
            power: f64,
        },
        /// Jumps to its severity in one event and stays.
        Event,
        /// A clock without a law of its own.
        Clock {
            /// Months at which it typically stands at grade 3.
            typical: f64,
        },
        /// Is wholly there or not at all.
        Whole,
        /// Does not grow.
        Steady,
    }

    /// How much hurry, by grade.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
    pub enum Urgency {
        /// Record only.
        Note,
        /// Compare at the next visit.
        Watch,
        /// Plan work within weeks to months.
        Arrange,
        /// Act within days.
        Prompt,
        /// Make safe or tell the person in charge before leaving the room.
        Halt,
    }

    /// Whose look it takes.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum SeenBy {
        /// Anyone with a lamp.
        Eyes,
        /// Authorised staff with an instrument.
        Staff,
    }

    /// On how much of the string a cause shows.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum Scope {
        /// On most cells alike.
        String,
        /// On one or few cells.
        Cell,
        /// On either.
        Either,
    }

    /// How often a cause shows a finding.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum Link {
        /// 0.90
        AlmostAlways,
        /// 0.70
        Often,
        /// 0.40
        Sometimes,
        /// 0.15
        Seldom,
        /// 0.03
        AlmostNever,
    }

    /// When a cause can begin.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum OnsetRule {
        /// At any time since installation.
        Any,
        /// With the cell.
        Installation,
    }
}

impl Link {
    /// The probability that the cause, once far enough, shows the finding.
    ///
    /// # Source
    /// Estimate: five words on a scale chosen for this program.
    pub const fn probability(self) -> f64 {
        match self {
            Self::AlmostAlways => 0.90,
            Self::Often => 0.70,
            Self::Sometimes => 0.40,
            Self::Seldom => 0.15,
            Self::AlmostNever => 0.03,
        }
    }
}

/// A sentence with where it comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct Said {
    /// The sentence.
    pub text: String,
    /// Where it comes from.
    pub basis: Basis,
}

impl Authored for Said {
    fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
        let (text, basis) = <(String, Basis)>::read(node, cx)?;
        Some(Self { text, basis })
    }
    fn shape() -> Shape {
        Shape::Tuple(vec![String::shape, Basis::shape])
    }
}

/// A number, or five numbers for the grades 1 to 5; between grades it is interpolated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ByGrade(pub [f64; 5]);

impl ByGrade {
    /// The value at a severity: under grade 1 it falls to the value of grade 1 times 5 s.
    pub fn at(&self, severity: f64) -> f64 {
        let g = 5.0 * severity.clamp(0.0, 1.0);
        if g <= 1.0 {
            // A constant stays constant; a growing value starts from nothing.
            let constant = self.0.iter().all(|v| *v == self.0[0]);
            return if constant { self.0[0] } else { self.0[0] * g };
        }
        let i = (g as usize).min(4);
        self.0[i - 1] + (self.0[i] - self.0[i - 1]) * (g - i as f64).clamp(0.0, 1.0)
    }
}

impl Authored for ByGrade {
    fn read(node: &Node, cx: &mut Reader<'_>) -> Option<Self> {
        if matches!(node.kind, Kind::Number { .. }) {
            return f64::read(node, cx).map(|v| Self([v; 5]));
        }
        <[f64; 5]>::read(node, cx).map(Self)
    }
    fn shape() -> Shape {
        Shape::Any(vec![f64::shape, <[f64; 5]>::shape])
    }
}

authored_record! {
    /// A part of the cell or of what belongs to it.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Part {
        /// Its id, as in figures.
        pub id: Spot<Slug>,
        /// Trade name.
        pub name: String,
        /// Trade name of several.
        pub plural: String,
        /// Other names in use.
        pub synonyms: Vec<String> = Vec::new(),
        /// Where it belongs.
        pub group: Group,
        /// 1 is labelled first when there is not room for all.
        pub rank: u32,
        /// How to tell it apart, for a label.
        pub note: String,
        /// Its polarity.
        pub polarity: Polarity = Polarity::Both,
        /// The label sets it belongs to.
        pub sets: Vec<LabelSet> = Vec::new(),
        /// What it is.
        pub what: Said,
        /// Where it is.
        pub place: Said,
        /// How to recognise it.
        pub recognise: Said,
        /// What it is for.
        pub job: Said,
        /// What goes wrong with it.
        pub wrong: Said,
        /// How it differs between constructions.
        pub variants: Option<Said> = None,
        /// How it stands to other parts.
        pub relations: Vec<(Relation, Spot<Slug>)> = Vec::new(),
        /// The shipped designs that have it; all when empty.
        pub designs: Vec<Slug> = Vec::new(),
    }

    /// Months since the cause began at which a finding stands at grade 3.
    #[derive(Clone, Copy, Debug, PartialEq)]
    pub struct AgeRow {
        /// Seldom earlier.
        pub lower: f64,
        /// Most often.
        pub typical: f64,
        /// Seldom later.
        pub upper: f64,
        /// Nothing can be seen before.
        pub too_soon: f64,
    }

    /// What a condition is mistaken for.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Confused {
        /// A condition or harmless look-alike; empty where it has no entry.
        pub with: Spot<String>,
        /// How to tell the two apart.
        pub tell: String,
    }

    /// One step of a drawing recipe.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Overlay {
        /// The overlay family.
        pub family: Spot<String>,
        /// The part it is drawn on.
        pub on: Spot<Slug>,
        /// Numbers by grade.
        pub params: BTreeMap<String, ByGrade> = BTreeMap::new(),
        /// A material of the palette.
        pub paint: Option<Spot<String>> = None,
        /// Words that choose between ways to draw.
        pub words: Vec<String> = Vec::new(),
    }

    /// Where a close picture of a condition is taken.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Frame {
        /// From where it is taken.
        pub from: SeenFrom,
        /// The part it is centred on: with a number such as `post_positive-1` that one, else the
        /// one on which most is to be seen.
        pub on: Spot<String>,
        /// How far to the right on that part the centre lies, 0 to 1; where most is to be seen
        /// when left out.
        pub across: Option<f64> = None,
        /// How far down on that part the centre lies, 0 to 1; where most is to be seen when left
        /// out.
        pub down: Option<f64> = None,
        /// How much of the cell the picture is wide, in millimetres.
        pub wide: f64,
        /// How much of the cell the picture is high, where true proportions would not show a
        /// bend; such a picture is drawn wider than it is and says so.
        pub tall: Option<f64> = None,
    }

    /// A named state of a part.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Condition {
        /// Its id.
        pub id: Spot<Slug>,
        /// Its name.
        pub name: String,
        /// Other names in use.
        pub synonyms: Vec<String> = Vec::new(),
        /// Defect or harmless.
        pub kind: ConditionKind,
        /// Where it occurs.
        pub parts: Vec<Spot<Slug>>,
        /// Where the inspector looks.
        pub look: Look,
        /// From where it can be seen.
        pub views: Vec<SeenFrom>,
        /// What the eye sees.
        pub see: Said,
        /// What grades 1 to 5 look like.
        pub steps: Vec<String> = Vec::new(),
        /// How it is drawn.
        pub overlay: Vec<Overlay> = Vec::new(),
        /// Where its close picture is taken; told from what changes when left out.
        pub frame: Option<Frame> = None,
        /// How it grows.
        pub growth: Growth,
        /// Whether a growing finding can also come by one event.
        pub also_event: bool = false,
        /// Months at grade 3.
        pub age: Option<AgeRow> = None,
        /// Whether it stays for good.
        pub permanent: bool = false,
        /// Whether warmth makes it faster.
        pub heats: bool = false,
        /// How it goes after the cause is mended.
        pub fades: Option<Said> = None,
        /// What its age tells.
        pub clock: Option<Said> = None,
        /// Causes with their share of cases in percent.
        pub suggests: Vec<(Spot<Slug>, f64)> = Vec::new(),
        /// What to look at or measure next.
        pub measure: Said,
        /// What it is mistaken for.
        pub confused: Vec<Confused> = Vec::new(),
        /// Urgency at grades 1 to 2, 3, and 4 to 5.
        pub urgency: (Urgency, Urgency, Urgency),
        /// What is done about it, in general.
        pub action: Said,
        /// What could hurt someone.
        pub caution: Said,
        /// Chance of grade 3 or more with no cause of the catalogue.
        pub leak: Option<f64> = None,
        /// Effort of the look: 1 from the aisle, 5 needs staff.
        pub effort: f64 = 1.0,
        /// Whose look it takes.
        pub seen_by: SeenBy = SeenBy::Eyes,
        /// Where growth, steps and percentages come from.
        pub basis: Basis,
    }

    /// A process that produces findings; screens say "cause".
    #[derive(Clone, Debug, PartialEq)]
    pub struct Mechanism {
        /// Its id.
        pub id: Spot<Slug>,
        /// Its name.
        pub name: String,
        /// The same in everyday words.
        pub plain: String,
        /// On how much of the string it shows.
        pub scope: Scope,
        /// Chance of being there at 0–2, 2–8, 8–15 and over 15 years.
        pub priors: [f64; 4],
        /// What happens.
        pub what: Said,
        /// How often it shows which finding.
        pub links: BTreeMap<String, Link>,
        /// Causes that make it likelier, and by which factor of the odds.
        pub parents: BTreeMap<String, f64> = BTreeMap::new(),
        /// Factor of the prior by type.
        pub types: BTreeMap<String, f64> = BTreeMap::new(),
        /// Only where the posts have a copper core.
        pub needs_insert: bool = false,
        /// When it can begin.
        pub onset: OnsetRule = OnsetRule::Any,
        /// Whether it happens at one moment.
        pub event: bool = false,
        /// What is done about it, in general.
        pub action: Said,
        /// What could hurt someone.
        pub caution: Said,
        /// How much hurry.
        pub urgency: Urgency,
        /// Where the numbers come from.
        pub basis: Basis,
    }

    /// A reading that counts as a finding when it is beyond its limit.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Quantity {
        /// Its id.
        pub id: Spot<Slug>,
        /// Its name.
        pub name: String,
        /// What "beyond the limit" means.
        pub means: Said,
        /// Chance of being beyond the limit with no cause of the catalogue.
        pub leak: f64,
        /// How to ask for it.
        pub ask: String,
        /// Effort of the look.
        pub effort: f64,
        /// Months since its cause, where known.
        pub age: Option<AgeRow> = None,
    }

    /// A document that statements rest on.
    #[derive(Clone, Debug, PartialEq)]
    pub struct SourceEntry {
        /// Short name used in `Seen` and `Standard`.
        pub id: Spot<String>,
        /// Full title.
        pub title: String,
        /// What was read of it.
        pub note: String,
    }

    /// One stop of a guided walk through the picture.
    #[derive(Clone, Debug, PartialEq)]
    pub struct WalkStep {
        /// The parts that are pointed out together.
        pub parts: Vec<Spot<Slug>>,
        /// What is said about them.
        pub say: Said,
    }

    /// A guided walk: parts pointed out one after the other.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Walk {
        /// Its id.
        pub id: Spot<Slug>,
        /// Its title.
        pub title: String,
        /// The view that shows it best: edge, face, plan, peeled, row.
        pub view: String,
        /// Its stops in order.
        pub steps: Vec<WalkStep>,
    }

    /// A fact that every new hire must leave with.
    #[derive(Clone, Debug, PartialEq)]
    pub struct Fact {
        /// Its id.
        pub id: Spot<Slug>,
        /// The fact.
        pub text: String,
        /// Where it comes from.
        pub basis: Basis,
        /// The parts it is about.
        pub parts: Vec<Spot<Slug>>,
    }
}

impl Growth {
    /// The severity so many months after the cause began; none where time does not tell it.
    ///
    /// `rate` is how much faster than at 25 °C it goes.
    pub fn severity_after(self, months: f64, rate: f64) -> Option<Severity> {
        let (t0, t5, power) = match self {
            Self::Law { t0, t5, power } => (t0, t5, power),
            // Typical is the time to grade 3, which is 0.6 of the way on a straight line.
            Self::Clock { typical } => (0.0, typical / 0.6, 1.0),
            Self::Event | Self::Whole | Self::Steady => return None,
        };
        let share = ((months * rate - t0) / (t5 - t0).max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
        Some(Severity::clamped(libm::pow(share, power)))
    }
}

impl Condition {
    /// The urgency at a grade (1 to 5).
    pub fn urgency_at(&self, grade: u8) -> Urgency {
        match grade {
            0..=2 => self.urgency.0,
            3 => self.urgency.1,
            _ => self.urgency.2,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_law_begins_at_nothing_and_ends_at_five_grades() {
        let law = Growth::Law { t0: 2.0, t5: 22.0, power: 2.0 };
        let at = |months, rate| law.severity_after(months, rate).unwrap().value();
        assert_eq!(
            (at(0.0, 1.0), at(2.0, 1.0), at(22.0, 1.0), at(99.0, 1.0)),
            (0.0, 0.0, 1.0, 1.0)
        );
        assert!((at(12.0, 1.0) - 0.25).abs() < 1e-12);
        assert_eq!(at(6.0, 2.0), at(12.0, 1.0));
        let clock = Growth::Clock { typical: 30.0 };
        assert!((clock.severity_after(30.0, 1.0).unwrap().value() - 0.6).abs() < 1e-12);
        assert_eq!(Growth::Event.severity_after(30.0, 1.0), None);
    }
}
