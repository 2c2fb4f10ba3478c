//! Walking through a survey: pages, stops, spots, and back.

use super::*;

impl Session {
    /// Goes to a page; the present one stays behind it.
    pub fn go(&mut self, view: View) {
        if view == self.view() || self.held_up(Onward::Page(view)) {
            return;
        }
        self.show_sheet(None);
        if view == View::Surveys {
            self.open = None;
            self.list_again();
        }
        self.at.go(view);
        self.guard.came_up();
        self.stand();
        self.show = None;
        if let View::Place(place) = view {
            self.tie_to(place);
        }
        self.bookmark();
    }

    /// Goes one page back, or puts the sheet at the foot away. Where leaving was asked about, going back is the
    /// answer: it leaves.
    pub fn go_back(&mut self) {
        match self.sheet {
            Some(Sheet::Leave { .. }) => return self.leave_anyway(),
            Some(_) => return self.close_sheet(),
            None => {}
        }
        if self.held_up(Onward::Back) {
            return;
        }
        let open = &self.open;
        let exists = |place: Place| {
            let open = open.as_ref();
            open.is_none_or(|open| place.exists(open.survey(), open.spot))
        };
        if !self.at.back(exists) {
            return;
        }
        if self.view() == View::Surveys {
            self.open = None;
            self.list_again();
        }
        self.guard.came_up();
        self.stand();
        self.bookmark();
    }

    /// Remembers the stop that is stood at.
    pub(super) fn stand(&mut self) {
        if let (View::Place(place), Some(open)) = (self.view(), &mut self.open) {
            if open.stop != place.stop() {
                (open.worked, open.asked) = (false, false);
            }
            open.stop = place.stop();
        }
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
        self.guard.came_up();
        self.show_sheet(None);
        self.judge();
        self.bookmark();
    }

    /// The page of fields that is up. Beside the walk, in a window that is wide enough, it is the stop that
    /// the surveyor stood at last.
    pub fn place(&self) -> Option<Place> {
        match self.view() {
            View::Place(place) => Some(place),
            View::Walk => self.open.as_ref().map(|open| Place::Stop(open.stop)),
            _ => None,
        }
    }

    /// What the pages of fields are made from.
    pub fn seen<R>(&self, look: impl FnOnce(&Seen) -> R) -> Option<R> {
        let open = self.open.as_ref()?;
        Some(look(&Seen {
            survey: open.survey(),
            spot: open.spot,
            reader: &self.reader(),
            judged: &open.judged,
            troubles: &open.troubles,
            quick: self.quick(),
        }))
    }

    /// The walk: every stop with its state, in the order in which one stands at them.
    pub fn walk(&self) -> Vec<StopState> {
        self.seen(|seen| Stop::ALL.iter().map(|stop| seen.state(*stop)).collect())
            .unwrap_or_default()
    }

    /// The rows of the page that is up.
    pub fn rows(&self) -> Vec<Row> {
        self.seen(|seen| match (self.view(), self.place()) {
            (View::FirstVisit, _) => self.first_rows(seen),
            (_, Some(place)) => place.rows(seen),
            (_, None) => Vec::new(),
        })
        .unwrap_or_default()
    }

    /// Goes to where a field is answered, brings it into view and opens its keys.
    pub fn go_field(&mut self, at: FieldRef) {
        let Some(place) = Place::of(at) else { return };
        if self.held_up(Onward::Field(at)) {
            return;
        }
        // Back leads to where the tap was, and from there on as before.
        let way = self.at.way_back();
        if let (Some(open), Some(spot)) = (&mut self.open, at.spot) {
            open.spot = spot;
        }
        self.judge();
        if self.view() == View::Walk && self.place() == Some(place) {
            // Beside the walk, or about to fill the window: either way that stop is up.
        } else if let Place::Item { list, item } = place {
            self.enter(list, item);
        }
        self.go(View::Place(place));
        if let Some(way) = way {
            self.at.lead_back(way);
        }
        self.show = Some(Key::Field(at));
        self.open_keys(at);
    }
}
