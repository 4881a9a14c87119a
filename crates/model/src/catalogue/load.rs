//! Reads the catalogue files, joins them, and reports what does not fit together.

mod reach;

use super::entries::*;
use crate::{
    authored::{Authored as _, Kind, Node, ShapeFn, Spot, parse, read_root},
    authored_record,
    design::{Alloy, Design, Feature, unknown_format},
    diag::{Checked, Code, Diagnostic, Source, in_file_order},
    id::Slug,
};
use std::{collections::BTreeMap, ops::Range, sync::OnceLock};

authored_record! {
    /// A file of parts.
    #[derive(Clone, Debug)]
    struct Parts { format: Spot<u32>, parts: Vec<Part>, }
    /// A file of conditions.
    #[derive(Clone, Debug)]
    struct Conditions { format: Spot<u32>, conditions: Vec<Condition>, }
    /// A file of causes and readings.
    #[derive(Clone, Debug)]
    struct Mechanisms {
        format: Spot<u32>,
        mechanisms: Vec<Mechanism>,
        quantities: Vec<Quantity> = Vec::new(),
    }
    /// A file of sources.
    #[derive(Clone, Debug)]
    struct Sources { format: Spot<u32>, sources: Vec<SourceEntry>, }
    /// A file of guided walks.
    #[derive(Clone, Debug)]
    struct Walks { format: Spot<u32>, walks: Vec<Walk>, }
    /// A file of facts.
    #[derive(Clone, Debug)]
    struct Facts { format: Spot<u32>, facts: Vec<Fact>, }
}

/// Everything that is known, joined and checked; read-only.
#[derive(Clone, Debug, Default)]
pub struct Catalogue {
    /// Parts in catalogue order.
    pub parts: Vec<Part>,
    /// Conditions and harmless look-alikes.
    pub conditions: Vec<Condition>,
    /// Causes.
    pub mechanisms: Vec<Mechanism>,
    /// Readings that can be findings.
    pub quantities: Vec<Quantity>,
    /// Documents.
    pub sources: Vec<SourceEntry>,
    /// Facts to leave with.
    pub facts: Vec<Fact>,
    /// Guided walks through the picture.
    pub walks: Vec<Walk>,
    /// Designs by id.
    pub designs: BTreeMap<Slug, Design>,
}

macro_rules! embedded {
    ($($file:literal),* $(,)?) => {
        &[$( (concat!("assets/", $file), include_str!(concat!("../../../../assets/", $file))) ),*]
    };
}

const CATALOGUE_FILES: &[(&str, &str)] = embedded![
    "catalogue/parts.ron",
    "catalogue/facts.ron",
    "catalogue/sources.ron",
    "catalogue/walks.ron",
    "catalogue/conditions_plates.ron",
    "catalogue/conditions_floor.ron",
    "catalogue/conditions_separators.ron",
    "catalogue/conditions_acid.ron",
    "catalogue/conditions_shell.ron",
    "catalogue/conditions_connections.ron",
    "catalogue/conditions_top.ron",
    "catalogue/conditions_harmless.ron",
    "catalogue/mechanisms.ron",
];

const DESIGN_FILES: &[(&str, &str)] = embedded![
    "designs/small_three_cell_jar.ron",
    "designs/medium_pasted.ron",
    "designs/large_tall_pasted.ron",
    "designs/tubular.ron",
    "designs/plante.ron",
    "designs/round_plate.ron",
];

/// The catalogue files that the program carries with it.
pub fn builtin_sources() -> Vec<Source> {
    CATALOGUE_FILES.iter().map(|(name, text)| Source::new(name, text)).collect()
}

/// The design files that the program carries with it.
pub fn builtin_designs() -> Vec<Source> {
    DESIGN_FILES.iter().map(|(name, text)| Source::new(name, text)).collect()
}

/// First words of the files of the catalogue.
const KINDS: [&str; 7] =
    ["Parts", "Conditions", "Mechanisms", "Sources", "Facts", "Walks", "Design"];

/// A reference from one entry to another, to be looked up when all files are read.
struct Link {
    source: Source,
    at: Range<usize>,
    word: String,
    target: Target,
}

#[derive(Clone, Copy, PartialEq)]
enum Target {
    Part,
    Condition,
    Mechanism,
    Finding,
    Source,
}

/// Where an entry stands, for what is known only when all files are read.
struct Entry {
    id: String,
    source: Source,
    at: Range<usize>,
}

#[derive(Default)]
struct Loader {
    catalogue: Catalogue,
    links: Vec<Link>,
    causes: Vec<Entry>,
    findings: Vec<Entry>,
    found: Vec<Diagnostic>,
    seen: BTreeMap<String, String>,
}

impl Catalogue {
    /// The catalogue that the program carries with it.
    pub fn builtin() -> &'static Self {
        static BUILTIN: OnceLock<Catalogue> = OnceLock::new();
        BUILTIN.get_or_init(|| {
            let mut all = builtin_sources();
            all.extend(builtin_designs());
            Self::load(&all).value.unwrap_or_default()
        })
    }

    /// Reads and joins catalogue and design files; the kind of each is told by its content.
    pub fn load(files: &[Source]) -> Checked<Self> {
        let mut loader = Loader::default();
        for source in files {
            loader.file(source);
        }
        loader.resolve();
        Checked { value: Some(loader.catalogue), diagnostics: in_file_order(loader.found) }
    }

    /// True when the first word of a file says that it belongs to the catalogue.
    pub fn is_kind(root: &str) -> bool {
        KINDS.contains(&root)
    }

    /// What the files of the catalogue look like, by their first word.
    pub fn shapes() -> Vec<(&'static str, ShapeFn)> {
        vec![
            ("Parts", Parts::shape),
            ("Conditions", Conditions::shape),
            ("Mechanisms", Mechanisms::shape),
            ("Sources", Sources::shape),
            ("Facts", Facts::shape),
            ("Walks", Walks::shape),
            ("Design", Design::shape),
        ]
    }

    /// The part with this id.
    pub fn part(&self, id: &str) -> Option<&Part> {
        self.parts.iter().find(|p| p.id.as_str() == id)
    }

    /// The condition or look-alike with this id.
    pub fn condition(&self, id: &str) -> Option<&Condition> {
        self.conditions.iter().find(|c| c.id.as_str() == id)
    }

    /// The cause with this id.
    pub fn mechanism(&self, id: &str) -> Option<&Mechanism> {
        self.mechanisms.iter().find(|m| m.id.as_str() == id)
    }

    /// The reading with this id.
    pub fn quantity(&self, id: &str) -> Option<&Quantity> {
        self.quantities.iter().find(|q| q.id.as_str() == id)
    }

    /// The name of a condition, reading, cause or part; the id itself when unknown.
    pub fn name_of(&self, id: &str) -> String {
        self.condition(id)
            .map(|c| &c.name)
            .or_else(|| self.quantity(id).map(|q| &q.name))
            .or_else(|| self.mechanism(id).map(|m| &m.name))
            .or_else(|| self.part(id).map(|p| &p.name))
            .cloned()
            .unwrap_or_else(|| id.to_owned())
    }

    /// Parts that stand to this one in some relation, said from this part's side.
    pub fn neighbours(&self, id: &str) -> Vec<(Relation, &Part)> {
        let mut out: Vec<(Relation, &Part)> = Vec::new();
        let mut add = |relation: Relation, part: &str| {
            if let Some(p) = self.part(part)
                && !out.iter().any(|(r, o)| *r == relation && o.id == p.id)
            {
                out.push((relation, p));
            }
        };
        if let Some(me) = self.part(id) {
            for (relation, to) in &me.relations {
                add(*relation, to);
            }
        }
        for other in &self.parts {
            for (relation, to) in &other.relations {
                let back = match relation {
                    Relation::Above => Relation::Below,
                    Relation::Below => Relation::Above,
                    Relation::AttachedTo => Relation::AttachedTo,
                    Relation::Touches => Relation::Touches,
                    Relation::OppositeOf => Relation::OppositeOf,
                    // What lies inside, between, over or through this part is told from there.
                    Relation::Inside | Relation::Between | Relation::Pierces | Relation::Covers => {
                        continue;
                    }
                };
                if to.as_str() == id {
                    add(back, &other.id);
                }
            }
        }
        out
    }

    /// True when the design has the part: by the list of the part for shipped designs, by
    /// what the design file says for others.
    pub fn has_part(&self, design: &Design, part: &str) -> bool {
        let Some(entry) = self.part(part) else { return false };
        let listed = |id: &str| entry.designs.iter().any(|d| d.as_str() == id);
        if entry.designs.is_empty() {
            return true;
        }
        if listed(&design.id) {
            return true;
        }
        let shipped = self.parts.iter().any(|p| p.designs.contains(&design.id));
        !shipped && own_design_has(design, part)
    }

    /// True when a condition can be on a cell of the design: the design has a part that it is
    /// about, and one that it is drawn on.
    pub fn can_occur(&self, design: &Design, condition: &Condition) -> bool {
        let drawn = &condition.overlay;
        condition.parts.iter().any(|p| self.has_part(design, p))
            && (drawn.is_empty() || drawn.iter().any(|step| self.has_part(design, &step.on)))
    }
}

/// Whether a design that the catalogue does not list has a part, told from its own fields.
fn own_design_has(design: &Design, part: &str) -> bool {
    use crate::design::{Construction, PostSeal, Support};
    let round = design.construction == Construction::RoundPlate;
    match part {
        "partition_wall" => design.jar.cells > 1,
        "post_copper_insert" => design.has(Feature::CopperInsert),
        "growth_seal" => design.posts.seal == PostSeal::Sliding,
        "seal_nut" | "seal_o_ring" => design.posts.seal == PostSeal::Nut,
        "seal_well" => true,
        "end_spacer" => design.has(Feature::EndSpacers),
        "retainer_mat" => design.mat > 0.0,
        "mat_wrapper" => design.has(Feature::MatWrapper),
        "edge_insulator" => design.has(Feature::EdgeInsulators),
        "moss_shield" => design.has(Feature::MossShield),
        "plate_feet" => !matches!(design.support, Support::AllHung | Support::Ring),
        "bottom_bridge" => design.bridge.ribs > 0 || design.support == Support::Ring,
        "positive_hanger" => matches!(design.support, Support::HungPositives | Support::AllHung),
        "withdrawal_tube" => design.tubes.is_some(),
        "filling_funnel" | "dust_cap" => design.arrestor.funnel.is_some(),
        "temp_port" => design.has(Feature::TemperaturePort),
        "lift_point" => design.has(Feature::LiftPoints),
        "tube_gauntlet" | "tube_spine" | "tube_bottom_bar" => {
            design.construction == Construction::Tubular
        }
        "plante_lamella" => design.construction == Construction::Plante,
        "round_plate" => round,
        "strap_positive"
        | "strap_negative"
        | "plate_lug"
        | "positive_plate"
        | "negative_plate_inside"
        | "negative_plate_end" => !round,
        _ => true,
    }
}

impl Alloy {
    /// The key of this type in the tables of the catalogue.
    pub const fn key(self) -> &'static str {
        match self {
            Self::LeadCalcium => "lead_calcium",
            Self::LeadAntimony => "lead_antimony",
            Self::LowAntimony => "low_antimony",
            Self::Tubular => "tubular",
            Self::Plante => "plante",
            Self::RoundPlate => "round_plate",
        }
    }

    /// All types.
    pub const ALL: [Self; 6] = [
        Self::LeadCalcium,
        Self::LeadAntimony,
        Self::LowAntimony,
        Self::Tubular,
        Self::Plante,
        Self::RoundPlate,
    ];
}

impl Loader {
    fn file(&mut self, source: &Source) {
        let (root, syntax) = parse(source);
        self.found.extend(syntax);
        self.bases(source, &root);
        let name = match &root.kind {
            Kind::Record(Some(name), _) | Kind::Tuple(Some(name), _) => name.text.clone(),
            _ => String::new(),
        };
        macro_rules! read {
            ($ty:ty) => {{
                let read = read_root::<$ty>(source, &root);
                self.found.extend(read.diagnostics);
                let Some(file) = read.value else { return };
                if file.format.value != 1 {
                    self.found.push(unknown_format(source, &file.format));
                }
                file
            }};
        }
        match name.as_str() {
            "Parts" => {
                for part in read!(Parts).parts {
                    self.id("part", source, &part.id.value, &part.id.at);
                    for (_, to) in &part.relations {
                        self.link(source, to, Target::Part);
                    }
                    self.catalogue.parts.push(part);
                }
            }
            "Conditions" => {
                for c in read!(Conditions).conditions {
                    self.condition(source, &c);
                    self.catalogue.conditions.push(c);
                }
            }
            "Mechanisms" => {
                let file = read!(Mechanisms);
                for m in file.mechanisms {
                    self.mechanism(source, &m);
                    self.catalogue.mechanisms.push(m);
                }
                for q in file.quantities {
                    self.id("reading", source, &q.id.value, &q.id.at);
                    self.finding(source, &q.id, q.leak, q.effort, q.age);
                    self.catalogue.quantities.push(q);
                }
            }
            "Sources" => self.catalogue.sources.extend(read!(Sources).sources),
            "Facts" => {
                for fact in read!(Facts).facts {
                    self.id("fact", source, &fact.id.value, &fact.id.at);
                    for part in &fact.parts {
                        self.link(source, part, Target::Part);
                    }
                    self.catalogue.facts.push(fact);
                }
            }
            "Walks" => {
                for walk in read!(Walks).walks {
                    self.id("walk", source, &walk.id.value, &walk.id.at);
                    for part in walk.steps.iter().flat_map(|s| &s.parts) {
                        self.link(source, part, Target::Part);
                    }
                    self.catalogue.walks.push(walk);
                }
            }
            "Design" => {
                let design = read!(Design);
                let at = place_of(source, &(root.at.start..root.at.start), &design.id);
                self.id("design", source, &design.id, &at);
                self.catalogue.designs.insert(design.id.clone(), design);
            }
            other => {
                let what = format!("`{other}` is no kind of catalogue file");
                let at = root.at.start..root.at.start + other.len();
                self.found.push(
                    Diagnostic::new(Code::UnknownKind, source, at, what).nearest(other, KINDS),
                );
            }
        }
    }

    /// Notes the documents that statements rest on.
    fn bases(&mut self, source: &Source, node: &Node) {
        match &node.kind {
            Kind::Tuple(Some(name), values) if matches!(&*name.text, "Seen" | "Standard") => {
                if let [Node { at, kind: Kind::Text(word) }] = values.as_slice() {
                    let (source, word) = (source.clone(), word.clone());
                    self.links.push(Link { source, at: at.clone(), word, target: Target::Source });
                }
            }
            Kind::Tuple(_, items) | Kind::List(items) => {
                items.iter().for_each(|n| self.bases(source, n));
            }
            Kind::Record(_, fields) => fields.iter().for_each(|(_, n)| self.bases(source, n)),
            Kind::Map(pairs) => pairs.iter().for_each(|(_, n)| self.bases(source, n)),
            _ => {}
        }
    }

    fn id(&mut self, kind: &str, source: &Source, id: &Slug, at: &Range<usize>) {
        let first = format!("{}:{}", source.name(), source.line_col(at.start).0);
        if let Some(first) = self.seen.insert(format!("{kind} {id}"), first) {
            let what = format!("another {kind} has the id `{id}` already");
            self.found.push(
                Diagnostic::new(Code::RepeatedId, source, at.clone(), what)
                    .help(format!("the first stands at {first}")),
            );
        }
    }

    fn link(&mut self, source: &Source, to: &Spot<Slug>, target: Target) {
        self.links.push(Link {
            source: source.clone(),
            at: to.at.clone(),
            word: to.value.to_string(),
            target,
        });
    }

    fn frame(&mut self, source: &Source, frame: &Frame) {
        let named = &frame.on.value;
        let part = named.rsplit_once('-').map_or(named.as_str(), |(part, _)| part);
        self.links.push(Link {
            source: source.clone(),
            at: frame.on.at.clone(),
            word: part.to_owned(),
            target: Target::Part,
        });
        let numbers = [
            ("across", frame.across, 0.0..=1.0),
            ("down", frame.down, 0.0..=1.0),
            ("wide", Some(frame.wide), 5.0..=5000.0),
            ("tall", frame.tall, 5.0..=5000.0),
        ];
        for (what, value, range) in numbers {
            let Some(value) = value.filter(|v| !range.contains(v)) else { continue };
            let (least, most) = (range.start(), range.end());
            let what = format!("`{what}` of a frame is from {least} to {most}, met {value}");
            let at = frame.on.at.clone();
            self.found.push(Diagnostic::new(Code::OutOfRange, source, at, what));
        }
    }

    fn probability(&mut self, source: &Source, at: &Range<usize>, what: &str, value: f64) {
        if !(0.0..=1.0).contains(&value) {
            let message = format!("{what} must be from 0 to 1, met {value}");
            self.found.push(Diagnostic::new(Code::OutOfRange, source, at.clone(), message));
        }
    }

    fn condition(&mut self, source: &Source, c: &Condition) {
        let at = &c.id.at;
        self.id("condition", source, &c.id.value, at);
        for part in &c.parts {
            self.link(source, part, Target::Part);
        }
        if let Some(frame) = &c.frame {
            self.frame(source, frame);
        }
        for o in &c.overlay {
            self.link(source, &o.on, Target::Part);
        }
        for (m, _) in &c.suggests {
            self.link(source, m, Target::Mechanism);
        }
        for confused in c.confused.iter().filter(|k| !k.with.value.is_empty()) {
            self.links.push(Link {
                source: source.clone(),
                at: confused.with.at.clone(),
                word: confused.with.value.clone(),
                target: Target::Condition,
            });
        }
        if let Growth::Law { t0, t5, power } = c.growth
            && (t0 < 0.0 || t5 <= t0 || power <= 0.0)
        {
            let what = format!(
                "the growth law needs 0 ≤ t0 < t5 and power > 0, met t0 {t0}, t5 {t5}, power {power}"
            );
            self.found.push(Diagnostic::new(Code::OutOfRange, source, at.clone(), what));
        }
        if c.kind == ConditionKind::Condition && c.steps.len() != 5 {
            let what = format!("`{}` needs five steps, met {}", c.id.value, c.steps.len());
            self.found.push(Diagnostic::new(Code::WrongType, source, at.clone(), what));
        }
        if let (Some(leak), ConditionKind::Condition) = (c.leak, c.kind) {
            self.finding(source, &c.id, leak, c.effort, c.age);
        }
    }

    fn mechanism(&mut self, source: &Source, m: &Mechanism) {
        let at = m.id.at.clone();
        self.id("cause", source, &m.id.value, &at);
        for p in m.priors {
            self.probability(source, &at, "a prior", p);
        }
        if m.priors.iter().all(|p| *p == 0.0) {
            let what = format!("`{}` can never be there: each of its priors is 0", m.id.value);
            self.found.push(Diagnostic::new(Code::OutOfRange, source, at.clone(), what));
        }
        let id = m.id.value.to_string();
        self.causes.push(Entry { id, source: source.clone(), at: at.clone() });
        for word in m.links.keys() {
            self.links.push(Link {
                source: source.clone(),
                at: place_of(source, &at, word),
                word: word.clone(),
                target: Target::Finding,
            });
        }
        for (word, factor) in &m.parents {
            if factor.is_nan() || *factor <= 0.0 {
                let what = format!("a factor must be over 0, met {factor}");
                let at = place_of(source, &at, word);
                self.found.push(Diagnostic::new(Code::OutOfRange, source, at, what));
            }
            self.links.push(Link {
                source: source.clone(),
                at: place_of(source, &at, word),
                word: word.clone(),
                target: Target::Mechanism,
            });
        }
        for (word, factor) in &m.types {
            let at = place_of(source, &at, word);
            let known = Alloy::ALL.map(Alloy::key);
            if !known.contains(&word.as_str()) {
                let what = format!("`{word}` is no type of cell");
                let d = Diagnostic::new(Code::UnknownValue, source, at, what);
                self.found.push(d.nearest(word, known));
            } else if factor.is_nan() || *factor < 0.0 {
                let what = format!("a factor must not be negative, met {factor}");
                self.found.push(Diagnostic::new(Code::OutOfRange, source, at, what));
            }
        }
    }

    fn resolve(&mut self) {
        self.reach();
        let c = &self.catalogue;
        for link in &self.links {
            let word = link.word.as_str();
            let (code, kind, known): (_, _, Vec<&str>) = match link.target {
                Target::Part => {
                    (Code::UnknownPart, "part", c.parts.iter().map(|p| p.id.as_str()).collect())
                }
                Target::Source => (
                    Code::UnknownSource,
                    "source",
                    c.sources.iter().map(|s| s.id.as_str()).collect(),
                ),
                Target::Condition => (
                    Code::UnknownCondition,
                    "condition",
                    c.conditions.iter().map(|x| x.id.as_str()).collect(),
                ),
                Target::Mechanism => (
                    Code::UnknownMechanism,
                    "cause",
                    c.mechanisms.iter().map(|x| x.id.as_str()).collect(),
                ),
                Target::Finding => (
                    Code::UnknownFinding,
                    "condition or reading",
                    c.conditions
                        .iter()
                        .filter(|x| x.kind == ConditionKind::Condition)
                        .map(|x| x.id.as_str())
                        .chain(c.quantities.iter().map(|q| q.id.as_str()))
                        .collect(),
                ),
            };
            if !known.contains(&word) {
                let what = format!("no {kind} has the id `{word}`");
                let d = Diagnostic::new(code, &link.source, link.at.clone(), what);
                self.found.push(d.nearest(word, known));
            }
        }
    }
}

/// Finds a quoted key of a map behind the id of its entry; maps keep no places of their own.
fn place_of(source: &Source, entry: &Range<usize>, word: &str) -> Range<usize> {
    let quoted = format!("\"{word}\"");
    let rest = source.text().get(entry.end..).unwrap_or("");
    match rest.find(&quoted) {
        Some(i) => entry.end + i..entry.end + i + quoted.len(),
        None => entry.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_shipped_catalogue_has_no_diagnostics() {
        let mut all = builtin_sources();
        all.extend(builtin_designs());
        let read = Catalogue::load(&all);
        let text: String = read.diagnostics.iter().map(ToString::to_string).collect();
        assert!(read.diagnostics.is_empty(), "{text}");
        assert!(read.value.is_some_and(|c| c.parts.len() >= 40));
    }

    #[test]
    fn a_second_design_of_an_id_and_a_source_that_is_not_listed_are_reported() {
        let mut all = builtin_designs();
        all.extend(builtin_sources());
        let text = all[0].text().replace("Estimate(", "Seen(\"DOE-1085\"), //");
        all.push(Source::new("again.ron", &text));
        let found = Catalogue::load(&all).diagnostics;
        let of = |code| found.iter().find(|d: &&Diagnostic| d.code == code).unwrap();
        assert!(of(Code::RepeatedId).place.as_ref().unwrap().excerpt.contains("id:"));
        assert_eq!(of(Code::UnknownSource).help.as_deref(), Some("did you mean `DOE-1084`?"));
        assert_eq!(found.len(), 2, "{found:?}");
    }

    #[test]
    fn a_misspelt_reference_offers_the_right_one() {
        let text = r#"Facts(format: 1, facts: [
            (id: "f", text: "T.", basis: Memory, parts: ["seperator"])])"#;
        let mut all = builtin_sources();
        all.push(Source::new("f.ron", text));
        let read = Catalogue::load(&all);
        let d = read.diagnostics.iter().find(|d| d.code == Code::UnknownPart).unwrap();
        assert_eq!(d.help.as_deref(), Some("did you mean `separator`?"));
        assert_eq!(d.place.as_ref().map(|p| (p.line, p.col)), Some((2, 58)));
    }
}
