//! Colours, type and spacing of the window; the only place where a role becomes an egui colour.

use egui::{Color32, CornerRadius, FontFamily, FontId, Stroke, Vec2};
use jarlight_geometry::{
    palette::{Palette, Palettes, Role, Theme},
    scene::{Shade, Tone, Weight},
    text::{WEIGHTS, font_bytes},
};
use std::sync::Arc;

/// The steps of text size, in percent.
pub const TEXT_STEPS: [u16; 7] = [90, 100, 115, 130, 150, 175, 200];

/// Radius of the corners of a card.
pub const CARD_CORNER: u8 = 11;
/// Radius of the corners of a button.
pub const BUTTON_CORNER: u8 = 8;

/// For texts in which columns count.
const MONO: &[u8] = include_bytes!("../../../assets/fonts/NotoSansMono-Regular.ttf");

/// The look of the window: a theme and a text size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Look {
    /// Which palette.
    pub theme: Theme,
    /// Size of text in percent, one of [`TEXT_STEPS`].
    pub percent: u16,
    /// Whether what moves on its own is left out.
    pub still: bool,
}

impl Default for Look {
    fn default() -> Self {
        Self { theme: Theme::Light, percent: 100, still: false }
    }
}

impl Look {
    /// The palette of the theme.
    pub fn palette(self) -> &'static Palette {
        Palettes::builtin().theme(self.theme)
    }

    /// The colour of a role of the interface.
    pub fn color(self, role: Role) -> Color32 {
        let [r, g, b] = self.palette().color(role, Tone::Base);
        opaque(r, g, b)
    }

    /// The colour of a shade of a drawing, not premultiplied.
    pub fn shade(self, shade: Shade) -> Color32 {
        let c = self.palette().rgba(shade);
        let [r, g, b] = c.rgb;
        transparent(r, g, b, (c.alpha * 255.0 + 0.5) as u8)
    }

    /// Factor of all text sizes, 1.0 at 100 %.
    pub fn scale(self) -> f32 {
        f32::from(self.percent) / 100.0
    }

    /// A length that grows with the text.
    pub fn px(self, at_100: f32) -> f32 {
        (at_100 * self.scale()).round()
    }

    /// A font of a size at 100 %.
    pub fn font(self, size: f32, weight: Weight) -> FontId {
        font_id(size * self.scale(), weight)
    }

    /// Running text.
    pub fn body(self) -> FontId {
        self.font(13.5, Weight::Regular)
    }

    /// A font in which every character is as wide as any other.
    pub fn mono(self, size: f32) -> FontId {
        FontId::new(size * self.scale(), FontFamily::Monospace)
    }

    /// A thin line of a role.
    pub fn line(self, role: Role) -> Stroke {
        Stroke::new(1.0, self.color(role))
    }

    /// The next larger or smaller text size.
    #[must_use]
    pub fn resized(self, larger: bool) -> Self {
        let at = TEXT_STEPS.iter().position(|p| *p >= self.percent).unwrap_or(1);
        let to = if larger { at + 1 } else { at.saturating_sub(1) };
        Self { percent: TEXT_STEPS[to.min(TEXT_STEPS.len() - 1)], ..self }
    }

    /// True for the themes with the strongest contrast.
    pub const fn is_contrast(self) -> bool {
        matches!(self.theme, Theme::ContrastLight | Theme::ContrastDark)
    }
}

/// The font of a weight at a size in points.
pub fn font_id(size: f32, weight: Weight) -> FontId {
    FontId::new(size, family(weight))
}

fn family(weight: Weight) -> FontFamily {
    match weight {
        Weight::Regular => FontFamily::Proportional,
        other => FontFamily::Name(name(other).into()),
    }
}

const fn name(weight: Weight) -> &'static str {
    match weight {
        Weight::Regular => "inter-400",
        Weight::Medium => "inter-500",
        Weight::SemiBold => "inter-600",
        Weight::Bold => "inter-700",
    }
}

/// Installs the fonts that figures use too, so that a text has one width everywhere.
pub fn install_fonts(ctx: &egui::Context) {
    let mut fonts = egui::FontDefinitions::empty();
    for weight in WEIGHTS {
        let data = egui::FontData::from_static(font_bytes(weight));
        fonts.font_data.insert(name(weight).to_owned(), Arc::new(data));
        fonts.families.insert(family(weight), vec![name(weight).to_owned()]);
    }
    let mono = egui::FontData::from_static(MONO);
    fonts.font_data.insert("mono".to_owned(), Arc::new(mono));
    let family = vec!["mono".to_owned(), name(Weight::Regular).to_owned()];
    fonts.families.insert(FontFamily::Monospace, family);
    ctx.set_fonts(fonts);
}

/// Brings the stock widgets of egui (text fields, scroll bars, sliders) into this look.
pub fn install_style(ctx: &egui::Context, look: Look) {
    let egui_theme = if look.theme.is_dark() { egui::Theme::Dark } else { egui::Theme::Light };
    ctx.set_theme(egui_theme);
    ctx.all_styles_mut(|style| {
        style.text_styles = [
            (egui::TextStyle::Small, look.font(12.0, Weight::Regular)),
            (egui::TextStyle::Body, look.body()),
            (egui::TextStyle::Monospace, look.body()),
            (egui::TextStyle::Button, look.font(13.5, Weight::Medium)),
            (egui::TextStyle::Heading, look.font(20.0, Weight::SemiBold)),
        ]
        .into();
        style.spacing.item_spacing = Vec2::new(8.0, 8.0);
        style.spacing.button_padding = Vec2::new(14.0, 8.0);
        style.spacing.interact_size.y = look.px(28.0);
        style.spacing.scroll = egui::style::ScrollStyle::floating();
        // Nothing moves on its own: pictures and panels are cut, not slid.
        style.animation_time = 0.0;
        style.interaction.selectable_labels = false;
        let v = &mut style.visuals;
        v.dark_mode = look.theme.is_dark();
        v.override_text_color = Some(look.color(Role::Ink));
        v.panel_fill = look.color(Role::Page);
        v.window_fill = look.color(Role::Panel);
        v.window_stroke = look.line(Role::Rule);
        v.window_corner_radius = CornerRadius::same(CARD_CORNER);
        v.window_shadow = egui::Shadow::NONE;
        v.popup_shadow = egui::Shadow::NONE;
        v.extreme_bg_color = look.color(Role::QuietPanel);
        v.text_edit_bg_color = Some(look.color(Role::Panel));
        v.faint_bg_color = look.color(Role::QuietPanel);
        v.hyperlink_color = look.color(Role::Accent);
        v.warn_fg_color = look.color(Role::Caution);
        v.error_fg_color = look.color(Role::Wrong);
        v.selection.bg_fill = look.color(Role::AccentFill);
        v.selection.stroke = Stroke::new(1.5, look.color(Role::Accent));
        v.text_cursor.stroke = Stroke::new(1.5, look.color(Role::Ink));
        v.text_cursor.blink = false;
        let w = &mut v.widgets;
        for (state, fill, line) in [
            (&mut w.noninteractive, Role::Panel, Role::Rule),
            (&mut w.inactive, Role::QuietPanel, Role::Leader),
            (&mut w.hovered, Role::QuietPanel, Role::Accent),
            (&mut w.active, Role::AccentFill, Role::Accent),
            (&mut w.open, Role::AccentFill, Role::Accent),
        ] {
            state.bg_fill = look.color(fill);
            state.weak_bg_fill = look.color(fill);
            state.bg_stroke = look.line(line);
            state.fg_stroke = Stroke::new(1.0, look.color(Role::Ink));
            state.corner_radius = CornerRadius::same(BUTTON_CORNER);
            state.expansion = 0.0;
        }
    });
}

/// A share of the way from one colour to another.
pub fn blend(a: Color32, b: Color32, share: f32) -> Color32 {
    a.lerp_to_gamma(b, share)
}

const fn opaque(r: u8, g: u8, b: u8) -> Color32 {
    Color32::from_rgb(r, g, b)
}

fn transparent(r: u8, g: u8, b: u8, a: u8) -> Color32 {
    Color32::from_rgba_unmultiplied(r, g, b, a)
}

#[cfg(test)]
mod tests {
    use super::*;
    use jarlight_geometry::text;

    /// Labels are placed with widths from `geometry`; the window has to agree.
    #[test]
    fn text_is_as_wide_in_the_window_as_in_geometry() {
        let ctx = egui::Context::default();
        install_fonts(&ctx);
        let words = [
            "Positive plate",
            "Retainer mat",
            "Withdrawal tube",
            "Level lines, high and low",
            "Tarn Hollow, cell 17",
            "AV To Wa Ty",
            "3.2 mm × 280 mm",
            "25 °C – 77 °F",
            "fluffy office",
        ];
        let mut off = Vec::new();
        let out = ctx.run_ui(egui::RawInput::default(), |ui| {
            for weight in WEIGHTS {
                for size in [10.5, 13.5, 14.5, 20.0, 30.0] {
                    for w in words {
                        let galley = ui.painter().layout_no_wrap(
                            w.to_owned(),
                            font_id(size, weight),
                            Color32::PLACEHOLDER,
                        );
                        let (here, there) =
                            (f64::from(galley.size().x), text::width(w, weight, f64::from(size)));
                        if (here - there).abs() > 1.0 {
                            off.push(format!("{w} {weight:?} {size}: {here:.2} and {there:.2}"));
                        }
                    }
                }
            }
        });
        out.drop_without_applying_deltas();
        assert_eq!(off, Vec::<String>::new());
    }

    #[test]
    fn text_size_stops_at_both_ends() {
        let mut look = Look::default();
        for _ in 0..9 {
            look = look.resized(true);
        }
        assert_eq!(look.percent, 200);
        for _ in 0..9 {
            look = look.resized(false);
        }
        assert_eq!(look.percent, 90);
    }
}
