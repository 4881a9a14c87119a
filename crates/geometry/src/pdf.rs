//! Writes a scene as a PDF page: vectors stay vectors, words stay words, and the same scene
//! gives the same bytes.

use crate::{
    palette::{Palette, Rgba},
    scene::{Anchor, Form, Paint, Scene, Shade, Stroke, Text, Tone},
    svg::{HALO, Page, Unit, glow},
    text::{self, WEIGHTS, font_bytes},
};
use krilla::{
    Document,
    color::rgb,
    error::KrillaError,
    geom::{Path, PathBuilder, Point as At, Transform},
    metadata::Metadata,
    num::NormalizedF32,
    page::PageSettings,
    paint::{
        Fill, FillRule, LineCap, LineJoin, LinearGradient, RadialGradient, SpreadMethod, Stop,
        Stroke as PdfStroke, StrokeDash,
    },
    surface::Surface,
    text::{Font, TextDirection},
};
use kurbo::{BezPath, PathEl, Rect, Shape as _};

/// The longest side of a page in points, 200 inches, which is what readers can show.
pub const MAX_SIDE: f64 = 14_400.0;

/// Why there is no page.
#[derive(Debug, thiserror::Error)]
pub enum PdfError {
    /// The page has no area, or more than readers can show.
    #[error("a page of {width} × {height} points cannot be made; a side is 3 to {MAX_SIDE} points")]
    Size {
        /// Points across.
        width: f64,
        /// Points down.
        height: f64,
    },
    /// A font of the program could not be read.
    #[error("a font of the program could not be read")]
    Font,
    /// The writer refused the page.
    #[error("the page could not be written")]
    Write(#[source] KrillaError),
}

/// The scene as a document of one page.
pub fn write(scene: &Scene, palette: &Palette, page: &Page<'_>) -> Result<Vec<u8>, PdfError> {
    let points = match page.unit {
        Unit::Px => 72.0 / 96.0,
        Unit::Mm => 72.0 / 25.4,
    };
    let (width, height) = (page.width * points, page.height * points);
    let fits = |side: f64| (3.0..=MAX_SIDE).contains(&side);
    let settings = PageSettings::from_wh(width as f32, height as f32)
        .filter(|_| fits(width) && fits(height))
        .ok_or(PdfError::Size { width, height })?;
    let fonts = WEIGHTS
        .iter()
        .map(|w| Font::new(font_bytes(*w).into(), 0).ok_or(PdfError::Font))
        .collect::<Result<Vec<_>, _>>()?;
    let mut document = Document::new();
    document.set_metadata(Metadata::new().title(page.title.to_owned()).language("en".to_owned()));
    let mut sheet = document.start_page_with(settings);
    let mut surface = sheet.surface();
    surface.push_transform(&Transform::from_scale(points as f32, points as f32));
    let mut w = Writer { palette, px: page.unit.per_px(), fonts, surface: &mut surface };
    if let Some(role) = page.background {
        let all = Rect::new(0.0, 0.0, page.width, page.height).to_path(0.1);
        w.path(&all, Some(&Shade::new(role, Tone::Base).into()), None, 1.0);
    }
    for prim in &scene.prims {
        let Some(glow) = glow(prim, page.lamp) else { continue };
        match &prim.form {
            Form::Path { path, fill, stroke } => {
                w.path(path, fill.as_ref(), stroke.as_ref(), glow);
            }
            Form::Text(text) => w.text(text),
        }
    }
    surface.pop();
    surface.finish();
    sheet.finish();
    document.finish().map_err(PdfError::Write)
}

struct Writer<'a, 's> {
    palette: &'a Palette,
    px: f64,
    fonts: Vec<Font>,
    surface: &'a mut Surface<'s>,
}

impl Writer<'_, '_> {
    fn path(&mut self, path: &BezPath, fill: Option<&Paint>, stroke: Option<&Stroke>, glow: f32) {
        let Some(outline) = outline(path) else { return };
        if fill.is_none() && stroke.is_none() {
            return;
        }
        self.surface.set_fill(fill.map(|f| self.fill(f, glow)));
        self.surface.set_stroke(stroke.map(|s| self.stroke(s, glow)));
        self.surface.draw_path(&outline);
    }

    fn fill(&self, paint: &Paint, glow: f32) -> Fill {
        let stops = |stops: &[(f32, Shade)]| -> Vec<Stop> {
            stops
                .iter()
                .map(|(at, shade)| {
                    let rgba = self.palette.rgba(*shade);
                    Stop {
                        offset: share(*at),
                        color: color(rgba).into(),
                        opacity: share(rgba.alpha * glow),
                    }
                })
                .collect()
        };
        let whole = |paint| Fill { paint, opacity: NormalizedF32::ONE, rule: FillRule::NonZero };
        match paint {
            Paint::Plain(shade) => {
                let rgba = self.palette.rgba(*shade);
                Fill { opacity: share(rgba.alpha * glow), ..whole(color(rgba).into()) }
            }
            Paint::Linear { from, to, stops: list } => whole(
                LinearGradient {
                    x1: from.x as f32,
                    y1: from.y as f32,
                    x2: to.x as f32,
                    y2: to.y as f32,
                    transform: Transform::identity(),
                    spread_method: SpreadMethod::Pad,
                    stops: stops(list),
                    anti_alias: false,
                }
                .into(),
            ),
            Paint::Radial { center, radius, stops: list } => whole(
                RadialGradient {
                    fx: center.x as f32,
                    fy: center.y as f32,
                    fr: 0.0,
                    cx: center.x as f32,
                    cy: center.y as f32,
                    cr: *radius as f32,
                    transform: Transform::identity(),
                    spread_method: SpreadMethod::Pad,
                    stops: stops(list),
                    anti_alias: false,
                }
                .into(),
            ),
        }
    }

    fn stroke(&self, stroke: &Stroke, glow: f32) -> PdfStroke {
        let rgba = self.palette.rgba(stroke.shade);
        let dash = (!stroke.dash.is_empty()).then(|| StrokeDash {
            array: stroke.dash.iter().map(|d| (d * self.px) as f32).collect(),
            offset: 0.0,
        });
        let (line_cap, line_join) = if stroke.round {
            (LineCap::Round, LineJoin::Round)
        } else {
            (LineCap::Butt, LineJoin::Miter)
        };
        PdfStroke {
            paint: color(rgba).into(),
            width: (stroke.width * self.px) as f32,
            // What SVG does when nothing is said.
            miter_limit: 4.0,
            line_cap,
            line_join,
            opacity: share(rgba.alpha * glow),
            dash,
        }
    }

    fn text(&mut self, t: &Text) {
        if t.words.is_empty() || !t.at.is_finite() {
            return;
        }
        let size = t.size * self.px;
        let width = text::width(&t.words, t.weight, size);
        let back = match t.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => width / 2.0,
            Anchor::End => width,
        };
        let mut place = Transform::from_translate(t.at.x as f32, t.at.y as f32);
        if t.upright {
            place = Transform::from_row(0.0, -1.0, 1.0, 0.0, t.at.x as f32, t.at.y as f32);
        }
        let start = At::from_xy(-back as f32, 0.0);
        let font = self.fonts[t.weight as usize].clone();
        self.surface.push_transform(&place);
        if let Some(halo) = t.halo {
            // As outlines: a reader that copies the text must find the words once.
            let rim = Stroke::new(HALO * t.size, halo).rounded();
            self.surface.set_fill(None);
            self.surface.set_stroke(Some(self.stroke(&rim, 1.0)));
            self.surface.draw_text(
                start,
                font.clone(),
                size as f32,
                &t.words,
                true,
                TextDirection::LeftToRight,
            );
        }
        self.surface.set_stroke(None);
        self.surface.set_fill(Some(self.fill(&Paint::Plain(t.shade), 1.0)));
        self.surface.draw_text(
            start,
            font,
            size as f32,
            &t.words,
            false,
            TextDirection::LeftToRight,
        );
        self.surface.pop();
    }
}

fn color(rgba: Rgba) -> rgb::Color {
    let [r, g, b] = rgba.rgb;
    rgb::Color::new(r, g, b)
}

fn share(value: f32) -> NormalizedF32 {
    NormalizedF32::new(value.clamp(0.0, 1.0)).unwrap_or(NormalizedF32::ZERO)
}

/// The path for the writer; none when it has no length or a coordinate that is no number.
fn outline(path: &BezPath) -> Option<Path> {
    if !path.is_finite() {
        return None;
    }
    let mut out = PathBuilder::new();
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(a) => out.move_to(a.x as f32, a.y as f32),
            PathEl::LineTo(a) => out.line_to(a.x as f32, a.y as f32),
            PathEl::QuadTo(a, b) => out.quad_to(a.x as f32, a.y as f32, b.x as f32, b.y as f32),
            PathEl::CurveTo(a, b, c) => {
                out.cubic_to(
                    a.x as f32, a.y as f32, b.x as f32, b.y as f32, c.x as f32, c.y as f32,
                );
            }
            PathEl::ClosePath => out.close(),
        }
    }
    out.finish()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        palette::{Palettes, Role, Theme},
        scene::{SceneBuilder, Weight},
    };
    use kurbo::Point;

    fn page() -> Page<'static> {
        Page {
            width: 200.0,
            height: 100.0,
            title: "A scene",
            background: Some(Role::Page),
            unit: Unit::Px,
            lamp: None,
            names: &|part| part.to_owned(),
        }
    }

    fn scene(words: &str) -> Scene {
        let mut b = SceneBuilder::new(Rect::new(0.0, 0.0, 200.0, 100.0));
        b.begin("positive_plate", Point::new(20.0, 50.0));
        let shade = |tone| Shade::new(Role::PositiveBorder, tone);
        let stops = vec![(0.0, shade(Tone::Light)), (1.0, shade(Tone::Dark).alpha(0.5))];
        b.shape(
            Rect::new(10.0, 10.0, 30.0, 90.0).to_path(0.1),
            Paint::Linear {
                from: Point::new(10.0, 0.0),
                to: Point::new(30.0, 0.0),
                stops: stops.clone(),
            },
            Some(Stroke::new(0.9, shade(Tone::Edge)).dashed(&[7.0, 5.0])),
        );
        b.shape(
            Rect::new(50.0, 10.0, 70.0, 30.0).to_path(0.1),
            Paint::Radial { center: Point::new(60.0, 20.0), radius: 10.0, stops },
            None,
        );
        b.text(Text {
            at: Point::new(190.0, 60.0),
            size: 14.5,
            anchor: Anchor::End,
            weight: Weight::SemiBold,
            shade: Shade::base(Role::Ink),
            halo: Some(Shade::base(Role::Page)),
            upright: false,
            words: words.to_owned(),
        });
        b.finish()
    }

    fn pdf(words: &str, page: &Page<'_>) -> Vec<u8> {
        write(&scene(words), Palettes::builtin().theme(Theme::Light), page).unwrap()
    }

    fn has(file: &[u8], part: &str) -> bool {
        file.windows(part.len()).any(|w| w == part.as_bytes())
    }

    #[test]
    fn the_page_holds_fonts_and_no_pictures_and_is_the_same_each_time() {
        let file = pdf("Positive plate", &page());
        assert!(file.starts_with(b"%PDF-"));
        assert!(has(&file, "/Font") && has(&file, "Inter"));
        // The half-clear gradient makes a form, so that this spelling is known to be the writer's.
        assert!(has(&file, "/Subtype/Form"));
        assert!(!has(&file, "/Subtype/Image"), "a picture in the page");
        assert!(has(&file, "/MediaBox[0 0 150 75]"));
        assert_eq!(file, pdf("Positive plate", &page()));
        assert_ne!(file, pdf("Negative plate", &page()));
    }

    #[test]
    fn without_words_there_is_no_font() {
        assert!(!has(&pdf("", &page()), "Inter"));
    }

    #[test]
    fn a_page_that_no_reader_can_show_is_refused() {
        let palette = Palettes::builtin().theme(Theme::Light);
        for width in [0.0, f64::NAN, 1e6] {
            let page = Page { width, ..page() };
            let made = write(&scene("Strap"), palette, &page);
            assert!(matches!(made, Err(PdfError::Size { .. })), "{width}");
        }
    }
}
