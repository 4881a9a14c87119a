//! Where the questions and scenes of a text stand; reads texts with mistakes as far as it can.

use jarlight_model::{
    authored::{Kind, Name, Node, parse},
    diag::Source,
};
use std::ops::Range;

/// A question in the text.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    /// From bracket to bracket.
    pub at: Range<usize>,
    /// Its id.
    pub id: String,
    /// Its scenes by name: the one it is asked about, and the one it is compared with.
    pub scenes: Vec<(String, Range<usize>)>,
    /// The words of what is asked, between their quotation marks.
    pub stem: Option<Range<usize>>,
}

/// A number or a range of numbers in the text.
#[derive(Clone, Debug, PartialEq)]
pub struct Number {
    /// The whole value.
    pub at: Range<usize>,
    /// Smallest and largest value; the same where it is one number.
    pub low: f64,
    /// See `low`.
    pub high: f64,
}

/// A condition of a scene.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    /// Its id.
    pub id: String,
    /// How far it has gone.
    pub severity: Option<Number>,
}

/// A scene in the text.
#[derive(Clone, Debug, PartialEq)]
pub struct Scene {
    /// Its name.
    pub name: String,
    /// Its record.
    pub at: Range<usize>,
    /// Its whole entry, from the name on.
    pub entry: Range<usize>,
    /// Months since installation, where they are written.
    pub age: Option<Number>,
    /// Its conditions.
    pub conditions: Vec<Placed>,
    /// The end of its design, after which a field can be added.
    pub design_end: Option<usize>,
}

/// A bracketed list or map of the text.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Block {
    /// From bracket to bracket.
    pub at: Range<usize>,
    /// Its entries.
    pub entries: Vec<Range<usize>>,
}

/// What stands where.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Outline {
    /// Texts in quotation marks, and everything else that is a value.
    pub values: Vec<Range<usize>>,
    /// Values of fields, with the name of the field.
    pub fields: Vec<(String, Range<usize>)>,
    /// The list of questions.
    pub question_list: Option<Block>,
    /// The map of scenes.
    pub scene_map: Option<Block>,
    /// The questions.
    pub questions: Vec<Question>,
    /// The scenes.
    pub scenes: Vec<Scene>,
}

impl Outline {
    /// Reads a text.
    pub fn of(text: &str) -> Self {
        let (root, _) = parse(&Source::new("", text));
        let mut out = Self::default();
        out.gather(&root);
        if let Some(list) = field(&root, "questions")
            && let Kind::List(items) = &list.kind
        {
            out.question_list =
                Some(Block { at: list.at.clone(), entries: spans(items.iter().map(whole)) });
            out.questions = items.iter().map(question).collect();
        }
        if let Some(map) = field(&root, "scenes")
            && let Kind::Map(entries) = &map.kind
        {
            let all = entries.iter().map(|(key, value)| key.at.start..value.at.end);
            out.scene_map = Some(Block { at: map.at.clone(), entries: spans(all) });
            out.scenes = entries.iter().filter_map(|(key, value)| scene(key, value)).collect();
        }
        out
    }

    /// The number of the question that a place in the text belongs to.
    pub fn question_at(&self, byte: usize) -> Option<usize> {
        self.questions.iter().position(|q| q.at.start <= byte && byte <= q.at.end)
    }

    /// The scene of this name.
    pub fn scene(&self, name: &str) -> Option<&Scene> {
        self.scenes.iter().find(|s| s.name == name)
    }

    /// The innermost value that a place is in.
    pub fn value_at(&self, byte: usize) -> Option<Range<usize>> {
        let inside = self.values.iter().filter(|v| v.start < byte && byte < v.end);
        inside.min_by_key(|v| v.len()).cloned()
    }

    fn gather(&mut self, node: &Node) {
        self.values.push(node.at.clone());
        match &node.kind {
            Kind::List(items) | Kind::Tuple(_, items) => {
                items.iter().for_each(|n| self.gather(n));
            }
            Kind::Map(entries) => entries.iter().for_each(|(k, v)| {
                self.gather(k);
                self.gather(v);
            }),
            Kind::Record(_, fields) => fields.iter().for_each(|(name, n)| {
                self.fields.push((name.text.clone(), n.at.clone()));
                self.gather(n);
            }),
            _ => {}
        }
    }
}

fn whole(node: &Node) -> Range<usize> {
    node.at.clone()
}

fn spans(all: impl Iterator<Item = Range<usize>>) -> Vec<Range<usize>> {
    all.collect()
}

fn fields(node: &Node) -> &[(Name, Node)] {
    match &node.kind {
        Kind::Record(_, fields) => fields,
        _ => &[],
    }
}

fn field<'n>(node: &'n Node, name: &str) -> Option<&'n Node> {
    fields(node).iter().find(|(n, _)| n.text == name).map(|(_, value)| value)
}

fn words(node: &Node) -> Option<(String, Range<usize>)> {
    match &node.kind {
        Kind::Text(text) => Some((text.clone(), node.at.clone())),
        _ => None,
    }
}

/// The id that a text gives its scenario, when it can be part of the name of a file.
pub fn id_of(text: &str) -> Option<String> {
    let (root, _) = parse(&Source::new("", text));
    text_of(&root, "id").filter(|id| jarlight_model::id::Slug::parse(id).is_ok())
}

/// The text of a field of the file.
pub fn text_of(root: &Node, name: &str) -> Option<String> {
    field(root, name).and_then(words).map(|(text, _)| text)
}

/// Where a field of the file stands.
pub fn place_of(root: &Node, name: &str) -> Option<Range<usize>> {
    field(root, name).map(|node| node.at.clone())
}

fn question(node: &Node) -> Question {
    let text = |n: &str| field(node, n).and_then(words);
    let second = field(node, "form").and_then(|f| field(f, "second")).and_then(words);
    Question {
        at: node.at.clone(),
        id: text("id").map(|(id, _)| id).unwrap_or_default(),
        scenes: text("scene").into_iter().chain(second).collect(),
        stem: text("stem").map(|(_, at)| at.start + 1..at.end - 1),
    }
}

fn number(node: &Node) -> Option<Number> {
    let value = |n: &Node| match n.kind {
        Kind::Number { value, .. } => Some(value),
        _ => None,
    };
    let (low, high) = match &node.kind {
        Kind::Tuple(None, ends) => match ends.as_slice() {
            [low, high] => (value(low)?, value(high)?),
            _ => return None,
        },
        _ => (value(node)?, value(node)?),
    };
    Some(Number { at: node.at.clone(), low, high })
}

fn scene(key: &Node, node: &Node) -> Option<Scene> {
    let (name, _) = words(key)?;
    let list = match field(node, "conditions").map(|n| &n.kind) {
        Some(Kind::List(items)) => items.as_slice(),
        _ => &[],
    };
    let conditions = list.iter().map(|c| Placed {
        id: field(c, "id").and_then(words).map(|(id, _)| id).unwrap_or_default(),
        severity: field(c, "severity").and_then(number),
    });
    Some(Scene {
        name,
        at: node.at.clone(),
        entry: key.at.start..node.at.end,
        age: field(node, "age_months").and_then(number),
        conditions: conditions.collect(),
        design_end: field(node, "design").map(|d| d.at.end),
    })
}
