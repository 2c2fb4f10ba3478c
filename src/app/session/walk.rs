//! Walking through a survey: pages, stops, spots, and back.

use super::*;

impl Session {
    /// Goes to a page; the present one stays behind it.
    pub fn go(&mut self, view: View) {
        if view == self.view {
            return;
        }
        self.sheet = None;
        let deep = matches!(view, View::Place(Place::Item { .. }))
            || !matches!(view, View::Place(_) | View::Surveys);
        if view == View::Surveys {
            self.back.clear();
            self.open = None;
            self.list_again();
        } else if deep {
            self.back.push(self.view);
        } else {
            // The stops lie side by side: back leads out of the survey from each.
            self.back = vec![View::Surveys];
        }
        self.view = view;
        self.show = None;
        if let View::Place(place) = view {
            self.tie_to(place);
        }
        self.bookmark();
    }

    /// Goes one page back, or puts the sheet at the foot away.
    pub fn go_back(&mut self) {
        if self.sheet.take().is_some() {
            return;
        }
        let Some(view) = self.back.pop() else { return };
        let there = match (view, &self.open) {
            (View::Place(place), Some(open)) if !place.exists(open.survey(), open.spot) => {
                View::Place(Place::Stop(place.stop()))
            }
            _ => view,
        };
        if there == View::Surveys {
            self.open = None;
            self.list_again();
        }
        self.view = there;
        self.bookmark();
    }

    /// Goes to a stop.
    pub fn go_stop(&mut self, stop: Stop) {
        self.go(View::Place(Place::Stop(stop)));
    }

    /// Switches to another spot, at the same stop.
    pub fn go_spot(&mut self, at: usize) {
        let Some(open) = &mut self.open else { return };
        let Some(spot) = open.survey().spots.get(at) else {
            return;
        };
        open.spot = spot.id;
        self.sheet = None;
        self.judge();
        self.bookmark();
    }

    /// The page of fields that is up.
    pub fn place(&self) -> Option<Place> {
        match self.view {
            View::Place(place) => Some(place),
            _ => None,
        }
    }

    /// The rows of the page that is up.
    pub fn rows(&self) -> Vec<Row> {
        let Some(open) = &self.open else {
            return Vec::new();
        };
        let seen = Seen {
            survey: open.survey(),
            spot: open.spot,
            reader: &self.reader(),
            judged: &open.judged,
            troubles: &open.troubles,
        };
        match (self.view, self.place()) {
            (View::FirstVisit, _) => self.first_rows(&seen),
            (_, Some(place)) => place.rows(&seen),
            (_, None) => Vec::new(),
        }
    }

    /// Goes to where a field is answered, brings it into view and opens its keys.
    pub fn go_field(&mut self, at: FieldRef) {
        let Some(place) = Place::of(at) else { return };
        // Back leads to where the tap was, and from there on as before.
        let trail = match self.view {
            View::Place(_) | View::Surveys => None,
            from => Some(self.back.iter().copied().chain([from]).collect()),
        };
        if let (Some(open), Some(spot)) = (&mut self.open, at.spot) {
            open.spot = spot;
        }
        self.judge();
        if let Place::Item { list, .. } = place {
            self.go(View::Place(Place::Stop(list.stop)));
        }
        self.go(View::Place(place));
        if let Some(trail) = trail {
            self.back = trail;
        }
        self.show = Some(Key::Field(at));
        self.open_keys(at);
    }
}
