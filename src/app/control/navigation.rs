//! Which page is up, and where going back leads. It knows no survey: whether an entry is still there is asked of
//! whoever does.

use crate::app::place::Place;
use crate::survey::ItemId;
use crate::survey::fields::ListEntry;

/// A page of the surveyor's window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum View {
    /// The list of surveys.
    Surveys,
    /// The walk through the house: every stop with its state.
    Walk,
    /// A stop, or an entry of a list.
    Place(Place),
    /// The verdict.
    Verdict,
    /// The ten first answers.
    FirstVisit,
    /// What the customer is shown.
    Customer,
    /// The drawings of the present spot.
    Drawing,
    /// The pictures.
    Photos,
    /// Writing the bundle.
    HandOver,
    /// The settings.
    Settings,
    /// About the program.
    About,
}

/// The page that is up and those behind it, the nearest last.
#[derive(Debug, Clone)]
pub struct Navigation {
    view: View,
    behind: Vec<View>,
}

impl Default for Navigation {
    fn default() -> Self {
        Navigation {
            view: View::Surveys,
            behind: Vec::new(),
        }
    }
}

impl Navigation {
    /// The page that is up.
    pub fn view(&self) -> View {
        self.view
    }

    /// The pages behind it, the nearest last.
    pub fn behind(&self) -> &[View] {
        &self.behind
    }

    /// Whether going back leads out of the survey.
    pub fn back_closes_survey(&self) -> bool {
        self.behind.last() == Some(&View::Surveys)
    }

    /// Goes to a page; the present one stays behind it, but the stops lie side by side: from each of them back leads
    /// to the walk.
    pub fn go(&mut self, view: View) {
        match view {
            View::Surveys => self.behind.clear(),
            View::Walk => self.behind = vec![View::Surveys],
            View::Place(Place::Stop(_)) => self.behind = vec![View::Surveys, View::Walk],
            _ => self.behind.push(self.view),
        }
        self.view = view;
    }

    /// Stands at an entry; back leads to its stop.
    pub fn enter(&mut self, list: &'static ListEntry, item: ItemId) {
        self.go(View::Place(Place::Stop(list.stop)));
        self.go(View::Place(Place::Item { list, item }));
    }

    /// The way back to here, for whoever goes from here to an answer and comes back; none between places, and from
    /// the list of surveys, where that is a way like any other.
    pub fn way_back(&self) -> Option<Vec<View>> {
        match self.view {
            View::Place(_) | View::Surveys => None,
            from => Some(self.behind.iter().copied().chain([from]).collect()),
        }
    }

    /// Has going back lead this way.
    pub fn lead_back(&mut self, way: Vec<View>) {
        self.behind = way;
    }

    /// Goes one page back; an entry that is gone stands for its stop. `false` where there is nothing behind.
    pub fn back(&mut self, exists: impl Fn(Place) -> bool) -> bool {
        let Some(view) = self.behind.pop() else {
            return false;
        };
        self.view = view;
        self.settle(exists);
        true
    }

    /// Stands at the stop where the entry that is up is gone.
    pub fn settle(&mut self, exists: impl Fn(Place) -> bool) {
        if let View::Place(place) = self.view
            && !exists(place)
        {
            self.view = View::Place(Place::Stop(place.stop()));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::survey::{Stop, fields};

    fn stop(stop: Stop) -> View {
        View::Place(Place::Stop(stop))
    }

    /// Every page that going back leads to.
    fn all_the_way(mut at: Navigation) -> Vec<View> {
        let mut met = Vec::new();
        while at.back(|_| true) {
            met.push(at.view());
        }
        met
    }

    #[test]
    fn from_any_stop_back_leads_to_the_walk_and_out() {
        let mut at = Navigation::default();
        assert!(all_the_way(at.clone()).is_empty());
        at.go(View::Walk);
        for one in Stop::ALL {
            at.go(stop(*one));
            assert_eq!(all_the_way(at.clone()), [View::Walk, View::Surveys]);
        }
        assert!(!at.back_closes_survey());
        at.back(|_| true);
        assert!(at.back_closes_survey());
    }

    #[test]
    fn an_entry_leads_back_to_its_stop_and_one_that_is_gone_stands_for_it() {
        let list = fields::list("vents.vents").unwrap();
        let mut at = Navigation::default();
        at.go(View::Walk);
        at.enter(list, ItemId(7));
        let vents = stop(Stop::Vents);
        assert_eq!(all_the_way(at.clone()), [vents, View::Walk, View::Surveys]);
        at.go(View::Photos);
        at.back(|place| matches!(place, Place::Stop(_)));
        assert_eq!(at.view(), vents);
    }

    #[test]
    fn what_leads_to_an_answer_is_come_back_to() {
        let mut at = Navigation::default();
        at.go(View::Walk);
        at.go(stop(Stop::Attic));
        at.go(View::Verdict);
        let way = at.way_back().unwrap();
        at.go(stop(Stop::Hall));
        at.lead_back(way);
        let way = [View::Verdict, stop(Stop::Attic), View::Walk, View::Surveys];
        assert_eq!(all_the_way(at.clone()), way);
        // Between places it is a way like any other.
        assert_eq!(at.way_back(), None);
    }
}
