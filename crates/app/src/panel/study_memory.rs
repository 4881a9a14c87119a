//! What the study page knows again at the next start: design, view, labels and part.

use super::{
    study_ui::Study,
    study_view_ui::{SETS, SHOWN},
};
use eframe::Storage;
use jarlight_geometry::draw::View;
use jarlight_model::catalogue::Catalogue;

impl Study {
    /// Notes what is looked at.
    pub fn store(&self, storage: &mut dyn Storage) {
        storage.set_string("study-view", self.view.name().to_owned());
        let design = self.design.as_ref().map(ToString::to_string).unwrap_or_default();
        storage.set_string("study-design", design);
        storage.set_string("part", self.part.clone().unwrap_or_default());
        let shown = SHOWN.iter().find(|(s, _)| *s == self.labels).map_or("", |(_, id)| id);
        storage.set_string("study-labels", shown.to_owned());
        let set = SETS.iter().find(|(s, _)| *s == self.set).map_or("", |(_, id)| id);
        storage.set_string("study-set", set.to_owned());
    }

    /// Takes up what was noted; what is not known any more is let go.
    pub fn restore(&mut self, storage: &dyn Storage, catalogue: &Catalogue) {
        let noted = |key: &str| storage.get_string(key).unwrap_or_default();
        if let Some(view) = View::parse(&noted("study-view")) {
            self.view = view;
        }
        let design = noted("study-design");
        self.design = catalogue.designs.keys().find(|d| d.as_str() == design).cloned();
        if let Some((shown, _)) = SHOWN.iter().find(|(_, id)| *id == noted("study-labels")) {
            self.labels = *shown;
        }
        if let Some((set, _)) = SETS.iter().find(|(_, id)| *id == noted("study-set")) {
            self.set = *set;
        }
        self.choose_part(catalogue, &noted("part"));
    }
}
